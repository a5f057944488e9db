"""Loose straight stretches made into lines to draw, and the cells between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flats, Shape
from laminature.geometry.path import Path, polyline
from laminature.geometry.stretches import bounded, remaining

Array = NDArray[np.float64]

#: Ends this near to each other, or to a line, are joined, mm.
GRID = 2e-3
#: Lines that differ in direction by less than this run side by side, as a cosine: 15 degrees.
ALONG = 0.966


def joined(start: Array, end: Array, without: Shape | None = None) -> Shape:
    """Stretches from ``start`` to ``end`` (n, 2), each drawn once where several coincide.

    ``without`` are lines that are drawn already.
    """
    lines = shapely.union_all(shapely.linestrings(np.stack([start, end], axis=1)), grid_size=GRID)
    if without is not None and not without.is_empty:
        lines = shapely.difference(lines, without, grid_size=GRID)
    return lines


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


def thinned(lines: Sequence[Shape], gap: float) -> tuple[Shape, ...]:
    """The same sets of lines without what runs closer than ``gap`` mm beside a line that is kept.

    Those of earlier sets are kept rather than later ones, and longer lines rather than shorter ones: the
    seams of joints, a hair's breadth wide, become one line, and a moulding's steps are not drawn black.
    """
    kept_start, kept_end = np.zeros((0, 2)), np.zeros((0, 2))
    found: list[Shape] = []
    for one in lines:
        strung = [p for p in shapely.get_parts(shapely.line_merge(one)) if shapely.get_type_id(p) == 1]
        mine: list[Shape] = []
        for line in sorted(strung, key=lambda p: (-round(p.length, 6), p.bounds)):
            points = shapely.get_coordinates(line)
            start, end = points[:-1], points[1:]
            near = _beside(line, kept_start, kept_end, gap)
            of, low, high = _alongside(start, end, kept_start[near], kept_end[near], gap)
            of, low, high = remaining(of, low, high, len(start))
            way = (end - start)[of]
            a, b = start[of] + low[:, None] * way, start[of] + high[:, None] * way
            kept_start, kept_end = np.concatenate([kept_start, a]), np.concatenate([kept_end, b])
            mine.extend(shapely.linestrings(np.stack([a, b], axis=1)))
        found.append(shapely.multilinestrings(mine) if mine else shapely.MultiLineString())
    return tuple(found)


def _beside(line: Shape, start: Array, end: Array, gap: float) -> NDArray[np.bool_]:
    """Which stretches have a box within ``gap`` of the line's box."""
    x0, y0, x1, y1 = line.bounds
    low, high = np.minimum(start, end), np.maximum(start, end)
    apart = (low > np.array([x1, y1]) + gap) | (high < np.array([x0, y0]) - gap)
    return np.asarray(~apart.any(axis=1))


def _alongside(
    start: Array, end: Array, other_start: Array, other_end: Array, gap: float
) -> tuple[NDArray[np.int64], Array, Array]:
    """Which parts of the stretches run within ``gap`` beside one of the others, as shares of the stretch."""
    i, j = (a.ravel() for a in np.indices((len(start), len(other_start))))
    way, other = end - start, other_end - other_start
    long, other_long = np.hypot(way[:, 0], way[:, 1]), np.hypot(other[:, 0], other[:, 1])
    along = np.abs((way[i] * other[j]).sum(axis=1)) > ALONG * long[i] * other_long[j]
    i, j = i[along], j[along]
    unit = way[i] / long[i][:, None]
    a, b = other_start[j] - start[i], other_end[j] - start[i]
    at_a, at_b = (a * unit).sum(axis=1) / long[i], (b * unit).sum(axis=1) / long[i]
    off_a, off_b = (unit[:, 0] * p[:, 1] - unit[:, 1] * p[:, 0] for p in (a, b))
    low, high = np.clip(np.minimum(at_a, at_b), 0.0, 1.0), np.clip(np.maximum(at_a, at_b), 0.0, 1.0)
    # How far off the other line is changes evenly along this one.
    slope = (off_b - off_a) / (at_b - at_a)
    base = off_a - slope * at_a
    low, high = bounded(low, high, gap - base, -slope)
    low, high = bounded(low, high, gap + base, slope)
    near = high > low
    return i[near], low[near], high[near]
