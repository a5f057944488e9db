"""How near flat shapes come to each other, and which way a shape is long."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat

#: A gap short of the one asked for by less than this is rounding, mm.
SLACK = 1e-7
#: Two shapes that share less than this only touch, mm².
TOUCH = 1e-6


def ready(shape: Flat) -> Flat:
    """The same shape, indexed so that :func:`clear_of` can ask often how near others come to it."""
    shapely.prepare(shape)
    return shape


def clear_of(shape: Flat, others: Sequence[Flat] | NDArray[np.object_], gap: float) -> bool:
    """Whether ``shape`` keeps at least ``gap`` mm from every one of ``others``.

    A gap of 0 allows touching, never overlapping. A shape that lies inside an opening
    of another is measured against the opening's border. Others that are
    :func:`ready` are answered for many times faster, where outlines have hundreds of points.
    """
    if len(others) == 0:
        return True
    array = np.asarray(others, dtype=object)
    if gap > SLACK:
        return not bool(shapely.dwithin(array, shape, gap - SLACK).any())
    met = array[shapely.intersects(array, shape)]
    return bool((shapely.area(shapely.intersection(shape, met)) < TOUCH).all())


def reaches_out(shape: Flat, border: Flat, margin: float, slack: float = SLACK) -> bool:
    """Whether ``shape`` leaves ``border`` or is nearer to its edge than ``margin`` mm, by over ``slack``."""
    if margin > slack:
        inside = bool(shapely.covers(border, shape))
        return not inside or bool(shapely.dwithin(border.boundary, shape, margin - slack))
    return float(shapely.area(shapely.difference(shape, border))) >= TOUCH


def too_close(shapes: Sequence[Flat], gap: float) -> tuple[tuple[int, int, float], ...]:
    """Pairs of ``shapes`` nearer than ``gap`` mm, as (first, second, distance), in order of their indices.

    With a gap of 0 only pairs that overlap are told, with distance 0.
    """
    if len(shapes) < 2:
        return ()
    array = np.asarray(shapes, dtype=object)
    tree = shapely.STRtree(array)
    one, two = tree.query(array, predicate="dwithin", distance=max(gap - SLACK, 0.0))
    once = one < two
    one, two = one[once], two[once]
    if gap > SLACK:
        near = shapely.distance(array[one], array[two])
    else:
        overlap = shapely.area(shapely.intersection(array[one], array[two])) >= TOUCH
        one, two = one[overlap], two[overlap]
        near = np.zeros(len(one))
    order = np.lexsort((two, one))
    return tuple((int(one[k]), int(two[k]), float(near[k])) for k in order)


def long_axis(shape: Flat, clearly: float = 1.05) -> float | None:
    """Direction of the longer side of the smallest rectangle around ``shape``, in degrees, 0 ≤ a < 180.

    None where that rectangle is not at least ``clearly`` times as long as it is wide.
    Within half a degree of an axis it is that axis, so that straight parts stay straight.
    """
    around = shapely.minimum_rotated_rectangle(shape)
    corners = np.asarray(around.exterior.coords)
    first, second = corners[1] - corners[0], corners[2] - corners[1]
    a, b = float(np.hypot(*first)), float(np.hypot(*second))
    if max(a, b) < clearly * min(a, b):
        return None
    way = first if a >= b else second
    angle = math.degrees(math.atan2(float(way[1]), float(way[0]))) % 180.0
    quarter = round(angle / 90.0) * 90.0
    return quarter % 180.0 if abs(angle - quarter) <= 0.5 else round(angle, 6) % 180.0
