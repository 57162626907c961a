"""Tool steels and temper colours: makers' data sheets; Colvin and Juthe, The Working of Steel (1922)."""

from __future__ import annotations

import pytest

from cad.formulas import steel


# A steel maker's data sheet for O1, hardened from 1475 °F in oil: temper °F, HRC.
@pytest.mark.parametrize(
    ("fahrenheit", "hrc"), [(300, 63), (350, 62.5), (400, 62), (500, 60), (600, 57), (700, 53), (800, 50)]
)
def test_o1_s_hardness_against_temper(fahrenheit: float, hrc: float) -> None:
    assert steel.STEELS["O1"].hrc(fahrenheit) == (hrc, hrc)


def test_o1_as_quenched_and_its_ranges() -> None:
    o1 = steel.STEELS["O1"]
    # A steel maker's data sheet: 65 as quenched. Data sheets: 1450-1500 °F (788-816 °C), oil; 300-450 °F.
    assert o1.hardness[0] == steel.Temper(None, (65, 65))
    assert (o1.harden_f, o1.quench, o1.temper_f) == ((1450, 1500), "oil", (300, 450))
    assert [round(steel.celsius(f)) for f in o1.harden_f] == [788, 816]
    assert "A681" in o1.standard  # ASTM A681, alloy tool steels


def test_w1_s_ranges() -> None:
    w1 = steel.STEELS["W1"]
    # From memory: 1400-1550 °F, water or brine; temper 350-650 °F.
    assert (w1.harden_f, w1.quench, w1.temper_f) == ((1400, 1550), "water or brine", (350, 650))
    assert "A686" in w1.standard  # ASTM A686, carbon tool steels
    assert w1.harden_source == w1.temper_source == "from memory"


def test_w1_s_hardness_against_temper() -> None:
    # From memory, for about 1 % carbon: °F, HRC from and to.
    w1 = steel.STEELS["W1"]
    rows = {row.fahrenheit: row.hrc for row in w1.hardness}
    assert rows == {None: (65, 67), 350: (62, 64), 400: (61, 63), 500: (57, 60), 600: (53, 56)}
    assert w1.hardness_source.startswith("from memory")


def test_an_iron_s_mass() -> None:
    # Steel: 7.85 g/cm³ (textbook value, from memory), so a litre of it is 7.85 kg.
    assert steel.mass_g(100**3) == pytest.approx(7850)


# Colvin and Juthe, The Working of Steel (1922), table 26, °F, as printed.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("yellow", 430, 450),
        ("straw", 460, 478),
        ("brown", 500, 500),
        ("purple", 530, 550),
        ("blue", 560, 600),
    ],
)
def test_colours_of_temper(name: str, low: float, high: float) -> None:
    found = next(colour for colour in steel.COLOURS if colour.name == name)
    assert found.fahrenheit == (low, high)
    assert "± 15 °F" in steel.COLOURS_SOURCE  # by which other sources differ
