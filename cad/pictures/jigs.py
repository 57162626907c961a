"""The fixtures: each by itself, and on its work in each set-up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from cadquery import Solid

from cad.geometry import Plan
from cad.kernel.measure import extent
from cad.kernel.shapes import Triple
from cad.parts import part_colour
from cad.pictures.scene import CUT, FROM_BELOW, OPEN_SIDE, PRINTED, Picture, Shown, for_hand
from fixtures.bench.model import Fixture
from fixtures.bench.proof import scenes

ON_ITS_SIDE: Triple = (-0.8, 1.1, -1.0)  # from above and the sawyer's side, where the rabbet face lies down


def pictures(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Picture]:
    """Yield, for each fixture, one picture by itself and one on its work for each set-up."""
    for fixture in fixtures:
        tones = {piece.name: CUT if piece.made == "cut" else PRINTED for piece in fixture.pieces}
        seen: set[tuple[int, ...]] = set()
        for set_up, scene in scenes(fixture, plan):
            if not scene.pieces:  # those in use were not asked for
                continue
            place = tuple(round(c) for piece in scene.pieces.values() for end in extent(piece) for c in end)
            if place in seen:  # another grit on the same place makes the same picture
                continue
            jig = tuple(Shown(solid, tones[name]) for name, solid in scene.pieces.items())
            eye = for_hand(_eye(fixture, scene.pieces.values()), plan.is_left)
            up = for_hand(fixture.up, plan.is_left)
            work = fixture.work if set_up.on is None else set_up.on[0]
            if not seen:
                yield Picture(f"fixture_{fixture.name}", jig, eye, up)
            words = f"_{_file_words(set_up.name)}" if len(fixture.set_ups) > 1 else ""
            seen.add(place)
            yield Picture(f"use_{fixture.name}{words}", (Shown(scene.work, part_colour(work)), *jig), eye, up)


def _file_words(name: str) -> str:
    return "_".join("".join(c if c.isalnum() else " " for c in name).split())


def _eye(fixture: Fixture, pieces: Iterable[Solid]) -> Triple:
    """Return where to stand: above the table for what lies on one, below for what sits under the sole."""
    if fixture.up[1]:
        return ON_ITS_SIDE
    boxes = [extent(piece) for piece in pieces]
    middle = (min(low[2] for low, _ in boxes) + max(high[2] for _, high in boxes)) / 2
    return FROM_BELOW if middle < 0 else OPEN_SIDE
