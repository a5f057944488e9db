"""Loose straight stretches made into lines to draw, and the cells between them."""

from __future__ import annotations

from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flats, Shape
from laminature.geometry.path import Path, polyline

Array = NDArray[np.float64]

#: Ends this near to each other, or to a line, are joined, mm.
GRID = 2e-3


def joined(start: Array, end: Array, without: Shape | None = None) -> Shape:
    """Stretches from ``start`` to ``end`` (n, 2), each drawn once where several coincide.

    ``without`` are lines that are drawn already.
    """
    lines = shapely.union_all(shapely.linestrings(np.stack([start, end], axis=1)), grid_size=GRID)
    if without is not None and not without.is_empty:
        lines = shapely.difference(lines, without, grid_size=GRID)
    return lines


def loose(start: Array, end: Array) -> Shape:
    """Stretches from ``start`` to ``end`` (n, 2) on the grid, each once, but not cut where they cross."""
    ends = np.round(np.stack([start, end], axis=1) / GRID) * GRID
    order = (ends[:, 0, 0] > ends[:, 1, 0]) | (
        (ends[:, 0, 0] == ends[:, 1, 0]) & (ends[:, 0, 1] > ends[:, 1, 1])
    )
    ends[order] = ends[order][:, ::-1]
    ends = np.unique(ends[(ends[:, 0] != ends[:, 1]).any(axis=1)].reshape(-1, 4), axis=0).reshape(-1, 2, 2)
    return shapely.multilinestrings(shapely.linestrings(ends))


def paths(lines: Shape, least: float = 0.0) -> tuple[Path, ...]:
    """The lines strung together as far as they run on, without those shorter than ``least`` mm."""
    found = []
    for part in shapely.get_parts(shapely.line_merge(lines)):
        if shapely.get_type_id(part) != 1 or part.length < least:
            continue
        points = shapely.get_coordinates(shapely.simplify(part, GRID / 4.0))
        closed = len(points) > 3 and bool((points[0] == points[-1]).all())
        found.append(polyline(points, closed))
    return tuple(found)


def together(*lines: Shape) -> Shape:
    """All lines, each drawn once."""
    return shapely.union_all(list(lines), grid_size=GRID)


def cells(lines: Shape, least: float = 1e-3) -> Flats:
    """The areas that the lines enclose, of at least ``least`` mm²."""
    found = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    return tuple(cast(Flats, [c for c in found if c.area >= least]))


def within(cell: Shape) -> tuple[float, float]:
    """A point well inside an area."""
    point = shapely.point_on_surface(cell)
    return float(point.x), float(point.y)
