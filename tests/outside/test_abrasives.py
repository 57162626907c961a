"""Abrasives: FEPA 43 / ISO 6344."""

from __future__ import annotations

from cad.formulas.grit import GRAIN_UM, grain_mm


def test_grain_sizes() -> None:
    """FEPA 43 / ISO 6344: P60 to P220 from reprints, P240 and up (ISO 6344-3) from memory."""
    assert dict(GRAIN_UM) == {
        **{"P60": 269, "P80": 201, "P100": 162, "P120": 125, "P150": 100, "P180": 82, "P220": 68},
        **{"P240": 58.5, "P280": 52.2, "P320": 46.2, "P360": 40.5, "P400": 35.0, "P500": 30.2, "P600": 25.8},
    }
    assert grain_mm("P100") == 0.162
