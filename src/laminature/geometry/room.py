"""Finding room: where a label fits into a shape, where a square fits beside others; and hatching."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from laminature.geometry.flat import Flat
from laminature.geometry.path import Path, Point, polyline

#: Places tried along each side of a shape's bounds, unless told otherwise.
TRIES = 21
#: Distances to the border that differ by less than this are alike, mm.
ALIKE = 1e-6


def room_for(
    shape: BaseGeometry,
    width: float,
    height: float,
    clear: float = 0.0,
    prefer: Literal["middle", "corner"] = "middle",
    tries: int = TRIES,
) -> Point | None:
    """The middle of an upright box of ``width`` × ``height`` mm within ``shape``; None if none was found.

    Its sides keep ``clear`` mm from the border. ``"middle"`` takes the place farthest from
    the border, ``"corner"`` the lowest, and of those the rightmost. ``tries`` × ``tries`` places are
    tried, so a fit without any play may be missed; what is returned does fit.
    """
    if shape.is_empty:
        return None
    x0, y0, x1, y1 = shape.bounds
    half_w, half_h = width / 2.0 + clear, height / 2.0 + clear
    if x1 - x0 < 2.0 * half_w or y1 - y0 < 2.0 * half_h:
        return None
    gx, gy = np.meshgrid(
        np.linspace(x0 + half_w, x1 - half_w, tries), np.linspace(y0 + half_h, y1 - half_h, tries)
    )
    centres = np.column_stack([gx.ravel(), gy.ravel()])
    centres = np.vstack([centres, _deepest(shape, width / height)])
    boxes = shapely.box(
        centres[:, 0] - half_w, centres[:, 1] - half_h, centres[:, 0] + half_w, centres[:, 1] + half_h
    )
    shapely.prepare(shape)
    fits = shapely.covers(shape, boxes)
    if not fits.any():
        return None
    centres, boxes = centres[fits], boxes[fits]
    if prefer == "corner":
        best = np.lexsort((-centres[:, 0], np.round(centres[:, 1], 6)))[0]
    else:
        free = np.round(shapely.distance(boxes, shape.boundary) / ALIKE)
        off = np.hypot(centres[:, 0] - (x0 + x1) / 2.0, centres[:, 1] - (y0 + y1) / 2.0)
        best = np.lexsort((centres[:, 0], centres[:, 1], np.round(off, 6), -free))[0]
    return (float(centres[best, 0]), float(centres[best, 1]))


def _deepest(shape: BaseGeometry, slenderness: float) -> np.ndarray:
    """Where a circle, stretched like the box, is largest: finds the waist that a raster steps over."""
    squeezed = shapely.transform(shape, lambda p: p * (1.0 / slenderness, 1.0))
    found = [
        shapely.get_coordinates(shapely.maximum_inscribed_circle(part, tolerance=0.05))[0]
        for part in shapely.get_parts(squeezed)
        if isinstance(part, Polygon) and part.area > 0.0
    ]
    return np.array(found).reshape(-1, 2) * (slenderness, 1.0)


def spread_within(shape: BaseGeometry, along: int = 16, inside: int = 28) -> np.ndarray:
    """Places spread over a region, (n, 2).

    About ``along`` corners and as many places between them on each border, and ``inside`` within.
    The same region always gives the same places, in the same order.
    """
    found = [np.zeros((0, 2))]
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        corners = np.asarray(shapely.simplify(part, 0.05).exterior.coords)[:-1]
        found.append(corners[:: max(1, math.ceil(len(corners) / along))])
        ring = part.exterior
        found.append(shapely.get_coordinates(ring.interpolate(np.arange(along) / along, normalized=True)))
    x0, y0, x1, y1 = shape.bounds
    step = math.sqrt(max(shape.area, 1e-9) / inside)
    gx, gy = np.meshgrid(_spread(x0, x1, step), _spread(y0, y1, step))
    grid = np.column_stack([gx.ravel(), gy.ravel()])
    found.append(grid[shapely.contains_xy(shape, grid[:, 0], grid[:, 1])])
    return np.unique(np.round(np.vstack(found), 6), axis=0)


def _spread(low: float, high: float, step: float) -> np.ndarray:
    n = max(1, min(60, round((high - low) / step)))
    return low + (np.arange(n) + 0.5) * (high - low) / n


def without_lines(shape: BaseGeometry, paths: Sequence[Path], clear: float) -> BaseGeometry:
    """The shape less a strip of ``clear`` mm on both sides of each path: where nothing is drawn yet."""
    if not paths:
        return shape
    lines = [LineString(_points(p)) for p in paths]
    return shape.difference(shapely.union_all(shapely.buffer(lines, clear)))


def without_boxes(shape: BaseGeometry, boxes: Sequence[tuple[float, float, float, float]]) -> BaseGeometry:
    """The shape less upright boxes (x0, y0, x1, y1)."""
    if not boxes:
        return shape
    return shape.difference(shapely.union_all([shapely.box(*b) for b in boxes]))


def free_of(width: float, height: float, taken: Sequence[Flat], clear: float) -> BaseGeometry:
    """A sheet from (0, 0) to (width, height), less what is ``taken``: see :func:`free_within`."""
    return free_within(shapely.box(0.0, 0.0, width, height), taken, clear)


def free_within(frame: Flat, taken: Sequence[Flat], clear: float) -> BaseGeometry:
    """The frame less all that lies within the outlines of ``taken``.

    Openings count as taken: what lies in them is cut loose. ``clear`` mm are kept.
    """
    if not taken:
        return frame
    filled = shapely.polygons([shapely.get_exterior_ring(t) for t in taken])
    return frame.difference(shapely.union_all(shapely.buffer(filled, clear, quad_segs=4)))


def nearest_points(a: Flat, b: Flat) -> tuple[Point, Point]:
    """The points of two shapes that are nearest to each other."""
    (ax, ay), (bx, by) = shapely.get_coordinates(shapely.shortest_line(a, b))
    return (float(ax), float(ay)), (float(bx), float(by))


def crosses_any(start: Point, end: Point, shapes: Sequence[BaseGeometry]) -> bool:
    """Whether the straight line between two points meets any of ``shapes``, openings left out."""
    return bool(shapely.intersects(LineString([start, end]), np.array(shapes, dtype=object)).any())


def lines_met(starts: np.ndarray, ends: np.ndarray, shapes: Sequence[BaseGeometry]) -> np.ndarray:
    """How many of ``shapes``, openings left out, each straight line from a start to its end meets."""
    if not shapes:
        return np.zeros(len(starts))
    lines = shapely.linestrings(np.stack([starts, ends], axis=1))
    met = shapely.STRtree(shapes).query(lines, predicate="intersects")[0]
    return np.bincount(met, minlength=len(lines)).astype(float)


def places_on(shape: Flat, inset: float = 0.3) -> np.ndarray:
    """Places spread over a shape and a little inside of its border, where that is wide enough; (n, 2)."""
    inner = shapely.buffer(shape, -inset)
    found = spread_within(inner if not inner.is_empty else shape)
    inside = shape.representative_point()
    return np.vstack([found, [(inside.x, inside.y)]])


def hatched(shape: BaseGeometry, spacing: float) -> tuple[Path, ...]:
    """Lines rising to the right at 45 degrees within the shape, ``spacing`` mm from each other."""
    if shape.is_empty:
        return ()
    x0, y0, x1, y1 = shape.bounds
    step = spacing * np.sqrt(2.0)
    first, last = np.ceil((y0 - x1) / step), np.floor((y1 - x0) / step)
    lines = [LineString([(x0, x0 + k * step), (x1, x1 + k * step)]) for k in np.arange(first, last + 1)]
    if not lines:
        return ()
    parts = shapely.get_parts(shapely.intersection(np.array(lines), shape))
    return tuple(
        polyline(np.asarray(p.coords), closed=False)
        for p in parts
        if isinstance(p, LineString) and p.length > spacing / 4.0
    )


def _points(path: Path) -> list[Point]:
    points = [(float(x), float(y)) for x, y in path.flattened]
    return [*points, points[0]] if path.closed else points


def cells_within(shape: Flat, cell: float) -> list[list[bool]]:
    """Which cells of a grid over the shape's bounds have their middle in it, rows from the top.

    ``cell`` is a cell's side, about, mm. What is thinner than a cell may be missed.
    """
    x0, y0, x1, y1 = shape.bounds
    nx, ny = max(1, round((x1 - x0) / cell)), max(1, round((y1 - y0) / cell))
    xs = x0 + (x1 - x0) * (np.arange(nx) + 0.5) / nx
    ys = y1 - (y1 - y0) * (np.arange(ny) + 0.5) / ny
    gx, gy = np.meshgrid(xs, ys)
    return [[bool(v) for v in row] for row in shapely.intersects_xy(shape, gx, gy)]
