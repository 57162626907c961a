"""`python -m cad` is the `planewright` command."""

from cad.cli.entry import entry

if __name__ == "__main__":
    entry()
