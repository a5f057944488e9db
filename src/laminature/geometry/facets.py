"""The facets of stacked solids as they are seen along a way: shadows, and depths over them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.pose import Vector
from laminature.geometry.solid import Slab, Solid

Array = NDArray[np.float64]
#: Facets that look across the way by less than this sine cast no shadow.
EDGE_ON = 1e-7


@dataclass(frozen=True)
class Facets:
    """Facets seen along a way: shadows as polygons across it, and depth = plane · (x, y, 1) over them.

    ``box`` bounds the shadows, ``low`` and ``high`` the depths, mm; ``owner`` counts the solids.
    """

    shape: NDArray[np.object_]
    plane: Array
    box: Array
    low: Array
    high: Array
    owner: NDArray[np.intp]

    def kept(self, keep: NDArray[Any]) -> Facets:
        """Some of them."""
        return Facets(*(values[keep] for values in self._all()))

    def and_(self, other: Facets) -> Facets:
        """These and others."""
        return Facets(*(np.concatenate(pair) for pair in zip(self._all(), other._all(), strict=True)))

    def _all(self) -> tuple[NDArray[Any], ...]:
        return self.shape, self.plane, self.box, self.low, self.high, self.owner


def across(way: Vector) -> Array:
    """Three unit vectors at right angles as rows, right-handed; the last is ``way``."""
    d = np.asarray(way, dtype=float)
    helper = np.eye(3)[int(np.argmin(np.abs(d)))]
    first = np.cross(helper, d)
    first /= np.linalg.norm(first)
    return np.array([first, np.cross(d, first), d])


def facets(solids: Sequence[Solid], basis: Array) -> tuple[Facets, Facets]:
    """All facets that look against the way, and all that look along it; ``basis`` as from :func:`across`.

    Where slabs of one solid lie on each other, facets inside it are among them: they do no harm.
    """
    walls, caps = _Walls(), _Caps()
    for owner, solid in enumerate(solids):
        turn, shift = basis @ solid.pose.matrix, basis @ solid.pose.shift
        for slab in solid.slabs:
            for flat in slab.flats:
                walls.add(owner, flat, slab, turn, shift)
                caps.add(owner, flat, slab, turn, shift)
    (wall, wall_sign), (cap, cap_sign) = walls.made(), caps.made()
    both, sign = wall.and_(cap), np.concatenate([wall_sign, cap_sign])
    return both.kept(sign < 0.0), both.kept(sign > 0.0)


class _Walls:
    """Facets along the edges of slabs. ``turn`` and ``shift`` take own coordinates to those of the view."""

    def __init__(self) -> None:
        self._corners: list[Array] = [np.empty((0, 4, 3))]
        self._sign: list[Array] = [np.empty(0)]
        self._owner: list[NDArray[np.intp]] = [np.empty(0, dtype=np.intp)]

    def add(self, owner: int, flat: Flat, slab: Slab, turn: Array, shift: Array) -> None:
        p, q, normal = _edges(flat)
        sign = normal @ turn[2, :2]
        seen = np.abs(sign) > EDGE_ON * np.hypot(*normal.T)
        p, q = p[seen] @ turn[:, :2].T + shift, q[seen] @ turn[:, :2].T + shift
        low, high = slab.lower * turn[:, 2], slab.upper * turn[:, 2]
        self._corners.append(np.stack([p + low, q + low, q + high, p + high], axis=1))
        self._sign.append(sign[seen])
        self._owner.append(np.full(len(p), owner, dtype=np.intp))

    def made(self) -> tuple[Facets, Array]:
        corners = np.concatenate(self._corners)
        n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 3] - corners[:, 0])
        c = np.einsum("ni,ni->n", n, corners[:, 0])
        flat, depth = corners[:, :, :2], corners[:, :, 2]
        found = Facets(
            np.asarray(shapely.polygons(flat), dtype=object),
            np.column_stack([-n[:, 0], -n[:, 1], c]) / n[:, 2:],
            np.column_stack([flat.min(axis=1), flat.max(axis=1)]),
            depth.min(axis=1),
            depth.max(axis=1),
            np.concatenate(self._owner),
        )
        return found, np.concatenate(self._sign)


class _Caps:
    """The lower and upper facets of slabs."""

    def __init__(self) -> None:
        self._shape: list[Any] = []
        self._plane: list[Array] = [np.empty((0, 3))]
        self._sign: list[float] = []
        self._owner: list[int] = []

    def add(self, owner: int, flat: Flat, slab: Slab, turn: Array, shift: Array) -> None:
        n = turn[:, 2]
        if abs(n[2]) <= EDGE_ON:
            return
        for height, side in ((slab.lower, -1.0), (slab.upper, 1.0)):
            at = n * height + shift
            self._shape.append(shapely.transform(flat, lambda p, at=at: p @ turn[:2, :2].T + at[:2]))
            self._plane.append(np.array([[-n[0], -n[1], n @ at]]) / n[2])
            self._sign.append(side * float(n[2]))
            self._owner.append(owner)

    def made(self) -> tuple[Facets, Array]:
        shape, plane = np.array(self._shape, dtype=object), np.concatenate(self._plane)
        box = shapely.bounds(shape).reshape(-1, 4)
        x, y = box[:, [0, 2, 2, 0]], box[:, [1, 1, 3, 3]]
        depth = x * plane[:, :1] + y * plane[:, 1:2] + plane[:, 2:]
        owner = np.array(self._owner, dtype=np.intp)
        low = depth.min(axis=1, initial=np.inf)
        return Facets(shape, plane, box, low, depth.max(axis=1, initial=-np.inf), owner), np.array(self._sign)


def _edges(flat: Flat) -> tuple[Array, Array, Array]:
    """Edges of a polygon and its openings: from, to, and the normals that look out of the board."""
    starts, ends, normals = [], [], []
    for n, ring in enumerate((flat.exterior, *flat.interiors)):
        points = np.asarray(ring.coords)[:, :2]
        x, y = np.diff(points, axis=0).T
        outwards = 1.0 if ring.is_ccw == (n == 0) else -1.0
        starts.append(points[:-1])
        ends.append(points[1:])
        normals.append(outwards * np.column_stack([y, -x]))
    return np.concatenate(starts), np.concatenate(ends), np.concatenate(normals)
