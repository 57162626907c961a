"""What is wrong with a program: the kind of fault, its line, where, how much, and what to do about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Place = tuple[float, float, float]
Kind = Literal[
    "word",  # cannot be read, or is none of the words that a router should be given
    "arc",  # its ends lie at different distances from its centre
    "feed",  # cuts without a speed having been set
    "spindle",  # cuts with the spindle still, or turning backwards
    "unit",  # does not say mm or inch, or plainly says the wrong one
    "start",  # moves before it is known where the cutter stands
    "end",  # does not end as a program must
    "outside",  # leaves the stock
    "bed",  # goes deeper below the stock than it may
    "rapid",  # goes through wood at full speed
    "plunge",  # goes straight down, or nearly, with a cutter that does not cut in its centre
    "sideways",  # goes sideways through wood with a drill
    "flute",  # goes deeper than the cutter cuts
    "gouge",  # cuts into a part
    "left",  # leaves wood on a part
]


@dataclass(frozen=True)
class Finding:
    """One fault of a program. `line` counts from 1, 0 where no one line is to blame; `amount_mm` may be 0.

    `place` is where it is worst, in the program's frame, in mm. `times` counts the lines with the same fault.
    """

    kind: Kind
    program: str
    line: int
    words: str
    cure: str
    place: Place | None = None
    amount_mm: float = 0.0
    times: int = 1

    def __str__(self) -> str:
        at = f":{self.line}" if self.line else ""
        more = f" (and {self.times - 1} more like it)" if self.times > 1 else ""
        return f"{self.program}{at}: {self.words}{more}. {self.cure}"


def worst_of_each(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the first of the worst findings of each kind and program, counting the lines to blame."""
    worst: dict[tuple[str, Kind], Finding] = {}
    lines: defaultdict[tuple[str, Kind], set[int]] = defaultdict(set)
    for one in findings:
        key = (one.program, one.kind)
        lines[key].add(one.line)
        if key not in worst or one.amount_mm > worst[key].amount_mm + 1e-9:
            worst[key] = one
    return tuple(replace(one, times=len(lines[key])) for key, one in worst.items())


def where(place: Place) -> str:
    """Return a place in words."""
    x, y, z = (round(value, 2) + 0.0 for value in place)
    return f"x {x:g}, y {y:g}, z {z:g}"
