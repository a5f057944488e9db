"""How a body comes to rest on a level table: on which face of its hull, how far tilted, how firmly."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.errors import GeometryError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Footprint:
    """What a body stands on: the convex outline of the points it touches the ground with, (n, 2) in mm."""

    outline: Array

    def margin(self, at: Array) -> tuple[float, Array]:
        """Distance of ``at`` from the nearest edge, mm, and the point of that edge; below 0 outside."""
        start = self.outline
        edge = np.roll(start, -1, axis=0) - start
        t = np.clip(((at - start) * edge).sum(axis=1) / (edge * edge).sum(axis=1), 0.0, 1.0)
        nearest = start + t[:, None] * edge
        distance = np.hypot(*(nearest - at).T)
        k = int(np.argmin(distance))
        rel = at - start
        inside = bool((edge[:, 0] * rel[:, 1] - edge[:, 1] * rel[:, 0] >= 0.0).all())
        return (float(distance[k]) if inside else -float(distance[k])), nearest[k]


def footprint(points: Array, within: float = 0.05) -> Footprint | None:
    """The outline of those ``points`` (n, 3) that lie within ``within`` mm above the lowest one.

    None where they lie on a line or in a point: nothing stands on that.
    """
    low = points[points[:, 2] <= points[:, 2].min() + within][:, :2]
    # Thinner than the reach of "touching" itself is a line.
    spread = np.linalg.svd(low - low.mean(axis=0), compute_uv=False) if len(low) >= 3 else np.zeros(2)
    if spread[-1] < within:
        return None
    hull = shapely.orient_polygons(shapely.convex_hull(shapely.multipoints(low)))
    return Footprint(np.asarray(hull.exterior.coords)[:-1])


def settled(points: Array, centre: Array, down: tuple[float, float, float] = (0.0, 0.0, -1.0)) -> Array:
    """The direction (unit vector, in the body's frame) that points down once the body has come to rest.

    The body is let go with ``down`` pointing down and rolls without sliding or swing from face
    to face of its hull until ``centre``, its centre of mass, lies above the face it rests on.
    Raises GeometryError where the points have no volume.
    """
    # Slow to import, and only asked where a piece does not stand on its feet.
    from scipy.spatial import ConvexHull, QhullError

    try:
        hull = ConvexHull(points)
    except QhullError as error:
        raise GeometryError("a body without any volume cannot be set down") from error
    normals, offsets = hull.equations[:, :3], hull.equations[:, 3]
    depth = -offsets - normals @ centre
    facing = normals @ np.asarray(down, dtype=float)
    with np.errstate(divide="ignore"):
        reach = np.where(facing > 1e-12, depth / np.where(facing > 1e-12, facing, 1.0), np.inf)
    face = int(np.argmin(reach))
    for _ in range(4 * len(normals)):
        corners = points[hull.simplices[face]]
        foot = centre + normals[face] * depth[face]
        weights = _barycentric(corners, foot)
        worst = int(np.argmin(weights))
        if weights[worst] >= -1e-9:
            break
        beyond = int(hull.neighbors[face][worst])
        if depth[beyond] > depth[face] + 1e-12:
            break  # the neighbour would lift the centre: the foot lies on the edge by rounding only
        face = beyond
    way: Array = normals[face]
    return way


def tilt(down: Array) -> float:
    """Angle between ``down`` and straight down in the body's frame, degrees."""
    return math.degrees(math.atan2(math.hypot(down[0], down[1]), -float(down[2])))


def _barycentric(corners: Array, at: Array) -> Array:
    a, b, c = corners
    normal = np.cross(b - a, c - a)
    whole = normal @ normal
    return np.array(
        [
            np.cross(c - b, at - b) @ normal / whole,
            np.cross(a - c, at - c) @ normal / whole,
            np.cross(b - a, at - a) @ normal / whole,
        ]
    )
