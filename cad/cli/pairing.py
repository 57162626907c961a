"""The plane of a spec and its mate laid sole to sole, as `prove` tells it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cad.errors import CallError
from cad.geometry import Plan, derive
from cad.geometry.bench import planned_only
from cad.spec.mate import mate_of

if TYPE_CHECKING:
    from fixtures.bench.mating import Mating


def text_of(file: Path) -> str:
    """Return the text of a spec that has been read before."""
    return file.read_text(encoding="utf-8-sig")


def paired(plan: Plan, text: str, file: str) -> Mating | str:
    """Return the gaps between the soles of a plane and its mate, or why it has none. Needs the kernel.

    Both are as planned: a sole that was found otherwise is told by `look`, and is no fault of the pair.
    """
    from fixtures.bench.mating import laid_together

    try:
        mate = mate_of(text, file)
    except CallError as error:
        return str(error)
    return laid_together(planned_only(plan), derive(mate.spec))


def mating_json(found: Mating | str) -> dict[str, object]:
    """Return the pair as the JSON document of `prove --json` has it."""
    if isinstance(found, str):
        return {"none": found}
    return {
        "name": found.name,
        "form": found.form,
        "gap_mm": {"least": tidy(found.least), "most": tidy(found.most)},
        "stations": [
            {"across_mm": tidy(station.across), "gap_mm": tidy(station.gap)} for station in found.stations
        ],
        "passes": found.passes,
    }


def mating_lines(found: Mating | str) -> tuple[str, ...]:
    """Return the pair in lines for the maker."""
    if isinstance(found, str):
        return (f"mate: none: {found}",)
    verdict = "proved" if found.passes else "NOT PROVED"
    gap = f"{found.least:.4f} to {found.most:.4f} mm at {len(found.stations)} stations"
    return (
        f"mate, {found.form} {found.name} sole to sole: {verdict}",
        f"  gap along the sole      {gap}",
    )


def tidy(value: float) -> float:
    """Return a measurement without the noise of its last digits, so that equal runs print alike."""
    return round(value, 6) + 0.0
