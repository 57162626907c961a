"""How far a figure got from measurements may be trusted.

Source: JCGM 100:2008 (Guide to the expression of uncertainty in measurement), table G.2 for Student's
factors, whose figures are from memory and are held against a library by the tests.
"""

from __future__ import annotations

# Column of 95 % of table G.2, by degrees of freedom.
STUDENT_95 = (
    *((i + 1, t) for i, t in enumerate((12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23))),
    *((i + 11, t) for i, t in enumerate((2.20, 2.18, 2.16, 2.14, 2.13, 2.12, 2.11, 2.10, 2.09, 2.09))),
    *((25, 2.06), (30, 2.04), (35, 2.03), (40, 2.02), (50, 2.01), (100, 1.984)),
)


def student_95(spare: int) -> float:
    """Return how many standard errors hold a figure with 95 % confidence, `spare` degrees of freedom.

    Between two rows of the table it is the earlier, which promises less. Raises ValueError below one.

    >>> student_95(5), student_95(27)
    (2.57, 2.06)
    """
    if spare < 1:
        raise ValueError("without a measurement to spare nothing is known of the error")
    return next(factor for known, factor in reversed(STUDENT_95) if known <= spare)
