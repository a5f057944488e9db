"""How well a brush reaches the faces of parts once the piece stands: which are coated before."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, holds_points
from laminature.model.part import Face, Part

Array = NDArray[np.float64]

#: What is further off does not hinder a small brush, mm (common practice, no source).
REACH = 60.0
#: A face is open where at least this share of all ways to it is free (judgement, tried on the examples).
OPEN = 0.45
#: Points looked at along the longer side of a face, and ways to each.
POINTS, WAYS = 9, 60
#: A point so near to another part is covered by it, mm.
COVERED = 0.4


def openness(part: Part, face: Face, others: Sequence[Part]) -> float:
    """The share of ways to a face, from 0 to 1, that nothing stands in; 1 where all of it is covered.

    Ways are spread evenly over the half space before the face, and count the more the squarer they come.
    ``others`` are taken for the sheets in the middle of their stacks: parts are thin.
    """
    points = _points(part, face)
    blocked = np.zeros((len(points), WAYS), dtype=bool)
    covered = np.zeros(len(points), dtype=bool)
    ways = _ways(np.array(part.pose.z) * (1.0 if face == "upper" else -1.0))
    for other in others:
        shape = other.outline.flat
        local = other.pose.to_part(points)
        covered |= _inside(shape, local, other.thickness)
        blocked |= _crossed(shape, local, other, ways)
    free = ~blocked[~covered]
    return float(free.mean()) if len(free) else 1.0


def _points(part: Part, face: Face) -> Array:
    """Points all over a face, a hair above it, in the piece."""
    x0, y0, x1, y1 = part.outline.bounds
    step = max(x1 - x0, y1 - y0) / POINTS
    xs, ys = (_middles(a, b, max(1, round((b - a) / step))) for a, b in ((x0, x1), (y0, y1)))
    grid = np.array([(x, y) for x in xs for y in ys])
    kept = grid[holds_points(part.outline.flat, grid)]
    z = part.thickness + 1e-3 if face == "upper" else -1e-3
    return np.asarray(part.pose.to_piece(np.column_stack([kept, np.full(len(kept), z)])))


def _middles(a: float, b: float, count: int) -> Array:
    """The middles of so many equal stretches from ``a`` to ``b``."""
    return a + (np.arange(count) + 0.5) * (b - a) / count


def _ways(up: Array) -> Array:
    """Unit vectors away from a face, evenly spread on a disc below the half sphere: squarer ones are more."""
    n = np.arange(WAYS) + 0.5
    radius, turn = np.sqrt(n / WAYS), n * math.pi * (3.0 - math.sqrt(5.0))
    side = np.cross(up, (1.0, 0.0, 0.0) if abs(up[0]) < 0.9 else (0.0, 1.0, 0.0))
    side /= np.linalg.norm(side)
    across = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    flat = across @ np.stack([side, np.cross(up, side)])
    return np.asarray(flat + np.outer(np.sqrt(np.maximum(0.0, 1.0 - n / WAYS)), up))


def _inside(shape: Flat, local: Array, thickness: float) -> NDArray[np.bool_]:
    """Which points lie in a part or so near to a face of it that it covers them."""
    level = (local[:, 2] > -COVERED) & (local[:, 2] < thickness + COVERED)
    return level & holds_points(shape, local[:, :2])


def _crossed(shape: Flat, local: Array, other: Part, ways: Array) -> NDArray[np.bool_]:
    """Which ways from which points go through the middle of a part, within reach: (points, ways)."""
    turned = ways @ other.pose.matrix
    slope = np.where(np.abs(turned[:, 2]) < 1e-9, np.inf, turned[:, 2])
    along = (other.thickness / 2.0 - local[:, None, 2]) / slope[None, :]
    met = (along > 0.0) & (along < REACH)
    hit = local[:, None, :2] + along[:, :, None] * turned[None, :, :2]
    found = np.zeros(met.shape, dtype=bool)
    found[met] = holds_points(shape, hit[met])
    return found
