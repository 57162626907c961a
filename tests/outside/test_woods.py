"""Wood: Wood Handbook, USDA Forest Products Laboratory, FPL-GTR-190, tables 4-2, 4-3, 13-5, eq. 13-2."""

from __future__ import annotations

import pytest

from cad.formulas import moisture, wood
from cad.formulas.wood import SPECIES, Species, change_mm

# Table 13-5: change coefficients across and along the rings, from 6 to 14 % moisture.
COEFFICIENTS = {
    "American beech": (0.00190, 0.00431),
    "sugar maple": (0.00165, 0.00353),
    "yellow birch": (0.00256, 0.00338),
    "black cherry": (0.00126, 0.00248),
    "white oak": (0.00180, 0.00365),
    "pecan hickory": (0.00169, 0.00315),
    "black walnut": (0.00190, 0.00274),
    "apple": (0.00205, 0.00376),
    "red maple": (0.00137, 0.00289),
    "white ash": (0.00169, 0.00274),
    "honeylocust": (0.00144, 0.00230),
    "persimmon": (0.00278, 0.00403),
}


@pytest.mark.parametrize("name", COEFFICIENTS)
def test_change_coefficients_are_those_printed(name: str) -> None:
    species = SPECIES[name]
    assert (species.coefficient("quartered"), species.coefficient("flat")) == COEFFICIENTS[name]


def coefficient_from_shrinkage(percent: float) -> float:
    """Return the change coefficient that a shrinkage implies.

    S/30 of the green size for each per cent below a fibre saturation of 30 %; at 10 %, the middle of the
    range, two thirds of the shrinkage are done, so that the size then is 1 - S/150 of it.
    """
    return (percent / 3000) / (1 - percent / 150)


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


def test_where_coefficients_hold_and_wood_stands_still() -> None:
    """FPL-GTR-190: table 13-5 is for 6 to 14 %; fibre saturation averages 30 % (ch. 4, from memory)."""
    assert wood.COEFFICIENTS_HOLD_PERCENT == (6, 14)
    assert wood.FIBRE_SATURATION_PERCENT == 30


# Wood Handbook, FPL-GTR-190, table 4-2 at 21.1 °C (70 °F), from memory.
@pytest.mark.parametrize(("humidity", "percent"), [(30, 6.2), (50, 9.2), (65, 12.0), (80, 16.0)])
def test_moisture_in_equilibrium_with_air(humidity: float, percent: float) -> None:
    assert moisture.equilibrium_percent(humidity) == pytest.approx(percent, abs=0.06)
    assert moisture.humidity_percent(percent) == pytest.approx(humidity, abs=0.5)
