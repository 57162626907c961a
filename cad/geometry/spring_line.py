"""The spring line: the line over the middle of the profile that stands plumb while the plane works."""

from __future__ import annotations

from cad.crossings import meetings
from cad.geometry.section import Section
from cad.outline import Line

BELOW_MM = 1.0  # how far below the sole the line is sought from


def spring_line(section: Section) -> Line:
    """Return the line in (y, z) from the sole to where it leaves the shaped body, above, mm."""
    sole, outline = section.sole, section.shaped()
    top = section.height + BELOW_MM
    whole = Line((sole.centre(-BELOW_MM), -BELOW_MM), (sole.centre(top), top))
    met = sorted({p for side in outline for p in meetings(whole, side)}, key=lambda p: p[1])
    foot = met[0]
    # Points at a corner of the outline come twice, a rounding apart.
    return Line(foot, next(p for p in met if p[1] > foot[1] + BELOW_MM))
