"""Flat regions raised between two heights, for screens: crisp faces, smooth curves, and only real edges.

Faces and walls have corners of their own, so that each is lit by itself; walls along a flattened curve share
their normals where they meet, and no line is drawn there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import manifold3d
import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, following, former

Array = NDArray[np.float64]
Counts = NDArray[np.int64]
#: Where neighbouring walls turn by more than this there is an edge, degrees; curves flattened at
#: 0.002 mm turn by less from a radius of 0.1 mm up.
SHARP = 25.0


@dataclass(frozen=True, eq=False)
class Plan:
    """A region seen from above, ready to be raised.

    ``points`` (n, 2) are its corners and ``faces`` (m, 3) triangles of them, walked to the left. ``starts``
    and ``ends`` (k, 2) are its borders, the board to their left, ``out_starts`` and ``out_ends`` the normals
    of walls there. ``corners`` (j, 2) are where walls meet at an edge.
    """

    points: Array
    faces: Counts
    starts: Array
    ends: Array
    out_starts: Array
    out_ends: Array
    corners: Array


@dataclass(frozen=True, eq=False)
class Crisp:
    """Corners ``at`` with their normals ``way`` (n, 3), ``faces`` (m, 3) of them, and ``edges`` (k, 6)."""

    at: Array
    way: Array
    faces: Counts
    edges: Array


def plan_of(shape: Flat) -> Plan:
    """The plan of a region; openings and all."""
    rings = []
    for n, ring in enumerate((shape.exterior, *shape.interiors)):
        points = np.asarray(ring.coords)[:-1, :2]
        x, y = points[:, 0], points[:, 1]
        left = float((x * following(y) - following(x) * y).sum()) > 0.0
        rings.append(np.ascontiguousarray(points if left == (n == 0) else points[::-1]))
    faces = np.asarray(manifold3d.triangulate(rings), dtype=np.int64)
    walls = [_walls(ring) for ring in rings]
    starts, ends, out_starts, out_ends, corners = (
        np.concatenate([wall[k] for wall in walls]) for k in range(5)
    )
    return Plan(np.concatenate(rings), faces, starts, ends, out_starts, out_ends, corners)


def _walls(ring: Array) -> tuple[Array, Array, Array, Array, Array]:
    after = following(ring)
    step = after - ring
    size = np.hypot(step[:, 0], step[:, 1])[:, None]
    own = np.column_stack([step[:, 1], -step[:, 0]]) / np.where(size > 0.0, size, 1.0)
    before = former(own)
    sharp = (own * before).sum(axis=1) < math.cos(math.radians(SHARP))
    mean = own + before
    mean /= np.maximum(np.hypot(mean[:, 0], mean[:, 1]), 1e-12)[:, None]
    at_start = np.where(sharp[:, None], own, mean)
    next_sharp, next_mean = following(sharp), following(mean)
    at_end = np.where(next_sharp[:, None], own, next_mean)
    return ring, after, at_start, at_end, ring[sharp]


def raised(plan: Plan, lower: float, upper: float) -> Crisp:
    """The plan as a body between two heights, mm."""
    n, k = len(plan.points), len(plan.starts)

    def at(points: Array, z: float) -> Array:
        return np.column_stack([points, np.full(len(points), z)])

    corners = [
        at(plan.points, lower),
        at(plan.points, upper),
        at(plan.starts, lower),
        at(plan.ends, lower),
        at(plan.ends, upper),
        at(plan.starts, upper),
    ]
    starts, ends = at(plan.out_starts, 0.0), at(plan.out_ends, 0.0)
    down = np.tile([0.0, 0.0, -1.0], (n, 1))
    a = 2 * n + np.arange(k)
    walls = np.concatenate(
        [np.column_stack([a, a + k, a + 2 * k]), np.column_stack([a, a + 2 * k, a + 3 * k])]
    )
    edges = [np.column_stack([at(plan.starts, z), at(plan.ends, z)]) for z in (lower, upper)]
    edges.append(np.column_stack([at(plan.corners, lower), at(plan.corners, upper)]))
    return Crisp(
        np.concatenate(corners),
        np.concatenate([down, -down, starts, ends, ends, starts]),
        np.concatenate([plan.faces[:, ::-1], plan.faces + n, walls]),
        np.concatenate(edges),
    )
