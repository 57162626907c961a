"""Grain sizes of coated abrasives.

Source: FEPA 43 / ISO 6344, median grain in µm; P60 to P220 from reprints of the standard, P240 to P600
(ISO 6344-3) from memory.
"""

GRAIN_UM = {
    "P60": 269.0,
    "P80": 201.0,
    "P100": 162.0,
    "P120": 125.0,
    "P150": 100.0,
    "P180": 82.0,
    "P220": 68.0,
    "P240": 58.5,
    "P280": 52.2,
    "P320": 46.2,
    "P360": 40.5,
    "P400": 35.0,
    "P500": 30.2,
    "P600": 25.8,
}


def grain_mm(grit: str) -> float:
    """Return the median grain of a grit in mm. Raises KeyError for a grit that is not in the table.

    >>> grain_mm("P120")
    0.125
    """
    return GRAIN_UM[grit] / 1000
