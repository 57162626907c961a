"""Abrasives: FEPA 43 / ISO 6344."""

from __future__ import annotations

from cad.formulas.grit import GRAIN_UM, grain_mm


def test_grain_sizes() -> None:
    """FEPA 43 / ISO 6344: P60 to P220 from reprints, P240 and up (ISO 6344-3) from memory."""
    assert [GRAIN_UM[grit] for grit in ("P60", "P80", "P100", "P120", "P150", "P180", "P220")] == [
        269,
        201,
        162,
        125,
        100,
        82,
        68,
    ]
    sizes = list(GRAIN_UM.values())
    assert sizes == sorted(sizes, reverse=True)
    assert grain_mm("P100") == 0.162
