"""Programs run one after the other on one piece of stock, and all that is wrong with them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from cad.simulate.bounds import parts_beyond
from cad.simulate.finding import Finding, Kind, where, worst_of_each
from cad.simulate.grid import grid_over
from cad.simulate.job import Job
from cad.simulate.judging import Fault, Verdict, judge
from cad.simulate.moves import Move
from cad.simulate.reading import Reading, read
from cad.simulate.removing import Wood, remove
from cad.simulate.strokes import Pass, pass_of
from cad.simulate.units import wrong_unit

CELL_MM = 0.2


@dataclass(frozen=True)
class Ran:
    """Figures of one program: its moves, how long they take, what they take off, and what is wrong."""

    name: str
    moves: tuple[Move, ...]
    seconds: float
    removed_mm3: float
    findings: tuple[Finding, ...]
    inch: bool


@dataclass(frozen=True, eq=False)
class Simulated:
    """What came of a job. `gouge_mm`, `left_mm` and `ridge_mm` are the worst, allowed or not."""

    job: Job
    runs: tuple[Ran, ...]
    wood: Wood
    gouge_mm: float
    left_mm: float
    ridge_mm: float

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(one for run in self.runs for one in run.findings)

    @property
    def passes(self) -> bool:
        return not self.findings


def _quiet(share: float) -> None:
    """Tell nobody."""


def simulate(job: Job, cell_mm: float = CELL_MM, tell: Callable[[float], None] = _quiet) -> Simulated:
    """Return what the programs of a job do to its stock, on cells of a side of `cell_mm`.

    Moves, and how near the cutters come to walls and slopes, are exact whatever the cells; level faces, wood
    that is run into and volumes are seen as finely as the cells. `tell` is told the share of the work done.
    A program that cannot be read is not run.
    """
    readings = [read(run.name, run.text, run.block_delete) for run in job.runs]
    first = [0, *accumulate(len(one.moves) for one in readings)]
    wood = Wood.whole(grid_over(job.stock, cell_mm))
    runs: list[Ran] = []
    passes: list[Pass] = []
    share = 0.9 / max(len(job.runs), 1)
    for i, (run, reading) in enumerate(zip(job.runs, readings, strict=True)):

        def told(part: float, done: float = i * share) -> None:
            tell(done + part * share)

        passes.append(pass_of(reading.moves, run.tool, job.stock, first[i]))
        removed = remove(wood, run.name, reading.moves, passes[i], job.stock, job.allowances, told)
        more = (*wrong_unit(run.name, reading, job), *_left_in(run.name, reading))
        runs.append(_ran(run.name, reading, removed.mm3, (*reading.findings, *more, *removed.findings)))
    if not (job.parts and runs) or any(one.kind == "word" for ran in runs for one in ran.findings):
        tell(1.0)
        return Simulated(job, tuple(runs), wood, 0.0, 0.0, 0.0)
    verdict = judge(job, wood, passes, lambda part: tell(0.9 + 0.1 * part))
    tell(1.0)
    return _judged(job, runs, wood, verdict)


def _left_in(name: str, reading: Reading) -> Iterator[Finding]:
    """Yield a finding when a program ends with its cutter in the stock: it stops turning there."""
    if reading.moves and reading.moves[-1].end[2] < 0:
        last = reading.moves[-1]
        words = f"the program ends with the cutter at {where(last.end)}, below the top of the stock"
        yield Finding("end", name, last.line, words, "Raise it above the stock before M2", last.end)


def _ran(name: str, reading: Reading, removed_mm3: float, findings: Sequence[Finding]) -> Ran:
    worst = worst_of_each(findings)
    return Ran(name, reading.moves, reading.seconds, removed_mm3, worst, reading.inch)


def _judged(job: Job, runs: Sequence[Ran], wood: Wood, verdict: Verdict) -> Simulated:
    """Return the programs with what was found on the parts told to each that is to blame."""
    allowed = job.allowances
    kinds = (verdict.walls, verdict.slopes, verdict.levels)
    gouges = [one for kind in kinds for one in kind.gouges]
    left = [*verdict.walls.left, *verdict.levels.left]
    told = [[*run.findings] for run in runs]
    told[-1] += parts_beyond(runs[-1].name, job)
    lines = [(i, move.line) for i, run in enumerate(runs) for move in run.moves]
    for one in gouges:
        if one.mm > allowed.gouge_mm:
            run, line = lines[one.move]
            told[run].append(_finding(job, "gouge", one, runs[run].name, line))
    for some, most in ((left, allowed.left_mm), (verdict.slopes.left, allowed.ridge_mm)):
        for one in some:
            if one.mm > most:
                # Where no cutter came near nobody can say which should have: the last program leaves it.
                run, line = lines[one.move] if one.move >= 0 else (-1, 0)
                told[run].append(_finding(job, "left", one, runs[run].name, line))
    return Simulated(
        job,
        tuple(
            replace(run, findings=worst_of_each(findings)) for run, findings in zip(runs, told, strict=True)
        ),
        wood,
        _most(gouges),
        _most(left),
        _most(verdict.slopes.left),
    )


def _finding(job: Job, kind: Kind, fault: Fault, program: str, line: int) -> Finding:
    part = job.parts[fault.part].name
    mm, at = f"{fault.mm:.3f} mm", where(fault.place)
    if kind == "gouge":
        words, cure = f"cuts {mm} into {part}, at {at}", "Check the cutter's diameter and the path"
    else:
        nearest = ", where this line comes nearest" if line else ""
        words = f"leaves {mm} of wood on {part}, at {at}{nearest}"
        cure = "Cut there too, or with a smaller cutter"
    return Finding(kind, program, line, words, cure, fault.place, round(fault.mm, 4))


def _most(faults: Sequence[Fault]) -> float:
    return max((one.mm for one in faults), default=0.0)
