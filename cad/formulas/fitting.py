"""A circle through measured points by least squares, with how far its figures may be trusted.

Source: the geometric fit of Gander, Golub and Strebel, Least-squares fitting of circles and ellipses, BIT 34
(1994), which makes the squares of the points' distances from the circle least, by steps of Gauss and Newton
damped after Levenberg and Marquardt. Standard errors are those of any least-squares fit, s² (JᵀJ)⁻¹, with s²
the sum of squares over the points to spare (JCGM 100:2008, 4.2 and annex H.3).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

Point = tuple[float, float]
Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]

LEAST_POINTS = 3
MOST_STEPS = 200
SETTLED = 1e-13  # of the spread of the points: beyond this a step moves nothing but dust
STRAIGHT = 1e-9  # of the spread: points this near to a line have no circle worth the name


@dataclass(frozen=True)
class FittedCircle:
    """A circle fitted to points, mm.

    `errors` are the standard errors of centre's x, centre's y and radius; None with three points, which a
    circle always fits. `spare` counts the points beyond three.
    """

    x: float
    y: float
    radius: float
    rms: float  # of the points' distances from the circle
    spare: int
    errors: Triple | None


def fit_circle(points: Sequence[Point]) -> FittedCircle:
    """Return the circle for which the sum of squares of the points' distances from it is least.

    Raises ValueError for fewer than three points, and for points along a straight line.

    >>> fitted = fit_circle([(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)])
    >>> round(fitted.x, 4), round(fitted.y, 4), round(fitted.radius, 4)
    (4.7398, 2.9835, 4.7142)
    """
    if len(points) < LEAST_POINTS:
        raise ValueError("a circle takes three points or more")
    # About their middle and in units of their spread, sums of powers keep their digits.
    cx = sum(x for x, _ in points) / len(points)
    cy = sum(y for _, y in points) / len(points)
    spread = sqrt(sum((x - cx) ** 2 + (y - cy) ** 2 for x, y in points) / len(points))
    if spread == 0:
        raise ValueError("the points are all one point")
    near = [((x - cx) / spread, (y - cy) / spread) for x, y in points]
    circle = _settled(near, _algebraic(near))
    squares = sum(d * d for d in _distances(near, circle))
    spare = len(points) - LEAST_POINTS
    return FittedCircle(
        x=cx + circle[0] * spread,
        y=cy + circle[1] * spread,
        radius=circle[2] * spread,
        rms=spread * sqrt(squares / len(points)),
        spare=spare,
        errors=_errors(near, circle, squares, spare, spread) if spare else None,
    )


def _algebraic(points: Sequence[Point]) -> Triple:
    """Return a first guess: x² + y² = 2ax + 2by + c, which is linear in what is sought."""
    rows = [(2 * x, 2 * y, 1.0) for x, y in points]
    sides = [x * x + y * y for x, y in points]
    try:
        a, b, c = _solved(_normal(rows), _against(rows, sides))
    except ZeroDivisionError:
        raise ValueError("the points lie along a straight line") from None
    return a, b, sqrt(c + a * a + b * b)


def _settled(points: Sequence[Point], guess: Triple) -> Triple:
    """Return the circle that Levenberg's and Marquardt's steps come to rest at."""
    circle, damping = guess, 1e-3
    squares = sum(d * d for d in _distances(points, circle))
    for _ in range(MOST_STEPS):
        slopes = _slopes(points, circle)
        normal, side = _normal(slopes), _against(slopes, _distances(points, circle))
        step = _solved(_damped(normal, damping), side)
        tried = (circle[0] - step[0], circle[1] - step[1], circle[2] - step[2])
        left = sum(d * d for d in _distances(points, tried))
        if max(map(abs, step)) < SETTLED * max(1.0, circle[2]):
            return circle
        if left <= squares:
            circle, squares, damping = tried, left, damping / 10
        else:
            damping *= 10
    if circle[2] < 1 / STRAIGHT:
        return circle  # the steps go to and fro by the last digits
    raise ValueError("the points lie along a straight line")


def _distances(points: Sequence[Point], circle: Triple) -> list[float]:
    """Return how far each point lies outside the circle."""
    a, b, r = circle
    return [hypot(x - a, y - b) - r for x, y in points]


def _slopes(points: Sequence[Point], circle: Triple) -> list[Triple]:
    """Return how each point's distance changes with the circle's three figures: the rows of J."""
    a, b, _ = circle
    found: list[Triple] = []
    for x, y in points:
        far = hypot(x - a, y - b)
        found.append(((a - x) / far, (b - y) / far, -1.0) if far else (0.0, 0.0, -1.0))
    return found


def _errors(points: Sequence[Point], circle: Triple, squares: float, spare: int, spread: float) -> Triple:
    normal = _normal(_slopes(points, circle))
    units: Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    variances = [_solved(normal, unit)[place] for place, unit in enumerate(units)]
    x, y, r = (spread * sqrt(squares / spare * variance) for variance in variances)
    return x, y, r


def _normal(rows: Sequence[Triple]) -> Matrix:
    """Return JᵀJ."""
    a, b, c = ((sum(r[i] * r[0] for r in rows), sum(r[i] * r[1] for r in rows)) for i in range(3))
    last = [sum(r[i] * r[2] for r in rows) for i in range(3)]
    return (*a, last[0]), (*b, last[1]), (*c, last[2])


def _against(rows: Sequence[Triple], sides: Sequence[float]) -> Triple:
    """Return Jᵀd."""
    a, b, c = (sum(r[i] * d for r, d in zip(rows, sides, strict=True)) for i in range(3))
    return a, b, c


def _damped(m: Matrix, damping: float) -> Matrix:
    k = 1 + damping
    (a, b, c), (d, e, f), (g, h, i) = m
    return (a * k, b, c), (d, e * k, f), (g, h, i * k)


def _solved(m: Matrix, v: Triple) -> Triple:
    """Return x of m x = v by Cramer's rule. Raises ZeroDivisionError where m is as good as singular."""
    whole = _determinant(m)
    scale = abs(m[0][0] * m[1][1] * m[2][2])
    if abs(whole) <= STRAIGHT**2 * scale:
        raise ZeroDivisionError
    a, b, c = (_determinant(_replaced(m, place, v)) / whole for place in range(3))
    return a, b, c


def _replaced(m: Matrix, place: int, v: Triple) -> Matrix:
    """Return the matrix with one column replaced."""
    a, b, c = (tuple(v[i] if j == place else m[i][j] for j in range(3)) for i in range(3))
    return (a[0], a[1], a[2]), (b[0], b[1], b[2]), (c[0], c[1], c[2])


def _determinant(m: Matrix) -> float:
    (a, b, c), (d, e, f), (g, h, i) = m
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
