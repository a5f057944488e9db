"""Flat regions: polygons with openings, and what can be asked of them.

``Flat`` is shapely's polygon; nothing outside ``geometry`` imports shapely itself.
Regions are worked on as polygons flattened at :data:`~laminature.geometry.path.FLATTEN`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, TypeAlias, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from laminature.errors import GeometryError
from laminature.geometry.path import FLATTEN, Point

Flat: TypeAlias = Polygon
Flats: TypeAlias = tuple[Polygon, ...]
#: Whatever unions and differences leave: one polygon, several or none.
Shape: TypeAlias = BaseGeometry
Array = NDArray[np.float64]

#: A piece smaller than this is a rounding crumb, not board, mm².
CRUMB = 1e-4
#: Points nearer to each other than this are one point, mm.
SAME = 1e-6


def flat(outer: Sequence[Point] | Array, openings: Iterable[Sequence[Point] | Array] = ()) -> Flat:
    """A polygon from points, exterior to the left, openings to the right.

    Raises GeometryError where the outline crosses itself or an opening leaves it.
    """
    made = Polygon(outer, list(openings))
    if not made.is_valid:
        raise GeometryError(shapely.is_valid_reason(made))
    return shapely.orient_polygons(made)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Flat:
    """An upright rectangle, its corners walked to the left."""
    return Polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def convex(points: Sequence[Point] | Array) -> Flat:
    """The smallest convex region that holds ``points``.

    Raises GeometryError where they all lie on one line.
    """
    made = shapely.convex_hull(shapely.multipoints(np.asarray(points, dtype=float)))
    if not isinstance(made, Polygon):
        raise GeometryError("points on one line enclose no region")
    return shapely.orient_polygons(made)


def pieces(geometry: BaseGeometry, crumb: float = CRUMB) -> Flats:
    """The polygons in ``geometry`` of at least ``crumb`` mm², biggest first; lines and points fall away."""
    if isinstance(geometry, Polygon):
        found = [geometry]
    elif isinstance(geometry, MultiPolygon):
        found = list(geometry.geoms)
    else:
        found = [p for p in shapely.get_parts(geometry) if isinstance(p, Polygon)]
    kept = [cast(Polygon, p) for p in found if p.area >= crumb]
    return tuple(sorted(kept, key=lambda p: (-p.area, p.bounds)))


def union(flats: Iterable[BaseGeometry]) -> BaseGeometry:
    """All of them together."""
    return shapely.union_all(list(flats))


def tidy(shape: Flat) -> Flat:
    """The same region without collinear extra points, doubled points and crumbs of openings.

    A point goes when it lies within 1e-7 mm of the straight line between its
    neighbours, so that right-angled joints stay exact.
    """
    outer = _straightened(np.asarray(shape.exterior.coords)[:-1])
    inner = [_straightened(np.asarray(r.coords)[:-1]) for r in shape.interiors]
    kept = [r for r in inner if len(r) >= 3 and Polygon(r).area >= CRUMB]
    return shapely.orient_polygons(Polygon(outer, kept))


def former(ring: NDArray[Any]) -> NDArray[Any]:
    """For each row of a closed ring the one before it; ``numpy.roll`` takes ten times as long."""
    return np.concatenate((ring[-1:], ring[:-1]))


def following(ring: NDArray[Any]) -> NDArray[Any]:
    """For each row of a closed ring the next one."""
    return np.concatenate((ring[1:], ring[:1]))


def _straightened(ring: Array, within: float = 1e-7) -> Array:
    while len(ring) > 3:
        before, after = former(ring), following(ring)
        step, chord = ring - before, after - before
        length = np.hypot(chord[:, 0], chord[:, 1])
        cross = np.abs(step[:, 0] * chord[:, 1] - step[:, 1] * chord[:, 0])
        spare = (cross <= within * np.maximum(length, 1e-12)) | (np.hypot(step[:, 0], step[:, 1]) < SAME)
        if not spare.any():
            break
        # Neighbours lean on each other: drop only every other one of a run, then look again.
        drop = spare & ~former(spare)
        if not drop.any():
            drop = spare & (np.arange(len(ring)) % 2 == 0)
        if len(ring) - int(drop.sum()) < 3:
            break
        ring = ring[~drop]
    return ring


def grown(
    shape: BaseGeometry, distance: float, tolerance: float = FLATTEN, corners: str = "mitre"
) -> BaseGeometry:
    """The region grown by ``distance`` mm (shrunk where negative).

    ``corners`` is ``"mitre"`` (sharp corners stay sharp up to five times the distance) or ``"round"``,
    whose arcs keep within ``tolerance``.
    """
    if distance == 0.0:
        return shape
    r = abs(distance)
    step = 2.0 * math.acos(max(0.0, 1.0 - min(tolerance, r) / r))
    segments = max(2, math.ceil((math.pi / 2) / step))
    return shapely.buffer(shape, distance, quad_segs=segments, join_style=corners, mitre_limit=5.0)


def wrapped(shape: Flat, within: float, swell: float = 0.0) -> Flat:
    """The shape's outline without openings, grown by ``swell`` mm, with fewer corners.

    It lies at most 2 · ``within`` mm around what was grown; an outline of a few corners keeps them.
    """
    outer = Polygon(shape.exterior)
    few = len(shape.exterior.coords) <= 12
    swollen = grown(outer, swell if few else swell + within)
    fewer = swollen if few else shapely.simplify(swollen, within)
    made = fewer if isinstance(fewer, Polygon) and fewer.is_valid else swollen
    return Polygon(cast(Polygon, made).exterior)


def mapped(shape: Flat, matrix: Sequence[Sequence[float]], shift: Point = (0.0, 0.0)) -> Flat:
    """The polygon after x -> matrix · x + shift; a mirrored one is oriented again."""
    m = np.asarray(matrix, dtype=float)
    moved = shapely.transform(shape, lambda p: p @ m.T + np.asarray(shift))
    return shapely.orient_polygons(moved)


def meeting(a: Flat, b: Flat) -> tuple[float, float]:
    """Area in which two regions overlap, mm², and the longest side of its bounds, mm."""
    common = a.intersection(b)
    if common.is_empty:
        return 0.0, 0.0
    x0, y0, x1, y1 = common.bounds
    return float(common.area), float(max(x1 - x0, y1 - y0))


def overlap_area(a: BaseGeometry, b: BaseGeometry) -> float:
    """Area that two regions share, mm²."""
    return float(a.intersection(b).area)


def holds_point(shape: Flat, x: float, y: float) -> bool:
    """Whether the point lies in the region or on its border."""
    return bool(shapely.intersects_xy(shape, x, y))


def minus(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    """The first region without the second."""
    return a.difference(b)


def holds_points(shape: BaseGeometry, points: Array) -> NDArray[np.bool_]:
    """Which of the points (n, 2) lie in the region or on its border."""
    return np.asarray(shapely.intersects_xy(shape, points[:, 0], points[:, 1]), dtype=bool)


def border_distances(shape: BaseGeometry, points: Array) -> Array:
    """How far each of the points (n, 2) lies inside the region's border, mm; negative outside."""
    away = shapely.distance(shape.boundary, shapely.points(points))
    return np.asarray(np.where(holds_points(shape, points), away, -away))


def border_points(shape: BaseGeometry, step: float) -> Array:
    """Points (n, 2) on all borders: every corner, and between them at most ``step`` mm apart."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(shape.boundary, step)), dtype=float)


def deepest(shape: Flat, tolerance: float = FLATTEN) -> tuple[Point, float]:
    """The middle and the radius of the largest circle that fits into the region, mm."""
    (x, y), (u, v) = shapely.get_coordinates(shapely.maximum_inscribed_circle(shape, tolerance))
    return (float(x), float(y)), math.dist((x, y), (u, v))


def chords(shape: BaseGeometry, start: Point, end: Point) -> tuple[tuple[Point, Point], ...]:
    """The stretches of the line from ``start`` to ``end`` that lie in the region, as they are walked."""
    met = shapely.get_parts(shapely.intersection(shape, shapely.LineString([start, end])))
    found: list[tuple[Point, Point]] = []
    for part in (p for p in met if not p.is_empty):
        (ax, ay), (bx, by) = shapely.get_coordinates(part)[[0, -1]]
        if math.dist((ax, ay), (bx, by)) > SAME:
            a, b = (float(ax), float(ay)), (float(bx), float(by))
            found.append((a, b) if math.dist(start, a) <= math.dist(start, b) else (b, a))
    return tuple(sorted(found, key=lambda c: math.dist(start, c[0])))
