"""From a spec's text to the model that the page shows. Coarse triangles, no lettering: it is to look at."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from cad.geometry import Plan, derive
from cad.spec import parse_spec

if TYPE_CHECKING:
    from fixtures.bench.model import Declined, Fixture

SHOWN_CHORD_MM = 0.1  # ten times as coarse as in files: a third of a pixel of the whole plane on a screen


def model_of_text(text: str, file: str, with_fixtures: bool, step: Callable[[], None]) -> dict[str, Any]:
    """Return the review model of a text, of the plane alone or with its fixtures.

    `step` is called between solids and may raise to end the work. Raises SpecError and KernelError.
    """
    plan = derive(parse_spec(text, file))
    # The kernel is loaded by whoever keeps its thread; the page must open before that is done.
    from cad.kernel.mesh import tessellate
    from cad.parts import build_part, part_names
    from cad.review.model import model_of

    parts = []
    for name in part_names():
        step()
        parts.append(build_part(name, plan))
    fixtures, declined = _fixtures(plan, step) if with_fixtures else ([], [])
    step()
    return model_of(plan, parts, fixtures, declined, partial(tessellate, chord_mm=SHOWN_CHORD_MM))


def _fixtures(plan: Plan, step: Callable[[], None]) -> tuple[list[Fixture], list[Declined]]:
    from fixtures.bench.model import Declined
    from fixtures.bench.workshop import build_fixture, fixture_names

    made: list[Fixture] = []
    declined: list[Declined] = []
    for name in fixture_names():
        step()
        built = build_fixture(name, plan, lettered=False)
        if isinstance(built, Declined):
            declined.append(built)
        else:
            made.append(built)
    return made, declined
