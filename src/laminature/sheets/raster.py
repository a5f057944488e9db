"""Shapes and sheets as arrays of cells, and the free places for one on the other.

A cell belongs to a shape when its middle lies inside the shape. Where the product of
sheet and shifted shape is zero there is room; all shifts at once are one correlation, and a
correlation is one multiplication between Fourier transforms. The transform of each
shape is kept, so that a place costs one inverse transform.

This is the one module outside ``geometry`` that works on coordinates for speed. What it
answers is a proposal: cells are coarse, and every place is checked exactly afterwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import scipy.fft
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Shape, grown

Cells = NDArray[np.bool_]
Spectrum = NDArray[np.complex64]
Places = NDArray[np.intp]

#: Shapes are grown by half the spacing and this much of a cell: less proposes too many
#: places that fail the exact check, more loses places that would have passed.
GROWTH = 0.12
#: Arcs around grown corners may be this coarse, as a share of a cell.
COARSE = 0.1


@dataclass(frozen=True)
class Stamp:
    """A shape in one turn as cells, grown by half the spacing.

    Cell (0, 0) lies ``pad`` cells left of and below the lower left corner of the
    shape's bounds. ``width`` and ``height`` are those of the shape itself, mm.
    """

    cells: Cells
    spectrum: Spectrum
    width: float
    height: float


@dataclass(frozen=True)
class Grid:
    """The cells of a sheet's usable area, with ``pad`` cells around it.

    The pad holds what shapes are grown by, because spacing is kept between shapes, not towards the margin.
    """

    width: float
    height: float
    cell: float
    spacing: float

    @property
    def growth(self) -> float:
        """How far a shape is grown before it becomes cells, mm."""
        return self.spacing / 2.0 + GROWTH * self.cell

    @property
    def pad(self) -> int:
        """Cells kept around the usable area."""
        return math.ceil(self.growth / self.cell)

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns, rounded up to sizes that transform quickly."""
        rows = math.ceil(self.height / self.cell) + 2 * self.pad
        columns = math.ceil(self.width / self.cell) + 2 * self.pad
        return (scipy.fft.next_fast_len(rows, real=True), scipy.fft.next_fast_len(columns, real=True))

    def stamp(self, shape: Flat) -> Stamp:
        """The cells of ``shape``, wherever it lies; places are then sought for its lower left corner."""
        x0, y0, x1, y1 = shape.bounds
        swollen = grown(shape, self.growth, COARSE * self.cell, corners="round")
        corner = (x0 - self.pad * self.cell, y0 - self.pad * self.cell)
        rows = min(math.ceil((y1 - y0) / self.cell) + 2 * self.pad, self.shape[0])
        columns = min(math.ceil((x1 - x0) / self.cell) + 2 * self.pad, self.shape[1])
        cells = filled(swollen, corner, self.cell, rows, columns)
        spectrum = np.conj(scipy.fft.rfft2(cells.astype(np.float32), s=self.shape))
        return Stamp(cells, spectrum, x1 - x0, y1 - y0)


class Bed:
    """What is taken of one sheet so far. It only ever fills up."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.taken = np.zeros(grid.shape, dtype=np.float32)
        self._spectrum: Spectrum | None = None

    def places(self, stamp: Stamp, enough: int | None = None, above: int = 0) -> tuple[Places, Places]:
        """Rows and columns, in cells, where the shape's lower left corner may lie.

        With ``enough`` the lowest rows that hold so many places will do, and ``above`` more rows.
        The shape must fit into the usable area: then there is at least one row and column to ask about.
        """
        cell = self.grid.cell
        rows = max(0, math.floor((self.grid.height - stamp.height) / cell + 1e-9)) + 1
        columns = max(0, math.floor((self.grid.width - stamp.width) / cell + 1e-9)) + 1
        if self._spectrum is None:
            self._spectrum = scipy.fft.rfft2(self.taken)
        shared = scipy.fft.irfft2(self._spectrum * stamp.spectrum, s=self.grid.shape)
        # Whole cells are counted, so anything below a half is the transform's rounding.
        room = shared[:rows, :columns] < 0.5
        if enough is not None:
            so_far = np.cumsum(np.count_nonzero(room, axis=1))
            room = room[: int(np.searchsorted(so_far, enough)) + 1 + above]
        free = np.nonzero(room)
        return free[0], free[1]

    def put(self, shape: Flat) -> None:
        """Take the cells of a shape that lies in its place, mm from the usable area's lower left."""
        swollen = grown(shape, self.grid.growth, COARSE * self.grid.cell, corners="round")
        self._mark(shape, swollen, 1.0)

    def free(self, opening: Flat) -> None:
        """Give back the cells of an opening: a bed of nothing but openings is for what goes into them."""
        self._mark(opening, opening, 0.0)

    def _mark(self, shape: Flat, cells_of: Shape, value: float) -> None:
        grid = self.grid
        x0, y0, x1, y1 = shape.bounds
        row, column = (max(0, math.floor(low / grid.cell)) for low in (y0, x0))
        rows = min(math.ceil((y1 - y0) / grid.cell) + 2 * grid.pad + 1, grid.shape[0] - row)
        columns = min(math.ceil((x1 - x0) / grid.cell) + 2 * grid.pad + 1, grid.shape[1] - column)
        corner = ((column - grid.pad) * grid.cell, (row - grid.pad) * grid.cell)
        cells = filled(cells_of, corner, grid.cell, rows, columns)
        self.taken[row : row + rows, column : column + columns][cells] = value
        self._spectrum = None

    def bar(self, beyond: Flat, margin: float) -> None:
        """Take the cells nearer than ``margin`` mm to what is no board.

        The other shapes are grown by half the spacing already, so that much is left off here.
        """
        grid = self.grid
        swollen = grown(beyond, margin - grid.spacing + grid.growth, COARSE * grid.cell, corners="round")
        if swollen.is_empty:
            return
        corner = (-grid.pad * grid.cell, -grid.pad * grid.cell)
        self.taken[filled(swollen, corner, grid.cell, *grid.shape)] = 1.0
        self._spectrum = None


def filled(shape: Shape, corner: tuple[float, float], cell: float, rows: int, columns: int) -> Cells:
    """The cells whose middles lie inside ``shape``, of a grid that begins at ``corner``, mm.

    Each row's crossings with the borders are counted from the left: inside is where
    their number is odd (the even-odd rule), so openings need no care of their own.
    """
    polygons = getattr(shape, "geoms", (shape,))
    rings = [np.asarray(ring.coords) for p in polygons for ring in (p.exterior, *p.interiors)]
    start = np.concatenate([r[:-1] for r in rings]) - np.asarray(corner)
    end = np.concatenate([r[1:] for r in rings]) - np.asarray(corner)
    middles = (np.arange(rows) + 0.5) * cell
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    edge, row = np.nonzero((low[:, None] <= middles[None, :]) & (middles[None, :] < high[:, None]))
    share = (middles[row] - start[edge, 1]) / (end[edge, 1] - start[edge, 1])
    x = start[edge, 0] + share * (end[edge, 0] - start[edge, 0])
    column = np.clip(np.ceil(x / cell - 0.5), 0, columns).astype(np.intp)
    crossings = np.zeros((rows, columns + 1), dtype=np.int32)
    np.add.at(crossings, (row, column), 1)
    return np.asarray(np.cumsum(crossings, axis=1)[:, :columns] % 2 == 1)
