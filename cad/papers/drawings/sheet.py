"""A sheet: its views in rows and columns, its title, its notes and its list of parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from cad.papers.drawings.view import View

Projection = Literal["first", "third"]
Row = tuple[View | None, ...]


@dataclass(frozen=True)
class Item:
    """A line of the list of parts."""

    number: str
    name: str
    count: int
    material: str
    size: str


@dataclass(frozen=True)
class Sheet:
    """One sheet of a set. `name` names its files; views in one row or column stand in line.

    `least_scale` is the scale below which a larger sheet is taken; `others` are other
    ways to arrange the rows.
    """

    name: str
    title: str
    document: str  # the type of document, ISO 7200
    rows: tuple[Row, ...]
    material: str = ""
    notes: tuple[str, ...] = ()
    items: tuple[Item, ...] = ()
    least_scale: float = 0.2
    others: tuple[tuple[Row, ...], ...] = ()

    def options(self) -> tuple[Sheet, ...]:
        """Return the sheet in each of its arrangements."""
        return tuple(replace(self, rows=rows, others=()) for rows in (self.rows, *self.others))

    def views(self) -> Iterator[View]:
        """Yield the views of all rows."""
        for row in self.rows:
            yield from (view for view in row if view is not None)


def arranged(front: View, left: View | None, above: View | None, projection: Projection) -> tuple[Row, ...]:
    """Return three views in their places: the front, what is seen from the left, what is seen from above.

    In first angle a view stands opposite the side it is seen from, in third angle on that side (ISO 5456-2).
    """
    if projection == "first":
        rows: tuple[Row, ...] = ((front, left), (above, None))
    else:
        rows = ((None, above), (left, front))
    kept = tuple(row for row in rows if any(row))
    return kept if left else tuple(tuple(view for view in row if view) for row in kept)
