"""Densities of what printers print with, in g/cm³: common practice, no source."""

DENSITY_G_CM3 = {"PLA": 1.24, "PETG": 1.27, "ABS": 1.04}


def mass_g(volume_mm3: float, filament: str) -> float:
    """Return the mass of a volume of solid filament in grams. Raises KeyError for one not in the table.

    >>> round(mass_g(10_000, "PLA"), 6)
    12.4
    """
    return volume_mm3 / 1000 * DENSITY_G_CM3[filament]
