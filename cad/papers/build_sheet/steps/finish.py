"""Finishing: arrises, grits and oil."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.grit import grain_mm
from cad.geometry.stages import Stage
from cad.papers.build_sheet.step import Bench, Step
from cad.papers.cautions import DUST, RAGS
from cad.papers.sheet.document import Table
from cad.units import plain

ORDER = 80


def steps(bench: Bench) -> Iterator[Step]:
    """Yield the one step of finishing."""
    grits = sorted(bench.plan.spec.shop.abrasive.grits, key=grain_mm, reverse=True)
    rows = tuple(
        (grit, f"{plain(grain_mm(grit), 3)} mm", _where(i, len(grits))) for i, grit in enumerate(grits)
    )
    yield Step(
        "Finish the wood",
        Stage.TRIMMED,
        (
            "Take out iron and wedge. Chamfer the upper arrises and the ends where the hands come; keep off "
            "the edges of the sole, the mouth and the escapement.",
            "Scrape or sand top, sides and chamfers through the grits, with the grain. Bed, front, rabbet "
            "and the inside of the throat get neither paper nor finish.",
            "Stamp name and profile on the toe end before oiling.",
            "Two thin coats of oil, each wiped dry after a quarter of an hour, a day between; then wax. Coat "
            "both ends twice: end grain drinks and dries fastest, and checks first.",
        ),
        tables=(Table(("Grit", "Median grain", "For"), rows, (1, 1.4, 5)),),
        cautions=(*DUST, *RAGS),
        asides=("Grain: FEPA 43 / ISO 6344. Order of finishing: common practice, no source.",),
    )


def _where(place: int, count: int) -> str:
    if place == 0 and count > 1:
        return "plane marks and the chamfers"
    if place == count - 1:
        return "last, along the grain, until no cross scratch shows"
    return "until the scratches of the grit before are gone"
