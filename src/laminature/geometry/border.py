"""Places along the border of a flat shape, and how far points lie from others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Shape

Array = NDArray[np.float64]
#: A turn of more than this is a corner, degrees.
CORNER = 20.0


@dataclass(frozen=True)
class Border:
    """Places evenly along an outline, (n, 2), in its order.

    ``outward`` are unit directions away from the board, ``clear`` the way along the border to the
    nearest corner, mm (half the whole border where it has none).
    """

    points: Array
    outward: Array
    clear: Array


def border_of(flat: Flat, step: float) -> Border:
    """Places about ``step`` mm apart along the outline of ``flat``, none of them in a corner."""
    ring = np.asarray(shapely.orient_polygons(flat).exterior.coords)
    way = np.diff(ring, axis=0)
    length = np.hypot(way[:, 0], way[:, 1])
    at = np.concatenate([[0.0], np.cumsum(length)])
    whole = at[-1]
    n = max(4, round(whole / step))
    s = (np.arange(n) + 0.5) * whole / n
    index = np.clip(np.searchsorted(at, s, side="right") - 1, 0, len(way) - 1)
    unit = way / length[:, None]
    points = ring[index] + (s - at[index])[:, None] * unit[index]
    outward = np.column_stack([unit[index, 1], -unit[index, 0]])
    before = np.roll(unit, 1, axis=0)
    across = before[:, 0] * unit[:, 1] - before[:, 1] * unit[:, 0]
    turn = np.degrees(np.arctan2(across, (before * unit).sum(axis=1)))
    corners = at[:-1][np.abs(turn) > CORNER]
    if len(corners) == 0:
        return Border(points, outward, np.full(n, whole / 2.0))
    off = np.abs(s[:, None] - corners[None, :])
    return Border(points, outward, np.minimum(off, whole - off).min(axis=1))


def distances(points: Array, shape: Shape) -> Array:
    """How far points (n, 2) lie from a shape, mm; 0 within a region."""
    found: Array = shapely.distance(shapely.points(points), shape)
    return found
