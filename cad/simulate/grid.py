"""The stock as heights over a grid of cells, each exact at its cell's middle."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from cad.simulate.job import Stock

Floats = NDArray[np.float64]
Window = tuple[slice, slice]  # of rows, which run along y, and columns, along x


@dataclass(frozen=True)
class Grid:
    """Square cells over the stock: their side, how many along x and y, and the middle of the first."""

    cell_mm: float
    columns: int
    rows: int
    first: tuple[float, float]

    @property
    def x(self) -> Floats:
        """Return the middles of the columns."""
        return np.arange(self.columns, dtype=np.float64) * self.cell_mm + self.first[0]

    @property
    def y(self) -> Floats:
        """Return the middles of the rows."""
        return np.arange(self.rows, dtype=np.float64) * self.cell_mm + self.first[1]

    def window(self, box: tuple[float, float, float, float]) -> Window | None:
        """Return the cells whose middles lie in a box of least x, least y, greatest x, greatest y, if any."""
        low_x, low_y, high_x, high_y = (
            (value - self.first[axis % 2]) / self.cell_mm for axis, value in enumerate(box)
        )
        columns = slice(max(ceil(low_x), 0), min(floor(high_x) + 1, self.columns))
        rows = slice(max(ceil(low_y), 0), min(floor(high_y) + 1, self.rows))
        return (rows, columns) if columns.start < columns.stop and rows.start < rows.stop else None

    def place(self, row: int, column: int, z: float) -> tuple[float, float, float]:
        """Return the middle of a cell, at a height."""
        x, y = self.first
        return (x + self.cell_mm * column, y + self.cell_mm * row, z)


def grid_over(stock: Stock, cell_mm: float) -> Grid:
    """Return cells of about a side that fill the stock, their outer edges on or just beyond its sides."""
    low_x, low_y, high_x, high_y = stock.bounds
    columns = max(ceil((high_x - low_x) / cell_mm - 1e-9), 1)
    rows = max(ceil((high_y - low_y) / cell_mm - 1e-9), 1)
    return Grid(cell_mm, columns, rows, (low_x + cell_mm / 2, low_y + cell_mm / 2))
