"""General tolerances for lengths that carry none of their own.

Source: ISO 2768-1, permissible deviations for linear dimensions, class m (medium); the rows from 0.5 to 6 mm
and over 400 mm from memory.
"""

SOURCE = "ISO 2768-1, class m"
MEDIUM_MM = ((6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2))


def general_mm(length: float) -> float:
    """Return how far a length may be off either way. Raises ValueError outside 0.5 to 2000 mm.

    >>> general_mm(75), general_mm(350)
    (0.3, 0.5)
    """
    if length >= 0.5:
        for upper, deviation in MEDIUM_MM:
            if length <= upper:
                return deviation
    raise ValueError(f"ISO 2768-1 gives no deviation for {length:g} mm")
