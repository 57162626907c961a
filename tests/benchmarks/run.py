"""How long the commands take, as ratios to floors and peers measured in the same run. Asserts no times.

    python tests/benchmarks/run.py [SECTION ...]

with the project's own environment, on an idle machine; sections are floor, peers, again, family and proving,
all of them when none is named. Prints the tables of DEVELOPERS.md in Markdown.
"""

from __future__ import annotations

import json
import os
import platform
import sys
import time
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from shutil import rmtree
from tempfile import TemporaryDirectory

from clock import Run, best, rounds, run
from peers import build123d_python

HERE = Path(__file__).resolve().parent
SPEC = Path(str(files("cad") / "demos" / "cornice-round.toml"))
THREE = "plane,throat,saw_guide,sled,sanding_blocks"
ROUNDS = 3
SIZES, WORKERS = (4, 12, 36), (1, 2)
OWN = "planewright"
ALIKE = 1e-3  # how far the volumes of a peer's solids may be off ours
ONE_VALUE = ("depth_under_back = 50", "depth_under_back = 52")

Row = tuple[str, ...]


def main() -> None:
    """Print the tables that were asked for."""
    sections: dict[str, Callable[[Path], None]] = {
        "floor": floor,
        "peers": peers,
        "again": again,
        "family": family,
        "proving": proving,
    }
    wanted = sys.argv[1:] or list(sections)
    if unknown := set(wanted) - set(sections):
        sys.exit(f"no such section: {', '.join(sorted(unknown))}; there are {', '.join(sections)}")
    day = time.strftime("%Y-%m-%d")
    print(
        f"{day}, {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}; ", end=""
    )
    print(f"load {os.getloadavg()[0]:.1f} at the start; the best of {ROUNDS} runs, taken in turn.")
    for name in wanted:
        with TemporaryDirectory() as folder:
            sections[name](Path(folder))


def floor(folder: Path) -> None:
    """Print `look` and `make` beside what Python and the kernel cost by themselves."""
    solids = "step,stl,glb,dxf,svg,notes"
    commands: dict[str, list[str]] = {
        "python -c pass": ["-c", "pass"],
        "look": ["-m", "cad", "look", str(SPEC)],
        "look --study": ["-m", "cad", "look", str(SPEC), "--study"],
        "import cadquery": ["-c", "import cadquery"],
        "make: plane and three fixtures": _make(folder / "three", "--only", THREE, "--formats", solids),
        "make: all fixtures, as solids": _make(folder / "solids", "--formats", solids),
        "make: all fixtures, for printer and cutter": _make(
            folder / "shop", "--formats", f"{solids},3mf,prints"
        ),
        "make: everything": _make(folder / "all"),
    }
    found = dict(zip(commands, _fresh(folder, commands), strict=True))
    bare, kernel = found["python -c pass"].wall_s, found["import cadquery"].wall_s
    _table(
        ("", "whole process", "× python -c pass", "× import cadquery", "of processors"),
        [
            (name, _s(one.wall_s), f"{one.wall_s / bare:.1f}", f"{one.wall_s / kernel:.2f}", _s(one.cpu_s))
            for name, one in found.items()
        ],
    )


def _fresh(folder: Path, commands: dict[str, list[str]]) -> list[Run]:
    """Return the best run of each command, each into an empty folder."""
    found: list[list[Run]] = [[] for _ in commands]
    for _ in range(ROUNDS):
        for runs, command in zip(found, commands.values(), strict=True):
            _emptied(folder)
            runs.append(run(command))
    return [best(runs) for runs in found]


def peers(folder: Path) -> None:
    """Print the same solids made here, by a plain CadQuery script and by a build123d script."""
    recipe = folder / "recipe.json"
    run([str(HERE / "recipe.py"), str(SPEC), str(recipe)])
    python, why = build123d_python()
    to = folder / "made"
    own = [str(HERE / "ours.py"), str(SPEC), str(to)]
    columns = {
        OWN: ([*own, "bare"], sys.executable),
        "planewright, checked and with the relief of prints": (own, sys.executable),
        "CadQuery script": ([str(HERE / "fluent_cadquery.py"), str(recipe), str(to)], sys.executable),
        **(
            {"build123d script": ([str(HERE / "with_build123d.py"), str(recipe), str(to)], python)}
            if python
            else {}
        ),
    }
    found: dict[str, list[Run]] = {name: [] for name in columns}
    for _ in range(ROUNDS):
        for name, (command, with_python) in columns.items():
            _emptied(to)
            found[name].append(run(command, with_python))
            if name == OWN:
                ours = _volumes(to)
            else:
                _compare(name, json.loads(found[name][-1].output).get("volumes") or _volumes(to), ours)
    rows = [_peer_row(name, runs) for name, runs in found.items()]
    _table(("", "whole process", "modelling alone", "loading", "writing STEP and STL"), rows)
    print(f"\nVolumes of all {len(ours)} solids agree within {ALIKE:.1%}. No words are cut in any column.")
    if why:
        print(f"build123d is not in the table: {why}.")


def _peer_row(name: str, runs: list[Run]) -> Row:
    told = [json.loads(one.output) for one in runs]
    least = {key: min(one[key] for one in told) for key in ("model_s", "import_s", "write_s")}
    return (name, _s(best(runs).wall_s), *(_s(least[key]) for key in ("model_s", "import_s", "write_s")))


def _volumes(to: Path) -> dict[str, float]:
    (manifest,) = to.glob("*/manifest.json")
    entries = json.loads(manifest.read_text())["files"]
    return {one["part"]: one["volume_mm3"] for one in entries if one["format"] == "step" and one["part"]}


def _compare(name: str, theirs: dict[str, float], ours: dict[str, float]) -> None:
    if set(theirs) != set(ours):
        sys.exit(f"{name} did not model the same solids: {sorted(set(theirs) ^ set(ours))}")
    off = {part: theirs[part] / ours[part] - 1 for part in ours if abs(theirs[part] / ours[part] - 1) > ALIKE}
    if off:
        sys.exit(f"{name} modelled other volumes: {off}")


def again(folder: Path) -> None:
    """Print a second `make` with nothing changed, and with one value changed, beside a whole one."""
    spec, other = folder / "spec.toml", folder / "other.toml"
    text = SPEC.read_text()
    spec.write_text(text)
    other.write_text(text.replace(*ONE_VALUE))
    whole: list[Run] = []
    nothing: list[Run] = []
    value: list[Run] = []
    for _ in range(ROUNDS):
        to = _emptied(folder / "out")
        whole.append(run(_make(to, spec=spec)))
        nothing.append(run(_make(to, spec=spec)))
        value.append(run(_make(to, spec=other)))
    base = best(whole).wall_s
    named = {"everything": whole, "nothing changed": nothing, "one value changed": value}
    _table(
        ("make", "whole process", "× everything"),
        [(name, _s(best(runs).wall_s), f"{best(runs).wall_s / base:.2f}") for name, runs in named.items()],
    )
    print(f"\nThe value: {ONE_VALUE[0]} becomes {ONE_VALUE[1].rpartition(' ')[2]} (the hand saw's).")


def family(folder: Path) -> None:
    """Print how long planes by the dozen take, and what memory."""
    text = SPEC.read_text().replace('name = "cornice-round"', 'name = "plane-{n}"')
    specs = []
    for n in range(max(SIZES)):
        specs.append(folder / f"{n}.toml")
        radius = f"radius = {14 + n / 10:g}"
        specs[-1].write_text(text.replace("{n}", f"{n:02}").replace("radius = 16", radius))
    found: dict[tuple[int, int], Run] = {}
    for workers in WORKERS:
        for size in SIZES:
            to = _emptied(folder / "out")
            some = ["--only", THREE, "--formats", "step,stl", "--workers", str(workers)]
            found[workers, size] = run(["-m", "cad", "make", *map(str, specs[:size]), "--to", str(to), *some])
    _table(
        ("planes", "workers", "whole process", "for each plane more", "largest process"),
        [
            (
                str(size),
                str(workers),
                _s(one.wall_s),
                _marginal(found, workers, size),
                f"{one.peak_mb:.0f} MB",
            )
            for (workers, size), one in found.items()
        ],
    )
    print("\nOf each plane its parts and three fixtures, as STEP and STL. One run of each.")


def _marginal(found: dict[tuple[int, int], Run], workers: int, size: int) -> str:
    smaller = [other for other in SIZES if other < size]
    if not smaller:
        return ""
    before = smaller[-1]
    return _s((found[workers, size].wall_s - found[workers, before].wall_s) / (size - before))


def proving(folder: Path) -> None:
    """Print the two ways to measure what solids share."""
    (done,) = rounds(1, [str(HERE / "proving.py"), str(SPEC)])
    rows = [
        (
            one["case"],
            f"{one['known']:.3f}",
            *(words for way in ("kernel", "mesh") for words in (f"{one[way]['mm3']:.3f}", _s(one[way]["s"]))),
        )
        for one in json.loads(done.output)
    ]
    _table(("what two solids share, mm³", "known", "kernel", "time", "meshes", "time"), rows)


def _make(to: Path, *some: str, spec: Path = SPEC) -> list[str]:
    return ["-m", "cad", "make", str(spec), "--to", str(to), *some]


def _emptied(folder: Path) -> Path:
    rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return folder


def _s(seconds: float) -> str:
    return f"{seconds:.3f} s"


def _table(head: Row, rows: list[Row]) -> None:
    print()
    for row in (head, ("---",) * len(head), *rows):
        print(f"| {' | '.join(row)} |")


if __name__ == "__main__":
    main()
