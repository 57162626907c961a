"""Wedges that hold: Engineering Statics (Baker and Haynes), ch. 9.3, and a textbook exercise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize

from cad.formulas import wedging


def driving_force(load: float, wedge_deg: float, friction: float) -> float:
    """Return the force that drives a wedge with one inclined face (freeing it: the negative of a load's).

    Engineering Statics (Baker and Haynes), ch. 9.3: P = N [tan(theta + phi) + tan phi].
    """
    phi = math.atan(friction)
    return load * (math.tan(math.radians(wedge_deg) + phi) + math.tan(phi))


def freeing_force(load: float, wedge_deg: float, friction: float) -> float:
    phi = math.atan(friction)
    return load * (math.tan(phi) - math.tan(math.radians(wedge_deg) - phi))


def test_the_wedge_s_limit_is_where_the_force_to_free_it_vanishes() -> None:
    # Textbook exercise: one inclined face of 15°, friction 0.25, load 6000 N: 4831 N in, 1399 N out.
    assert driving_force(6000, 15, 0.25) == pytest.approx(4831, abs=1)
    assert freeing_force(6000, 15, 0.25) == pytest.approx(1399, abs=1)
    for friction in (0.10, 0.15, 0.25):
        limit = optimize.brentq(lambda angle, mu=friction: freeing_force(1, angle, mu), 1, 60)
        assert wedging.widest_holding_deg(friction, friction) == pytest.approx(limit, abs=1e-6)
        assert wedging.least_friction(limit) == pytest.approx(friction, abs=1e-9)


@pytest.mark.parametrize(
    ("friction", "widest"), [(0.10, 11.421), (0.15, 17.062), (0.20, 22.620), (0.30, 33.398)]
)
def test_widest_wedges_that_hold(friction: float, widest: float) -> None:
    # Twice the friction angle, Engineering Statics (Baker and Haynes), ch. 9.3; computed to three places.
    assert wedging.widest_holding_deg(friction, friction) == pytest.approx(widest, abs=5e-4)


@pytest.mark.parametrize(("below", "above"), [(0.10, 0.30), (0.25, 0.10), (0.15, 0.15)])
def test_faces_that_are_not_equally_slippery(below: float, above: float) -> None:
    """A body held at two places alone stands while one line lies in both cones of friction (statics).

    The wedge lies on a level face, its other face rises at its angle. Both reactions, at their limits of
    friction against its slipping out, are opposite at the widest that holds.
    """

    def off_line(wedge_deg: float) -> float:
        a = math.radians(wedge_deg)
        from_below = np.array([-below, 1.0])
        from_above = np.array([math.sin(a), -math.cos(a)]) - above * np.array([math.cos(a), math.sin(a)])
        return float(from_below[0] * from_above[1] - from_below[1] * from_above[0])

    limit = optimize.brentq(off_line, 1, 60)
    assert wedging.widest_holding_deg(below, above) == pytest.approx(limit, abs=1e-9)
