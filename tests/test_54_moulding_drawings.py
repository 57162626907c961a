"""The sheets of mouldings: every member is rebuilt from what is printed, and nothing overlaps."""

from __future__ import annotations

import re
from functools import cache
from math import hypot, radians, sin

import pytest

from cad.geometry import Plan
from cad.outline import Arc
from cad.papers.drawings.book import Leaf, leaves
from cad.papers.drawings.dimension import read_back
from cad.papers.drawings.members import joints, listing
from cad.papers.drawings.subject import Subject
from cad.parts import build_parts
from tests.mouldings import BUILDS, MOULDINGS, built
from tests.sheets import overlaps

PRINTED_MM = 0.011  # figures are printed to a hundredth, or to what a fraction of an inch leaves over
PLANS: dict[str, Plan] = {form: built(form, 20, BUILDS[form]) for form in MOULDINGS}


@cache
def sheets_of(form: str) -> dict[str, Leaf]:
    """Return the sheets of the parts by name."""
    plan = PLANS[form]
    parts = {part.name: part.solid for part in build_parts(plan)}
    return {leaf.name: leaf for leaf in leaves(Subject(plan, parts))}


def distinct(values: list[float]) -> list[float]:
    """Return values in order, of alike ones the first, without nought."""
    found: list[float] = []
    for value in sorted(values):
        if value > 0.005 and (not found or value - found[-1] > 0.005):
            found.append(value)
    return found


@pytest.mark.parametrize("form", MOULDINGS)
def test_the_sole_s_sheet_says_where_every_member_ends(form: str) -> None:
    plan, unit = PLANS[form], PLANS[form].spec.unit
    figures = {d.key: read_back(d.text, unit) for d in sheets_of(form)["sole"].laid.dimensions}
    across = [figures[key] for key in sorted(figures) if re.fullmatch(r"joint_\d+_across|width", key)]
    up = [figures[key] for key in sorted(figures) if re.fullmatch(r"joint_\d+_up", key)]
    ends = joints(plan.sole)
    within = 0.11 if unit == "in" else PRINTED_MM
    assert sorted(across) == pytest.approx(distinct([y for y, _ in ends]), abs=within)
    assert sorted(up) == pytest.approx(distinct([z for _, z in ends]), abs=within)
    radii = [figures[key] for key in figures if key.startswith("radius")]
    arcs = [segment.radius for segment in plan.sole.path if isinstance(segment, Arc)]
    assert sorted(radii) == pytest.approx(sorted(arcs), abs=within)


@pytest.mark.parametrize("form", MOULDINGS)
def test_the_edge_is_rebuilt_from_the_iron_s_notes(form: str) -> None:
    plan, unit = PLANS[form], PLANS[form].spec.unit
    words = " ".join(sheets_of(form)["iron"].laid.sheet.notes).replace("\N{NO-BREAK SPACE}", " ")
    printed = re.findall(r"\((\d[^;()]*); ([^;()]+)\)", words)
    points = [(read_back(v, unit), read_back(u, unit)) for v, u in printed]
    stretch = 1 / sin(radians(plan.throat.bed_deg))
    wanted = [(y, z * stretch) for y, z in joints(plan.sole)]
    within = 0.11 if unit == "in" else PRINTED_MM
    assert len(points) == len(wanted)
    for one, two in zip(points, wanted, strict=True):
        assert hypot(one[0] - two[0], one[1] - two[1]) < 1.5 * within
    axes = re.findall(r", (?:convex|hollow) (.+?) × (.+?) – ", words)
    arcs = [segment.radius for segment in plan.sole.path if isinstance(segment, Arc)]
    assert [read_back(a, unit) for a, _ in axes] == pytest.approx(arcs, abs=within)
    assert [read_back(b, unit) for _, b in axes] == pytest.approx([r * stretch for r in arcs], abs=within)


@pytest.mark.parametrize("form", MOULDINGS)
def test_no_word_of_the_sheets_meets_another_or_a_line(form: str) -> None:
    for name in ("sole", "iron"):
        assert overlaps(sheets_of(form)[name].ink) == []


def test_a_listing_names_members_with_their_radii() -> None:
    plan = PLANS["ogee"]
    words = " ".join(listing(plan.sole, Subject(plan, {}).wording))
    assert "low fillet" in words and "round, hollow R" in words and "hollow, convex R" in words
