"""Words on prints: any nozzle leaves their strokes open and the walls beside them standing."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import Polygon

from cad.geometry import Plan
from cad.kernel.lettering import letters
from cad.outputs.meshes import Meshes
from fixtures.bench.model import Fixture
from fixtures.bench.print_report import print_figures
from fixtures.bench.workshop import build_fixture
from tests.planes import plan_of, spec_text


def plan_for(printer: str, radius: float = 38, arc: float = 45, hand: str = "left") -> Plan:
    more = "[shop.abrasive]\ngrits = ['P120']\n"
    return plan_of(spec_text("round", radius, arc, 50, hand) + f"[shop.printer]\n{printer}\n{more}")


def made(name: str, plan: Plan) -> Fixture:
    fixture = build_fixture(name, plan)
    assert isinstance(fixture, Fixture), fixture
    return fixture


@pytest.mark.parametrize("nozzle", [0.6, 0.8])
@pytest.mark.parametrize("name", ["sanding_blocks", "throat_template", "saw_guide", "iron_card"])
def test_words_survive_a_coarse_nozzle_or_are_left_to_the_hand(name: str, nozzle: float) -> None:
    """Walls of two widths of the nozzle, gaps of one: common practice, no source."""
    plan, meshes = plan_for(f"nozzle = {nozzle}", 6, 60), Meshes()
    for piece in made(name, plan).pieces:
        laid = meshes.laid(piece)
        found = print_figures(piece, laid.mesh, np.array(laid.matrix), plan)
        assert found.failures == ()
        for label in piece.labels:
            for letter in letters(label.text, label.height):
                # No stroke of it is lost when a disc as wide as the nozzle is pushed along it (shapely).
                ink = Polygon(letter.outer, letter.holes)
                drawn = ink.buffer(-nozzle / 2).buffer(nozzle / 2)
                assert drawn.hausdorff_distance(ink) < nozzle, (label.text, letter.character)


def test_both_faces_are_marked_on_a_template_without_an_arm() -> None:
    plan = plan_for("volume = [150, 150, 100]")
    words = " ".join(label.text for piece in made("throat_template", plan).pieces for label in piece.labels)
    assert "FRONT" in words and "BED" in words


def test_words_over_a_pin_are_left_to_the_hand() -> None:
    plan = plan_for("volume = [89, 81, 84]\nnozzle = 0.6")
    fixture = made("throat_template", plan)
    assert len(fixture.pieces) > 1
    assert all(piece.solid.isValid() for piece in fixture.pieces)
    (note,) = [note for note in fixture.notes if "printed in" in note]
    assert "a joint or a pin is in the way: HEEL   BED 50" in note
    meshes = Meshes()
    for piece in fixture.pieces:
        laid = meshes.laid(piece)
        found = print_figures(piece, laid.mesh, np.array(laid.matrix), plan)
        assert found.wall is not None and found.wall.mm >= 1.2 - 0.01
