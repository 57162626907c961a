"""The commands, their arguments and their help. The work is done in the module named after each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from cad.cli.status import Status, report, say
from cad.errors import PlanewrightError

app = typer.Typer(
    name="planewright",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="From one short spec: a wooden moulding plane, the fixtures to make it, and proof that they fit.",
)

SpecFile = Annotated[Path, typer.Argument(metavar="FILE", help="The plane's spec, a TOML file.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]


def _do(work: Callable[[], Status]) -> None:
    """Run a command's work and end with its status; every expected error is told here, once."""
    try:
        status = work()
    except PlanewrightError as error:
        status = report(error)
    except KeyboardInterrupt:
        say("Interrupted; what was there before is untouched.")
        status = Status.INTERRUPTED
    raise typer.Exit(int(status))


@app.command()
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write the spec.")],
    form: Annotated[
        str, typer.Option(help="Form of the sole: round, hollow, or a moulding's name.")
    ] = "round",
    radius: Annotated[
        str | None, typer.Option(help='Radius of a round or hollow, such as "3/8 in" or "16 mm".')
    ] = None,
    width: Annotated[str | None, typer.Option(help="Width of another moulding's sole, likewise.")] = None,
    unit: Annotated[str, typer.Option(help="The file's unit for bare numbers: mm or in.")] = "mm",
    force: Annotated[bool, typer.Option("--force", help="Write over a file that exists.")] = False,
) -> None:
    """Write a commented spec to start from. It needs only a name and a sole; the rest is worked out."""

    def work() -> Status:
        from cad.cli.new import new as run

        return run(file, form, {"radius": radius, "width": width}, unit, force)

    _do(work)


@app.command()
def look(
    file: SpecFile,
    as_json: AsJson = False,
    study: Annotated[
        bool, typer.Option("--study", help="Show besides which errors of the shop matter, and how far.")
    ] = False,
) -> None:
    """Show every dimension that follows from a spec, and check it before wood is cut."""

    def work() -> Status:
        from cad.cli.look import look as run

        return run(file, as_json, study)

    _do(work)


@app.command()
def make(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="One spec or several.")],
    to: Annotated[
        Path, typer.Option(help="Folder to fill: each plane gets a folder of its name in it.")
    ] = Path("out"),
    only: Annotated[str, typer.Option(metavar="NAME,...", help="Only these parts, fixtures or pieces.")] = "",
    formats: Annotated[
        str, typer.Option(metavar="NAME,...", help="Only these formats, such as step,stl.")
    ] = "",
    anyway: Annotated[bool, typer.Option("--anyway", help="Make it although a check fails.")] = False,
    workers: Annotated[
        int, typer.Option(min=0, help="How many processes side by side; 0 takes one for each core.")
    ] = 0,
) -> None:
    """Build the plane and its fixtures, and write them as STEP, STL and more."""

    def work() -> Status:
        from cad.cli.make import make as run

        return run(files, to, _names(only), _names(formats), anyway, workers)

    _do(work)


@app.command()
def prove(
    file: SpecFile,
    program: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="A program for the router: run it on the spec's sheet instead."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Lay each fixture on its work and measure, and run each program for the router on paper."""

    def work() -> Status:
        from cad.cli.prove import prove as run
        from cad.cli.prove import prove_program

        return prove_program(file, program, as_json) if program else run(file, as_json)

    _do(work)


@app.command()
def mate(
    file: SpecFile,
    to: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Where to write it; beside the spec, by its name, when not given."),
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over a file that exists.")] = False,
) -> None:
    """Write the spec of a plane's mate: from a round its hollow, and the reverse, alike in all else."""

    def work() -> Status:
        from cad.cli.mate import mate as run

        return run(file, to, force)

    _do(work)


@app.command()
def serve(
    file: SpecFile,
    to: Annotated[Path, typer.Option(help="Folder for the files made from the page.")] = Path("out"),
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port on this machine; 0 takes a free one.")
    ] = 0,
) -> None:
    """Open a page on this machine: the spec as a form, its checks, the plane in 3D, its files."""

    def work() -> Status:
        from cad.cli.serve import serve as run

        return run(file, to, port)

    _do(work)


def _names(listed: str) -> list[str]:
    """Return the words of a comma-separated list."""
    return [name.strip() for name in listed.split(",") if name.strip()]
