"""A circle fitted to measured points, and the factors its uncertainty is stated with."""

from __future__ import annotations

from math import cos, hypot, radians, sin, sqrt
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit, least_squares
from scipy.stats import t as student

from cad.formulas.circle import radius_from_chord
from cad.formulas.fitting import Point, fit_circle
from cad.formulas.uncertainty import STUDENT_95, student_95

GANDER: list[Point] = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def by_scipy(points: list[Point]) -> tuple[np.ndarray, np.ndarray]:
    """Return centre, radius and their standard errors as scipy's own least squares gives them."""
    at = np.array(points, float)
    start = np.linalg.lstsq(np.c_[2 * at, np.ones(len(at))], (at**2).sum(axis=1), rcond=None)[0]
    guess = [start[0], start[1], sqrt(start[2] + start[0] ** 2 + start[1] ** 2)]

    def off(figures: np.ndarray) -> np.ndarray:
        return np.asarray(np.hypot(at[:, 0] - figures[0], at[:, 1] - figures[1]) - figures[2])

    found = least_squares(off, guess, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    spare = len(points) - 3
    cov = np.linalg.inv(found.jac.T @ found.jac) * (found.fun**2).sum() / spare
    return found.x, np.sqrt(np.diag(cov))


def test_the_published_example() -> None:
    """Gander, Golub and Strebel, BIT 34 (1994), the example of their section 1: points and results.

    Centre (4.7398, 2.9835) and radius 4.7142 of the geometric fit are from memory; scipy.optimize finds the
    same below.
    """
    fitted = fit_circle(GANDER)
    assert (fitted.x, fitted.y, fitted.radius) == pytest.approx((4.7398, 2.9835, 4.7142), abs=5e-5)
    figures, errors = by_scipy(GANDER)
    assert (fitted.x, fitted.y, fitted.radius) == pytest.approx(tuple(figures), abs=1e-6)
    assert fitted.errors == pytest.approx(tuple(errors), rel=1e-6)


@settings(deadline=None, max_examples=40)
@given(st.floats(3, 40), st.floats(50, 180), st.integers(4, 12), st.integers(0, 1000))
def test_against_scipy_on_soles(radius: float, arc: float, count: int, seed: int) -> None:
    lot = Random(seed)
    turns = [radians(arc * (i / (count - 1) - 0.5)) for i in range(count)]
    points = [
        (radius * sin(a) + 8, radius * (1 - cos(a)) + 7 + lot.uniform(-0.03, 0.03) * radius / 16)
        for a in turns
    ]
    fitted = fit_circle(points)
    figures, errors = by_scipy(points)
    assert (fitted.x, fitted.y, fitted.radius) == pytest.approx(tuple(figures), rel=2e-6, abs=1e-6)
    assert fitted.errors is not None
    assert fitted.errors == pytest.approx(tuple(errors), rel=1e-3, abs=1e-7)
    assert fitted.rms == pytest.approx(
        sqrt(sum((hypot(x - figures[0], y - figures[1]) - figures[2]) ** 2 for x, y in points) / count),
        abs=1e-7,
    )


def test_errors_are_those_of_curve_fit() -> None:
    """scipy.optimize.curve_fit states the covariance by its own code; absolute_sigma is off, as here."""
    at = np.array(GANDER, float)

    def off(_: np.ndarray, a: float, b: float, r: float) -> np.ndarray:
        return np.asarray(np.hypot(at[:, 0] - a, at[:, 1] - b) - r)

    _, cov = curve_fit(off, np.arange(len(at)), np.zeros(len(at)), p0=[4.7, 3, 4.7], ftol=1e-15, xtol=1e-15)
    assert fit_circle(GANDER).errors == pytest.approx(tuple(np.sqrt(np.diag(cov))), rel=1e-5)


def test_errors_tell_how_far_fits_scatter() -> None:
    """Over many fits of one arc with known noise, the radius scatters by what each fit says of itself."""
    lot = Random(7)
    turns = [radians(-30 + 60 * i / 8) for i in range(9)]
    fits = [
        fit_circle([((16 + lot.gauss(0, 0.01)) * sin(a), (16 + lot.gauss(0, 0.01)) * cos(a)) for a in turns])
        for _ in range(600)
    ]
    radii = [one.radius for one in fits]
    mean = sum(radii) / len(radii)
    scatter = sqrt(sum((r - mean) ** 2 for r in radii) / (len(radii) - 1))
    said = sqrt(sum(one.errors[2] ** 2 for one in fits if one.errors) / len(fits))
    assert scatter == pytest.approx(said, rel=0.1)


def test_three_points_fit_exactly_and_say_nothing_of_the_error() -> None:
    fitted = fit_circle([(0, 2), (8, 0), (16, 2)])
    assert fitted.radius == pytest.approx(radius_from_chord(16, 2))
    assert (fitted.spare, fitted.errors) == (0, None)
    assert fitted.rms == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0, 0), (1, 1)], "three points"),
        ([(0, 0), (1, 1), (2, 2)], "straight line"),
        ([(0, 3), (5, 3), (9, 3), (11, 3)], "straight line"),
        ([(4, 4), (4, 4), (4, 4)], "one point"),
    ],
)
def test_points_without_a_circle(points: list[Point], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        fit_circle(points)


def test_students_factors() -> None:
    """JCGM 100, table G.2, against scipy.stats: the table prints two or three decimals."""
    for spare, factor in STUDENT_95:
        assert factor == pytest.approx(student.ppf(0.975, spare), abs=0.006)
    assert [student_95(spare) for spare in (1, 12, 24, 5000)] == [12.71, 2.18, 2.09, 1.984]
    with pytest.raises(ValueError, match="to spare"):
        student_95(0)
