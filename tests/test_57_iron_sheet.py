"""The iron's sheet: steel as published, the edge as the plan has it, cautions and both renderings."""

from __future__ import annotations

from math import sqrt

import pytest

from cad.formulas import steel
from cad.geometry import derive
from cad.papers import cautions, iron_sheet
from cad.papers.sheet.as_html import html
from cad.papers.sheet.as_pdf import pdf
from cad.papers.sheet.document import Caution, Document
from cad.spec import read_spec
from tests.conftest import DEMOS, demo_path
from tests.handouts import bare, page, pdf_text, rows, squeezed, step, table, texts
from tests.sample_planes import plan_of


def sheet(changes: dict[str, object]) -> Document:
    return iron_sheet.document(plan_of(changes))


@pytest.mark.parametrize("name", sorted(steel.STEELS))
def test_hotter_tempers_are_softer_and_the_aim_lies_in_the_range(name: str) -> None:
    one = steel.STEELS[name]
    lows = [row.hrc[0] for row in one.hardness]
    assert lows == sorted(lows, reverse=True)
    assert one.temper_f[0] <= one.aim_f <= one.temper_f[1]
    assert one.hrc(one.aim_f)[0] >= 60  # an edge for hardwood; common practice, no source
    with pytest.raises(ValueError, match="no hardness is tabled"):
        one.hrc(1200)


def test_every_figure_of_the_steel_is_printed_with_its_source() -> None:
    for name in steel.STEELS:
        one, document = steel.STEELS[name], sheet({"iron.steel": name})
        for row in table(step(document, "Hardening"), "What").rows:
            assert row[2]
        all_text = bare(" ".join(texts(document)))
        for source in (one.harden_source, one.soak_source, one.temper_source, one.hardness_source):
            assert source in all_text
        assert steel.COLOURS_SOURCE in all_text
        assert f"{one.harden_f[0]:g}–{one.harden_f[1]:g} °F" in all_text
        assert "The sheet that came with your steel goes before every figure here" in all_text
        assert "local codes" in all_text


def test_printed_hardness_and_colours_are_those_of_the_table() -> None:
    temper = step(sheet({}), "Tempering")
    hardness = table(temper, "Tempered at")
    found = dict(zip(hardness.head[1:], hardness.rows[0][1:], strict=True))
    assert found["not"] == "65"
    assert found["204 °C 400 °F"] == "62"  # as above
    assert table(temper, "Colour").rows[1][1:] == ("430–450", "460–478", "500", "530–550", "560–600")


def test_the_edge_s_offsets_are_the_ellipse() -> None:
    """By hand: r 16, w 16, bed 50: depth 2.143594 / sin 50° = 2.798263; half way 16 - sqrt(256 - 16)."""
    found = iron_sheet.offsets(plan_of({}))
    assert found[0] == pytest.approx((0, 2.798263))
    assert found[2] == pytest.approx((4, (16 - sqrt(256 - 16)) / 0.7660444))
    assert found[4] == pytest.approx((8, 0))
    profile = step(sheet({}), "Profile of the edge")
    printed = table(profile, "Station").rows
    assert printed[0][1:] == ("0", "2", "4", "6", "8", "10", "12", "14", "16")
    assert printed[1][1:] == ("2.8", "1.52", "0.66", "0.16", "0", "0.16", "0.66", "1.52", "2.8")


def test_blank_and_bevel() -> None:
    document = sheet({"iron.length": 165, "iron.thickness": 3.2, "iron.bevel": 30})
    blank = rows(step(document, "Blank"))
    assert blank["Flat annealed stock, length × width × thickness"] == "165 × 16 × 3.2 mm"
    assert blank["Mass"] == "66 g"  # 8.448 cm³ of steel, 7.85 g/cm³: textbook value
    bevel = rows(step(document, "Bevel"))
    assert bevel["Ground face, measured on the slope"] == "6.4 mm"  # 3.2 / sin 30°
    assert bevel["The same along the iron"] == "5.54 mm"  # 3.2 / tan 30°
    assert bevel["Clearance to the work: level, steepest"] == "20°, 17.5°"


def test_cautions_for_fire_oil_fumes_eyes_and_grinder() -> None:
    def said(document: Document, words: str) -> set[str]:
        blocks = step(document, words).blocks
        return {item for block in blocks if isinstance(block, Caution) for item in block.items}

    oil, water = sheet({"iron.steel": "O1"}), sheet({"iron.steel": "W1"})
    always = {*cautions.FIRE, *cautions.FUMES, *cautions.EYES}
    assert said(oil, "Hardening") == always | set(cautions.HOT_OIL)
    assert said(water, "Hardening") == always | set(cautions.WATER)
    assert "OSHA 1910.126" in " ".join(cautions.HOT_OIL)
    assert said(oil, "Grinding") >= set(cautions.GRINDER)
    assert said(oil, "Honing the curved edge") >= set(cautions.SHARP)


def test_a_hollow_s_slip_is_no_flatter_than_its_edge() -> None:
    # At the end of its long axis an ellipse's radius is a² / b = r sin(bed): analytic geometry.
    honing = " ".join(texts(sheet({"sole.form": "hollow"})))
    assert "no more than 12.26 mm radius" in bare(honing)  # 16 x 0.7660444


@pytest.mark.parametrize("name", DEMOS)
def test_pdf_and_html_say_the_same(name: str) -> None:
    document = iron_sheet.document(derive(read_spec(demo_path(name))))
    on_screen = squeezed(page(html(document)).text)
    read = pdf_text(pdf(document), f"{name}: iron's sheet")
    for text in texts(document):
        assert squeezed(text) in on_screen
        assert squeezed(text) in read
    assert pdf(document) == pdf(document)
