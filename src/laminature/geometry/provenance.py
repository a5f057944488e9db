"""Where the borders of a layer come from: the arcs of its source, and which edges lie on them.

Regions are worked on as polygons, but most of their edges still lie on a curve that is known:
the part's outline, or its parallel at the sanding allowance or at the inset of a profile. The
parallel of an arc is an arc about the same centre, that of a line a line. A line loses nothing
on the way through polygons, so that only arcs have to be found again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Arc, Array, Path, Point
from laminature.geometry.region import Region
from laminature.geometry.walk import signed_area

#: How far a vertex or the middle of a chord may lie from its arc, mm: twice what flattening leaves.
NEAR = 0.004
#: Where a mitred corner was drawn out along a chord, its end may lie this far from the arc, mm.
DRAWN_OUT = 0.02
#: An edge that leans more than this (tangent) against the arc is no chord of it.
SLOPE = 0.3
#: Arcs smaller than this are not worth finding, mm.
LEAST_RADIUS = 0.005


@dataclass(frozen=True)
class Circle:
    """A circle of which ``sweeps`` are known borders: (first angle, angle walked to the left) in radians."""

    centre: Point
    radius: float
    sweeps: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Parallel:
    """The borders of ``region`` grown by ``distance`` mm (shrunk where negative), as exact curves."""

    region: Region
    distance: float = 0.0

    @cached_property
    def circles(self) -> tuple[Circle, ...]:
        """The circles of its arcs. An arc that its distance has used up is left out."""
        paths = [_turned(self.region.outline, left=True)]
        paths += [_turned(opening, left=False) for opening in self.region.openings]
        found = []
        for arc in (s for path in paths for s in path if isinstance(s, Arc)):
            # Board lies to the left, so growing widens what turns left and narrows what turns right.
            radius = arc.radius + (self.distance if arc.ccw else -self.distance)
            if radius > LEAST_RADIUS:
                walked = arc if arc.ccw else arc.reversed()
                y, x = walked.start[1] - walked.centre[1], walked.start[0] - walked.centre[0]
                sweep = (math.atan2(y, x), math.radians(walked.sweep))
                found.append(Circle(arc.centre, radius, (sweep,)))
        return tuple(found)


def circles_of(sources: Iterable[Parallel]) -> tuple[Circle, ...]:
    """The circles of all ``sources``; arcs of one circle together."""
    found: dict[tuple[float, ...], Circle] = {}
    for circle in (c for source in sources for c in source.circles):
        key = tuple(round(v, 7) + 0.0 for v in (*circle.centre, circle.radius))
        first = found.get(key)
        if first is None:
            found[key] = circle
        elif circle.sweeps[0] not in first.sweeps:
            found[key] = Circle(first.centre, first.radius, first.sweeps + circle.sweeps)
    return tuple(found.values())


def owners(ring: Array, circles: Sequence[Circle]) -> NDArray[np.int64]:
    """For each edge of a closed ring (n, 2) the circle it is a chord of: its index, or -1.

    An edge belongs to a circle where its middle and one end at least lie within 0.004 mm of
    it, and its middle within one of the circle's known sweeps.
    """
    none = np.full(len(ring), -1, dtype=np.int64)
    if not circles:
        return none
    centres = np.array([c.centre for c in circles])[:, None, :]
    radii = np.array([c.radius for c in circles])[:, None]
    after = np.roll(ring, -1, axis=0)
    step = after - ring
    spoke = ring - centres
    off = np.hypot(spoke[..., 0], spoke[..., 1]) - radii
    off_after = np.roll(off, -1, axis=1)
    middle = spoke + 0.5 * step
    off_middle = np.abs(np.hypot(middle[..., 0], middle[..., 1]) - radii)
    nearer = np.minimum(np.abs(off), np.abs(off_after))
    farther = np.maximum(np.abs(off), np.abs(off_after))
    leaning = np.abs(off_after - off) > SLOPE * np.hypot(step[:, 0], step[:, 1])
    found = (off_middle <= NEAR) & (nearer <= NEAR) & (farther <= DRAWN_OUT) & ~leaning
    for k, i in zip(*np.nonzero(found), strict=True):
        angle = math.atan2(middle[k, i, 1], middle[k, i, 0])
        found[k, i] = any((angle - first) % math.tau <= sweep for first, sweep in circles[k].sweeps)
    best = np.argmin(np.where(found, off_middle, np.inf), axis=0)
    return np.where(found.any(axis=0), best, none)


def _turned(path: Path, left: bool) -> Path:
    """The closed path, walked so that what it encloses lies to its left (or right)."""
    return path if (signed_area(path) > 0.0) == left else path.reversed()
