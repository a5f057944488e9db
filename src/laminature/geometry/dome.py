"""A soft dome over a flat outline, in flat faces: how a cushion is shown in a line drawing.

The outline is drawn in towards its middle in rings, each higher than the last, so that every face
between two rings is a flat trapezoid. Nothing of it is an edge but the border at its foot.
"""

from __future__ import annotations

import itertools

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.outer import BEND, SHARP, Outer

Array = NDArray[np.float64]

#: How far in the rings are drawn, from 1 at the border to 0 in the middle: close where the dome is steep.
RINGS = np.array([1.0, 0.995, 0.98, 0.955, 0.92, 0.87, 0.8, 0.7, 0.55, 0.35])
#: Chords of the outline keep this near to it, mm.
CHORD = 0.01


class Dome:
    """A dome of ``height`` mm over ``outline`` at z = 0, with upright sides down to ``foot`` below it.

    ``swell`` is the exponent of its profile: 2 is an ellipse, more is fuller. The outline has to be seen
    whole from its middle: :func:`fits` tells.
    """

    def __init__(self, outline: Flat, foot: float, height: float, swell: float) -> None:
        self.height, self.swell, self._foot = height, swell, foot
        self.ring, self.middle = _ring(outline)

    def rise(self, share: Array) -> Array:
        """How high it is where rings are drawn in to ``share``; flat between two of :data:`RINGS`, mm."""
        steps = RINGS[::-1]
        known = self.height * (1.0 - steps**self.swell) ** (1.0 / self.swell)
        return np.interp(share, steps, known, left=float(known[0]))

    def over(self, points: Array) -> Array:
        """How high it is over points (n, 2) within the outline, mm."""
        to = points - self.middle
        normal, level = _sides(self.ring, self.middle)
        return self.rise(np.clip((to @ normal.T / level).max(axis=1), 0.0, 1.0))

    def skin(self) -> Outer:
        """Its faces and edges."""
        rings = [self._at(s, float(self.rise(np.array(s)))) for s in RINGS]
        low = np.column_stack([self.ring, np.full(len(self.ring), self._foot)])
        every = [low, *rings]
        quads, normals = [], []
        for a, b in itertools.pairwise(every):
            nexts = np.roll(a, -1, axis=0), np.roll(b, -1, axis=0)
            quads.append(np.stack([a, nexts[0], nexts[1], b], axis=1))
            out = np.cross(nexts[0] - a, b - a)
            normals.append(out / np.linalg.norm(out, axis=1)[:, None])
        edges = [_level(low, normals[0], np.array([0.0, 0.0, -1.0]), SHARP)]
        for k, ring in enumerate(rings):
            above = normals[k + 1] if k + 1 < len(normals) else np.tile([0.0, 0.0, 1.0], (len(ring), 1))
            edges.append(_level(ring, normals[k], above, SHARP if k == 0 else BEND))
        for a, b, n in zip(every[:-1], every[1:], normals, strict=True):
            edges.append((a, b, np.full(len(a), BEND), np.stack([np.roll(n, 1, axis=0), n], axis=1)))
        start, end, kind, sides = (np.concatenate(x) for x in zip(*edges, strict=True))
        caps = (Flat(self.ring), Flat(rings[-1][:, :2]))
        heights = np.array([self._foot, rings[-1][0, 2]])
        return Outer(
            start, end, kind, sides, np.concatenate(quads), np.concatenate(normals), caps, heights,
            np.array([False, True]),
        )  # fmt: skip

    def _at(self, share: float, height: float) -> Array:
        plane = self.middle + share * (self.ring - self.middle)
        return np.column_stack([plane, np.full(len(plane), height)])


def fits(outline: Flat) -> bool:
    """Whether a dome can stand over this outline: all of its border is seen from its middle."""
    _, level = _sides(*_ring(outline))
    return bool((level > 1e-3).all()) and not outline.interiors


def _ring(outline: Flat) -> tuple[Array, Array]:
    """The outline in chords, walked to the left, and the middle of its bounds."""
    ring = shapely.get_coordinates(shapely.orient_polygons(shapely.simplify(outline, CHORD)).exterior)[:-1]
    return ring, (ring.min(axis=0) + ring.max(axis=0)) / 2.0


def _sides(ring: Array, middle: Array) -> tuple[Array, Array]:
    """Outward normals of the ring's sides, and how far each side is from the middle, mm."""
    step = np.roll(ring, -1, axis=0) - ring
    normal = np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None]
    return normal, ((ring - middle) * normal).sum(axis=1)


def _level(ring: Array, below: Array, above: Array, kind: int) -> tuple[Array, Array, Array, Array]:
    """The edges of one ring."""
    ends = np.roll(ring, -1, axis=0)
    sides = np.stack([below, np.broadcast_to(above, below.shape)], axis=1)
    return ring, ends, np.full(len(ring), kind), sides
