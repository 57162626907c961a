"""The sled's plates: holes that meet, outlines that a cutter can follow, lettering, words for the sawyer."""

from __future__ import annotations

from math import atan, pi, sqrt, tan

import pytest
from cadquery import Solid
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Lin

from cad.geometry import Plan
from cad.kernel.measure import flat_face_at
from cad.outline import Arc, polygon
from fixtures.bench.plates import fits_sheet, hole, routed
from fixtures.bench.sled_layout import BOLT_MM, DOWEL_MM
from tests.planes import plan_of, spec_text
from tests.sleds import plate, sled, standing, sweep, toward_sawyer


def bores(solid: Solid, diameter: float) -> list[gp_Lin]:
    """Return the axes of the round holes of a diameter."""
    surfaces = [BRepAdaptor_Surface(face.wrapped) for face in solid.Faces()]
    rounds = [s.Cylinder() for s in surfaces if s.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder]
    return [gp_Lin(c.Axis()) for c in rounds if abs(2 * c.Radius() - diameter) < 1e-6]


def same_axes(one: list[gp_Lin], among: list[gp_Lin]) -> bool:
    """Return whether each axis has another on it."""
    return all(any(a.Distance(b) < 1e-6 and a.Angle(b) in (0, pi) for b in among) for a in one)


def test_the_dowels_find_their_holes_in_both_set_ups(demo: Plan) -> None:
    fixture = sled(demo)
    for set_up in fixture.set_ups:
        pieces = standing(fixture, set_up)
        stacked = [n for n in pieces if n.startswith(("sled_carrier", "sled_fence"))]
        on_base = bores(pieces["sled_base"], DOWEL_MM)
        for name in stacked:
            dowels, bolts = bores(pieces[name], DOWEL_MM), bores(pieces[name], BOLT_MM)
            assert len(dowels) == len(bolts) == 2
            assert same_axes(dowels, on_base) and same_axes(bolts, on_base)


def test_holes_are_the_standards() -> None:
    """Clearance holes of ISO 273, medium: M6 6.6 mm, M4 4.5 mm."""
    plan = plan_of(spec_text("round", 16, 60, 50, "right"))
    pieces = {p.name: p.solid for p in sled(plan).pieces}
    assert len(bores(pieces["sled_carrier"], 6.6)) == 2
    assert len(bores(pieces["sled_base"], 4.5)) == 4 + 8


def test_all_but_the_runner_are_plates_of_the_sheet(demo: Plan) -> None:
    for piece in sled(demo).pieces:
        face = flat_face_at(piece.solid, piece.bed_face.point, piece.bed_face.normal, piece.name)
        thick = piece.solid.Volume() / face.Area()
        wanted = demo.spec.shop.table_saw.slot_depth - 0.5 if piece.name == "sled_runner" else 12
        assert thick == pytest.approx(wanted, rel=1e-9), "flat: its outline swept by its thickness"
        assert piece.solid.isValid() and piece.made == "cut"


def test_the_cutter_can_follow_every_outline(demo: Plan) -> None:
    least = demo.spec.shop.router.cutter / 2
    for piece in sled(demo).pieces:
        path = plate(piece).outline
        inside = [s for s in path if isinstance(s, Arc) and not s.ccw]
        assert all(arc.radius >= least for arc in inside)
        for one, two in zip(path, (*path.segments[1:], path.segments[0]), strict=True):
            turn = (two.heading_deg(0) - one.heading_deg(1) + 180) % 360 - 180
            arcs = [segment for segment in (one, two) if isinstance(segment, Arc)]
            assert turn > -1e-6 or arcs, "no sharp inside corner"


def test_rounded_inside_corners_add_what_the_closed_form_says() -> None:
    """An inside corner of angle a rounded by r keeps r²(1/tan(a/2) − (π − a)/2) of wood: plane geometry."""
    notch = [(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (40.0, 40.0), (30.0, 20.0), (10.0, 40.0), (0.0, 40.0)]
    angle = pi - atan(20 / 10) - atan(20 / 20)
    r = 3.0
    more = r * r * (1 / tan(angle / 2) - (pi - angle) / 2)
    assert routed(notch, r).area == pytest.approx(polygon(notch).area + more, rel=1e-12)
    with pytest.raises(ValueError, match="too short"):
        routed(notch, 30.0)


def test_a_piece_larger_than_the_sheet_is_said() -> None:
    plan = plan_of(spec_text("round", 16, 60, 50, "right") + "[shop.router]\nsheet = [300, 200, 12]\n")
    notes = sled(plan).notes
    assert any("sled_base is" in note and "300 × 200" in note for note in notes)
    assert not any("sled_runner is" in note for note in notes), "it is hardwood, not sheet"
    assert fits_sheet(plan, "small", polygon([(0, 0), (185, 0), (185, 285), (0, 285)])) == ()
    assert hole((1, 2), 8).area == pytest.approx(16 * pi)


def test_lettering(demo: Plan) -> None:
    bare, fixture = sled(demo), sled(demo, lettered=True)
    throat = demo.spec.throat
    words = [label.text for piece in fixture.pieces for label in piece.labels]
    height = f"BLADE HEIGHT {demo.sole.width + 24:.1f} mm"
    assert sorted(words) == sorted(
        [f"BED {throat.bed:g}°", f"FRONT {throat.front:g}°", "TOE", "BLADE", height]
    )
    lost = [a.solid.Volume() - b.solid.Volume() for a, b in zip(bare.pieces, fixture.pieces, strict=True)]
    assert all((loss > 1) == bool(piece.labels) for loss, piece in zip(lost, fixture.pieces, strict=True))


def test_what_the_sawyer_is_told(demo: Plan) -> None:
    fixture = sled(demo)
    notes, cautions = " ".join(fixture.notes), " ".join(fixture.cautions)
    assert f"{demo.sole.width + 24:.2f} mm above the table" in notes
    for word in ("manual", "riving knife", "Unplug", "Never hold the work by hand", "eye and ear", "dust"):
        assert word in cautions
    # What the notes say of the stop is true of the solids: the blade's centre, its diameter known.
    blade = sweep(demo, fixture, fixture.set_ups[0])
    way = toward_sawyer(fixture, fixture.set_ups[0])
    radius, tall = demo.spec.shop.table_saw.blade_diameter / 2, demo.sole.width + 24
    last = max(v.Center().dot(way) for v in blade.Vertices())
    centre = last - sqrt(radius**2 - (radius - tall) ** 2)
    front = min(v.Center().dot(way) for v in fixture.pieces[0].solid.Vertices())
    assert f"{centre - front:.0f} mm beyond the middle of the blade" in notes
