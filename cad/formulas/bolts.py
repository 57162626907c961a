"""Bolts: the holes they pass through and the nuts they turn in."""

CLEARANCE_MM = {3: 3.4, 4: 4.5, 5: 5.5, 6: 6.6, 8: 9.0}  # ISO 273, medium series, by nominal diameter
ACROSS_FLATS_MM = {3: 5.5, 4: 7.0, 5: 8.0, 6: 10.0, 8: 13.0}  # ISO 4032, widest; from memory
NUT_MM = {3: 2.4, 4: 3.2, 5: 4.7, 6: 5.2, 8: 6.8}  # ISO 4032, thickest; from memory


def clearance_hole_mm(nominal: int) -> float:
    """Return the diameter of the hole through which a metric bolt passes freely.

    Source: ISO 273, medium series. Raises ValueError for a size that is not listed.

    >>> clearance_hole_mm(5)
    5.5
    """
    if nominal not in CLEARANCE_MM:
        raise ValueError(f"no clearance hole is listed for M{nominal}; there are {sorted(CLEARANCE_MM)}")
    return CLEARANCE_MM[nominal]
