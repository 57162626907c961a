"""All that the page shows of one plane, as one value ready for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cadquery import Solid

from cad.geometry import Plan
from cad.parts import Part
from cad.review.packing import Packer
from cad.review.places import places
from cad.review.things import MeshOf, Woods
from cad.review.views import fixture_view, plane_view, stage_views
from cad.review.words import check_rows, dimension_groups, lede
from fixtures.bench.model import Declined, Fixture


def model_of(
    plan: Plan,
    parts: Sequence[Part],
    fixtures: Sequence[Fixture],
    declined: Sequence[Declined],
    mesh_of: MeshOf,
) -> dict[str, Any]:
    """Return what the page shows: words, views with their solids, places to point at, and the triangles.

    `parts` are the parts of the plane where they sit, the throat's waste among them or not; `mesh_of` gives a
    solid's triangles, so that what was meshed for another format is not meshed again. Lengths in mm, in the
    work's frame of the spec's hand.
    """
    packer, woods = Packer(), Woods(plan, parts)

    def number(solid: Solid) -> int:
        return packer.add(solid, mesh_of(solid))

    views = [plane_view(plan, parts, number), *stage_views(plan, woods, number)]
    told = []
    for fixture in fixtures:
        words, more = fixture_view(plan, fixture, woods, number, mesh_of)
        told.append(words)
        views += more
    return {
        "name": plan.spec.name,
        "unit": plan.spec.unit,
        "hand": plan.spec.body.hand,
        "lede": lede(plan),
        "dimensions": dimension_groups(plan),
        "checks": check_rows(plan),
        "places": places(plan),
        "views": views,
        "fixtures": told,
        "declined": [{"name": one.name.replace("_", " "), "reason": one.reason} for one in declined],
        **packer.packed(),
    }
