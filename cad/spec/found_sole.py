"""The sole's radius as found: by a gauge's chord and sagitta, or by a depth gauge's readings across it."""

from __future__ import annotations

from cad.formulas.circle import radius_from_chord
from cad.formulas.fitting import FittedCircle, fit_circle
from cad.spec.measured import Measured


def found_radius(measured: Measured) -> float | None:
    """Return the radius that was found, mm, None when the sole was not measured.

    Raises ValueError when the readings make no circle.
    """
    if measured.sole_chord is not None and measured.sole_sagitta is not None:
        return radius_from_chord(measured.sole_chord, measured.sole_sagitta)
    fitted = fitted_sole(measured)
    return None if fitted is None else fitted.radius


def fitted_sole(measured: Measured) -> FittedCircle | None:
    """Return the circle through a depth gauge's readings, None when there are none.

    x is its centre across, from the rabbet face; y its height over the bar, the way the plane stands in use.
    Raises ValueError when the readings make no circle.
    """
    across, readings = measured.sole_across, measured.sole_readings
    if across is None or readings is None:
        return None
    return fit_circle(tuple(zip(across, readings, strict=True)))
