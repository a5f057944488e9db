"""Which face is seen at each pixel: flat faces filled row by row into a depth buffer.

Everything runs over all faces at once: edges are cut at the rows they pass, the cuts of
one face in one row are sorted and paired, and the stretches between are filled.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.faces import Faces

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
#: Pixels filled at a time: bounds the memory taken.
BATCH = 3_000_000


@dataclass(frozen=True)
class Camera:
    """A parallel projection along the unit vectors ``right``, ``up`` and ``away``.

    A point p lies at column ``middle[0] + scale · right·p``, row ``middle[1] − scale · up·p``
    and depth ``away·p``; ``shape`` is the number of rows and columns.
    """

    right: Array
    up: Array
    away: Array
    scale: float
    middle: tuple[float, float]
    shape: tuple[int, int]

    def project(self, points: Array) -> Array:
        """Column, row and depth of points (n, 3)."""
        column = self.middle[0] + self.scale * (points @ self.right)
        row = self.middle[1] - self.scale * (points @ self.up)
        return np.stack([column, row, points @ self.away], axis=-1)

    def place(self, columns: Array, rows: Array, depth: Array) -> Array:
        """The points in space seen at these columns, rows and depths."""
        x = (columns - self.middle[0]) / self.scale
        y = (self.middle[1] - rows) / self.scale
        return x[..., None] * self.right + y[..., None] * self.up + depth[..., None] * self.away


@dataclass(frozen=True)
class Seen:
    """At every pixel the ``depth`` and the number of the ``face`` seen; infinite and -1 where none is."""

    depth: Array
    face: Indices


def camera(direction: tuple[float, float], points: Array, shape: tuple[int, int], room: float) -> Camera:
    """A camera that sees all ``points``, the margins at least ``room`` of the picture's sides.

    ``direction`` is azimuth and elevation in degrees: where the viewer stands, to the right
    of straight ahead and above the level.
    """
    azimuth, elevation = (np.radians(a) for a in direction)
    right = np.array([np.cos(azimuth), np.sin(azimuth), 0.0])
    ahead = np.array([-np.sin(azimuth), np.cos(azimuth), 0.0])
    away = np.cos(elevation) * ahead - np.sin(elevation) * np.array([0.0, 0.0, 1.0])
    up = np.cross(right, away)
    height, width = shape
    x, y = points @ right, points @ up
    span_x, span_y = max(float(np.ptp(x)), 1e-6), max(float(np.ptp(y)), 1e-6)
    scale = min(width * (1 - 2 * room) / span_x, height * (1 - 2 * room) / span_y)
    middle = (
        width / 2 - scale * float(x.min() + x.max()) / 2,
        height / 2 + scale * float(y.min() + y.max()) / 2,
    )
    return Camera(right, up, away, scale, middle, shape)


def seen(faces: Faces, view: Camera) -> Seen:
    """What ``view`` sees of the faces that look towards it."""
    height, width = view.shape
    depth = np.full(height * width, np.inf)
    owner = np.full(height * width, -1, dtype=np.int64)
    facing = -(faces.normal @ view.away)
    edge = facing[faces.of] > 1e-4
    of = faces.of[edge]
    if not len(of):
        return Seen(depth.reshape(view.shape), owner.reshape(view.shape))
    start, end = view.project(faces.start[edge]), view.project(faces.end[edge])
    # Depth over a face is linear in column and row: its slope follows from the normal.
    n = faces.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        slope_x = (n @ view.right) / facing / view.scale
        slope_y = -(n @ view.up) / facing / view.scale
    first = np.full(len(n), len(of))
    np.minimum.at(first, of, np.arange(len(of)))
    anchor = start[np.minimum(first, len(of) - 1)]
    level = anchor[:, 2] - slope_x * anchor[:, 0] - slope_y * anchor[:, 1]

    face, row, left, right = _stretches(start, end, of, view.shape)
    length = right - left
    ends = np.cumsum(length)
    cut = 0
    while cut < len(length):
        done = int(ends[cut - 1]) if cut else 0
        stop = max(cut + 1, int(np.searchsorted(ends, done + BATCH, "right")))
        part = slice(cut, stop)
        count = length[part]
        here = np.repeat(np.arange(len(count)), count)
        column = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + left[part][here]
        f, r = face[part][here], row[part][here]
        pixel = r * width + column
        z = level[f] + slope_x[f] * (column + 0.5) + slope_y[f] * (r + 0.5)
        np.minimum.at(depth, pixel, z)
        front = z <= depth[pixel]
        owner[pixel[front]] = f[front]
        cut = stop
    return Seen(depth.reshape(view.shape), owner.reshape(view.shape))


def _stretches(
    start: Array, end: Array, of: Indices, shape: tuple[int, int]
) -> tuple[Indices, Indices, Indices, Indices]:
    """Face, row, first column and column after the last of every stretch that a face fills."""
    height, width = shape
    falling = start[:, 1] > end[:, 1]
    a = np.where(falling[:, None], end, start)
    b = np.where(falling[:, None], start, end)
    top = np.clip(np.ceil(a[:, 1] - 0.5), 0, height).astype(np.int64)
    bottom = np.clip(np.ceil(b[:, 1] - 0.5), 0, height).astype(np.int64)
    count = bottom - top
    here = np.repeat(np.arange(len(of)), count)
    row = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + top[here]
    a, b = a[here], b[here]
    x = a[:, 0] + (row + 0.5 - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    face = of[here]
    order = np.lexsort((x, row, face))
    face, row, x = face[order][::2], row[order][::2], x[order]
    left = np.clip(np.ceil(x[::2] - 0.5), 0, width).astype(np.int64)
    right = np.clip(np.ceil(x[1::2] - 0.5), 0, width).astype(np.int64)
    wide = right > left
    return face[wide], row[wide], left[wide], right[wide]
