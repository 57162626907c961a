"""The tolerance study as `look --study` shows it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cad.geometry import Plan
from cad.geometry.study import SAMPLES, SEED, Outcome, Source, Study, study
from cad.report.dimension import Dimension
from cad.units import INCH_MM, UnitName, plain

PLACES = 9
SOURCE = "JCGM 100:2008, 4.3.7: each error anywhere within its accuracy, by itself"
LEAST_SHARE = 0.005


def study_json(plan: Plan) -> dict[str, Any]:
    """Return the study ready for json.dumps; all sizes in mm, shares of 1."""
    found = study(plan)
    return {
        "samples": SAMPLES,
        "seed": SEED,
        "source": SOURCE,
        "sources": [
            {"of": one.of, "unit": one.unit, "planned": one.planned, "within": one.within}
            for one in found.sources
        ],
        "outcomes": [_outcome_json(one) for one in found.outcomes],
    }


def _outcome_json(one: Outcome) -> dict[str, Any]:
    sizes = {
        "planned": one.planned,
        "mean": one.mean,
        "spread": one.spread,
        "p5": one.low,
        "p95": one.high,
        "least": one.least,
        "most": one.most,
    }
    return {
        "id": one.id,
        "what": one.what,
        "unit": "mm",
        **{key: round(value, PLACES) + 0.0 for key, value in sizes.items()},
        "shares": {of: round(share, PLACES) for of, share in one.shares.items()},
    }


def study_text(plan: Plan) -> str:
    """Return the study as plain text, without a last line break."""
    return "\n".join(_lines(study(plan), plan.spec.unit))


def _lines(found: Study, unit: UnitName) -> Iterator[str]:
    yield "Tolerance study: which errors matter"
    yield f"  {SOURCE} ({SAMPLES} planes drawn by lot)."
    yield "  Wedge and edge are made to the plan; the throat and the iron's thickness come out within:"
    for one in found.sources:
        yield f"    {one.of:<15} {_within(one, unit)}"
    for outcome in found.outcomes:
        yield ""
        yield f"  {outcome.what}"
        yield (
            f"    planned {_size(outcome.planned, unit)}, mean {_size(outcome.mean, unit)}; "
            f"9 of 10 from {_size(outcome.low, unit)} to {_size(outcome.high, unit)}; "
            f"worst {_size(outcome.least, unit)} and {_size(outcome.most, unit)}"
        )
        yield f"    {_blame(outcome)}"


def _within(one: Source, unit: UnitName) -> str:
    planned = Dimension(one.unit, one.planned, False, "").shown(unit)
    if not one.within:
        return f"{planned}, known"
    within = f"{plain(one.within, 3)}°" if one.unit == "deg" else _size(one.within, unit)
    return f"{planned} ± {within}"


def _size(mm: float, unit: UnitName) -> str:
    # Rounded first, so that a hair below nothing shows no minus.
    return f"{round(mm, 2) + 0.0:.2f} mm" if unit == "mm" else f"{round(mm / INCH_MM, 4) + 0.0:.4f} in"


def _blame(outcome: Outcome) -> str:
    """Return which errors make it vary, the greatest first, by their share of its variance."""
    ranked = sorted(outcome.shares.items(), key=lambda item: -item[1])
    said = [f"{of} {share:.0%}" for of, share in ranked if share >= LEAST_SHARE]
    return f"it varies by: {', '.join(said)}" if said else "nothing makes it vary"
