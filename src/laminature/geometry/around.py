"""Places beside a figure for the labels that point into it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Shape
from laminature.geometry.path import Point

Array = NDArray[np.float64]

#: Leaders that would run through a label are tried otherwise so many times.
ROUNDS = 12


def free_beside(figure: Sequence[Shape], points: Array, clear: float, away: float) -> Shape:
    """Where a label's middle may stand: ``clear`` mm off the figure, within ``away`` of its points' hull."""
    hull = shapely.convex_hull(shapely.multipoints(points))
    taken = shapely.union_all(list(figure))
    return shapely.difference(
        shapely.buffer(hull, away, quad_segs=16), shapely.buffer(taken, clear, quad_segs=4)
    )


def places(free: Shape, step: float) -> Array:
    """Places (n, 2) in the free region, each at least ``step`` mm from every other, row by row."""
    x0, y0, x1, y1 = free.bounds
    rise = step * math.sqrt(3.0) / 2.0
    rows = np.arange(y0, y1 + rise, rise)
    found = []
    for k, y in enumerate(rows):
        columns = np.arange(x0 + (k % 2) * step / 2.0, x1 + step, step)
        found.append(np.column_stack([columns, np.full(len(columns), y)]))
    every = np.concatenate(found)
    shapely.prepare(free)
    return np.asarray(every[shapely.contains_xy(free, every[:, 0], every[:, 1])])


def assigned(targets: Array, spots: Array, radius: float) -> tuple[int, ...]:
    """For each of the ``targets`` (n, 2) a spot of its own, so that all leaders together are shortest.

    Two leaders that cross are longer than the same two exchanged, and so none do. Where one runs through
    another label, of ``radius`` mm, others are tried that do not, as long as none cross. There have to be at
    least as many spots as targets.
    """
    # Not loaded before a drawing has labels: it takes longer than the drawing.
    from scipy.optimize import linear_sum_assignment

    lengths = np.hypot(*(targets[:, None] - spots[None]).transpose(2, 0, 1))
    costs = lengths.copy()
    for _ in range(ROUNDS):
        _, chosen = linear_sum_assignment(costs)
        leaders = shapely.linestrings(np.stack([targets, spots[chosen]], axis=1))
        through = shapely.distance(leaders[:, None], shapely.points(spots[chosen])[None]) < radius
        through &= ~np.eye(len(targets), dtype=bool)
        crossed = shapely.crosses(leaders[:, None], leaders[None])
        if not through.any() and not crossed.any():
            break
        for leader in np.unique(np.argwhere(through | crossed)[:, 0]):
            costs[leader, chosen[leader]] += 10.0 * radius
    else:
        _, chosen = linear_sum_assignment(lengths)
    return tuple(int(k) for k in chosen)


def target(areas: Sequence[Flat], free: Shape, enough: float) -> Point:
    """Where a leader ends in one of ``areas``: well inside, and near where a label may stand.

    Of the areas in which a circle of radius ``enough`` has room, the one whose middle is nearest to the
    ``free`` region; else the one with the most room.
    """
    found = []
    for area in areas:
        middle, rim = shapely.get_coordinates(shapely.maximum_inscribed_circle(area, tolerance=enough / 8.0))
        room = min(enough, float(np.hypot(*(rim - middle))))
        off = shapely.distance(free, shapely.Point(middle))
        found.append((-round(room, 3), round(float(off), 3), float(middle[0]), float(middle[1])))
    _, _, x, y = min(found)
    return (x, y)
