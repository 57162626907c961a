"""How long the commands take, as ratios to floors measured in the same run. Not a test: nothing is asserted.

Run with the project's own environment, on an idle machine: python tests/benchmarks/ratios.py
"""

from __future__ import annotations

import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

ROUNDS = 3
SPEC = str(files("cad") / "demos" / "cornice-round.toml")
THREE = "plane,throat,saw_guide,sled,sanding_blocks"


def best_s(*command: str) -> float:
    """Return the shortest of several runs of a Python command, in seconds."""
    spent = []
    for _ in range(ROUNDS):
        start = perf_counter()
        subprocess.run([sys.executable, *command], capture_output=True, check=True)
        spent.append(perf_counter() - start)
    return min(spent)


def main() -> None:
    """Print the table."""
    with TemporaryDirectory() as folder:
        to = str(Path(folder))
        bare, kernel = best_s("-c", "pass"), best_s("-c", "import cadquery")
        look = best_s("-m", "cad", "look", SPEC)
        solids = "step,stl,glb,dxf,svg,notes"
        rows = [
            ("python -c pass", bare, bare, "itself"),
            ("import cadquery", kernel, kernel, "itself"),
            ("look", look, bare, "python -c pass"),
            ("look --study", best_s("-m", "cad", "look", SPEC, "--study"), look, "look"),
            (
                "make: plane and three fixtures, solids",
                best_s("-m", "cad", "make", SPEC, "--to", to, "--only", THREE, "--formats", solids),
                kernel,
                "import cadquery",
            ),
            (
                "make: all fixtures, without papers and pictures",
                best_s("-m", "cad", "make", SPEC, "--to", to, "--formats", f"{solids},3mf,prints"),
                kernel,
                "import cadquery",
            ),
            ("make: everything", best_s("-m", "cad", "make", SPEC, "--to", to), kernel, "import cadquery"),
        ]
    for what, seconds, floor, name in rows:
        print(f"{what:50} {seconds:7.3f} s  {seconds / floor:6.2f} x {name}")


if __name__ == "__main__":
    main()
