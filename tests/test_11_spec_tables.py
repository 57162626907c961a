"""The tables that a spec may name things from: woods and grits."""

from __future__ import annotations

import pytest

from cad.formulas.grit import GRAIN_UM, grain_mm
from cad.formulas.wood import SPECIES, Species, change_mm, coefficient_from_shrinkage


@pytest.mark.parametrize("species", SPECIES.values(), ids=lambda species: species.name)
def test_coefficients_agree_with_shrinkages(species: Species) -> None:
    """Tables 13-5 and 4-3 of the Wood Handbook, FPL-GTR-190, are printed apart and must agree.

    White oak is the exception: its printed coefficients, 0.00180 and 0.00365, are lower than its shrinkages
    of 5.6 and 10.5 % imply. Both are kept as printed.
    """
    if species.radial_shrinkage is None or species.tangential_shrinkage is None:
        assert 0.001 < species.radial < species.tangential < 0.005
        return
    implied = (
        coefficient_from_shrinkage(species.radial_shrinkage),
        coefficient_from_shrinkage(species.tangential_shrinkage),
    )
    printed = (0.00194, 0.00376) if species.name == "white oak" else (species.radial, species.tangential)
    assert implied == pytest.approx(printed, abs=6e-6)


def test_worked_example_of_the_handbook() -> None:
    """Wood Handbook, FPL-GTR-190, chapter 13, eq. 13-2: 232 mm, C 0.00245, 8 % to 11 % gives 233.7 mm.

    That the board is of white fir and starts at 8 % is inferred; the figures agree.
    """
    assert 232 + change_mm(232, 0.00245, 8, 11) == pytest.approx(233.7, abs=0.05)


def test_quartered_wood_moves_least() -> None:
    beech = SPECIES["American beech"]
    assert (beech.coefficient("quartered"), beech.coefficient("flat")) == (0.00190, 0.00431)


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
