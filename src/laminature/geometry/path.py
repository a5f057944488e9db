"""Curves in a plane: lines, circular arcs and cubics, strung into paths.

Curves stay curves as long as they can. They are flattened only where shapely needs
polygons, at :data:`FLATTEN` mm, which leaves most of the whole budget of 0.01 mm to
whatever is fitted again afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from laminature.errors import GeometryError

Point = tuple[float, float]
Array = NDArray[np.float64]

#: Largest distance between a curve and its chords where it is flattened, mm.
FLATTEN = 0.002


@dataclass(frozen=True)
class Line:
    """A straight run from ``start`` to ``end``."""

    start: Point
    end: Point

    def points(self, tolerance: float = FLATTEN) -> list[Point]:  # noqa: ARG002  (as curves have it)
        """The end point alone: a line needs nothing between."""
        return [self.end]

    def reversed(self) -> Line:
        """The same run walked the other way."""
        return Line(self.end, self.start)


@dataclass(frozen=True)
class Arc:
    """A circular arc from ``start`` to ``end`` about ``centre``.

    ``ccw`` says whether it turns left. Where start and end are the same it is the
    whole circle.
    """

    start: Point
    end: Point
    centre: Point
    ccw: bool = True

    @property
    def radius(self) -> float:
        """Distance from the centre to the start, mm."""
        return math.dist(self.start, self.centre)

    @property
    def sweep(self) -> float:
        """The angle walked, in degrees; positive to the left."""
        a0 = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        a1 = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        turn = math.degrees(a1 - a0) % 360.0
        if self.ccw:
            return turn if turn > 1e-9 else 360.0
        return turn - 360.0 if turn > 1e-9 else -360.0

    def points(self, tolerance: float = FLATTEN) -> list[Point]:
        """Points along the arc after its start, chords within ``tolerance``, end exact."""
        r = self.radius
        sweep = math.radians(self.sweep)
        step = 2.0 * math.acos(max(0.0, 1.0 - tolerance / r)) if r > tolerance else math.pi / 2
        n = max(1, math.ceil(abs(sweep) / step - 1e-9))
        a0 = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        angles = a0 + sweep * np.arange(1, n) / n
        inner = np.column_stack([self.centre[0] + r * np.cos(angles), self.centre[1] + r * np.sin(angles)])
        return [(float(x), float(y)) for x, y in inner] + [self.end]

    def reversed(self) -> Arc:
        """The same arc walked the other way."""
        return Arc(self.end, self.start, self.centre, not self.ccw)


@dataclass(frozen=True)
class Cubic:
    """A cubic Bézier curve with control points ``c1`` and ``c2``."""

    start: Point
    c1: Point
    c2: Point
    end: Point

    def points(self, tolerance: float = FLATTEN) -> list[Point]:
        """Points along the curve after its start, chords within ``tolerance``, end exact.

        The number of equal steps in the parameter comes from the bound
        |second derivative| / 8 · step² on the distance of a chord from its curve.
        """
        p = np.array([self.start, self.c1, self.c2, self.end])
        second = 6.0 * max(
            float(np.linalg.norm(p[0] - 2 * p[1] + p[2])), float(np.linalg.norm(p[1] - 2 * p[2] + p[3]))
        )
        n = max(1, math.ceil(math.sqrt(second / (8.0 * tolerance))))
        t = (np.arange(1, n) / n)[:, None]
        s = 1.0 - t
        inner = s**3 * p[0] + 3 * s**2 * t * p[1] + 3 * s * t**2 * p[2] + t**3 * p[3]
        return [(float(x), float(y)) for x, y in inner] + [self.end]

    def reversed(self) -> Cubic:
        """The same curve walked the other way."""
        return Cubic(self.end, self.c2, self.c1, self.start)


Segment = Line | Arc | Cubic


@dataclass(frozen=True)
class Path:
    """Segments end to end. A closed path ends where it began."""

    segments: tuple[Segment, ...]
    closed: bool = True

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.segments)

    @property
    def start(self) -> Point:
        """Where the pen is put down."""
        return self.segments[0].start

    @cached_property
    def flattened(self) -> Array:
        """Points (n, 2) of the path at :data:`FLATTEN`; a closed path's first is not repeated."""
        return self.flatten()

    def flatten(self, tolerance: float = FLATTEN) -> Array:
        """Points (n, 2) whose chords keep within ``tolerance`` of the path, mm."""
        points = [self.start]
        for segment in self.segments:
            points.extend(segment.points(tolerance))
        if self.closed and len(points) > 1 and math.dist(points[0], points[-1]) < 1e-9:
            points.pop()
        return np.array(points, dtype=float)

    def reversed(self) -> Path:
        """The same path walked the other way."""
        return Path(tuple(s.reversed() for s in reversed(self.segments)), self.closed)

    def mapped(self, matrix: Sequence[Sequence[float]], shift: Point = (0.0, 0.0)) -> Path:
        """The path after a rotation, mirroring or even scaling (2 × 2) and a shift.

        Raises GeometryError for a matrix that would turn arcs into ellipses.
        """
        (a, b), (c, d) = matrix
        if abs(a * a + c * c - b * b - d * d) > 1e-9 or abs(a * b + c * d) > 1e-9:
            raise GeometryError("a path can be turned, mirrored and scaled evenly, not stretched or slanted")
        flips = a * d - b * c < 0.0

        def to(p: Point) -> Point:
            return (a * p[0] + b * p[1] + shift[0], c * p[0] + d * p[1] + shift[1])

        out: list[Segment] = []
        for s in self.segments:
            if isinstance(s, Line):
                out.append(Line(to(s.start), to(s.end)))
            elif isinstance(s, Arc):
                out.append(Arc(to(s.start), to(s.end), to(s.centre), s.ccw != flips))
            else:
                out.append(Cubic(to(s.start), to(s.c1), to(s.c2), to(s.end)))
        return Path(tuple(out), self.closed)


def polyline(points: Sequence[Point] | Array, closed: bool = True) -> Path:
    """A path of straight lines through ``points``; a closed one returns to the first.

    Raises GeometryError for fewer than two points (three for a closed path).
    """
    pts = [(float(x), float(y)) for x, y in points]
    if closed and len(pts) > 1 and pts[0] == pts[-1]:
        pts.pop()
    if len(pts) < (3 if closed else 2):
        raise GeometryError("an outline needs at least three points, a line two")
    ends = pts[1:] + pts[:1] if closed else pts[1:]
    return Path(tuple(Line(p, q) for p, q in zip(pts, ends, strict=False)), closed)


def circle(radius: float, centre: Point = (0.0, 0.0)) -> Path:
    """A whole circle, walked to the left from its rightmost point, as two half arcs."""
    right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
    return Path((Arc(right, left, centre), Arc(left, right, centre)))
