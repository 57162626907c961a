"""The router: whether its cutter takes chips of a usual thickness, in steps of a usual depth, and reaches."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change
from cad.formulas.routing import chip_mm, chip_range_mm, feed_mm, step_range_mm
from cad.geometry import Plan
from cad.units import plain

LEAST_STRIP_MM = 2.0  # between the paths round two pieces
MUCH = 2.0  # times too thick or too thin: no longer only worth knowing


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the straight cutter in the spec's sheet."""
    router = plan.spec.shop.router
    chip = chip_mm(router.feed, router.speed, router.flutes)
    thin, thick = chip_range_mm(router.material, router.cutter)
    least, most = (feed_mm(limit, router.speed, router.flutes) for limit in (thin, thick))
    cure = change(f'shop.router.feed = "{plain(min(max(router.feed, ceil(least)), floor(most)))} mm"')
    yield at_least(
        "router.chip",
        chip,
        note=thin,
        warn=thin / MUCH,
        why=f"at this feed and speed each edge rubs more than it cuts: it burns {router.material} and itself",
        cure=cure,
    )
    yield at_most(
        "router.load",
        chip,
        note=thick,
        warn=thick * MUCH,
        why="at this feed and speed each edge takes a chip that a light machine may not bear",
        cure=cure,
    )
    deepest = step_range_mm(router.material, router.cutter)[1]
    yield at_most(
        "router.step",
        router.depth_step,
        note=deepest,
        why=f"one pass takes more depth than a cutter of this diameter usually bears in {router.material}",
        cure=change(f'shop.router.depth_step = "{plain(floor(deepest * 10) / 10)} mm"'),
    )
    through = router.sheet[2] + router.through
    yield at_least(
        "router.reach",
        router.flute_length,
        warn=through,
        why="the cutter is too short to go through the sheet: it gets no program",
        cure=change(f'shop.router.flute_length = "{plain(ceil(through))} mm"'),
    )
    yield at_least(
        "router.strip",
        router.spacing,
        note=2 * router.cutter + LEAST_STRIP_MM,
        why="the paths round two pieces leave no strip between them, and tabs there hold to nothing",
        cure=change(f'shop.router.spacing = "{plain(2 * router.cutter + LEAST_STRIP_MM)} mm"'),
    )
