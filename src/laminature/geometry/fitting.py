"""Polygons become paths of lines and arcs again.

First come the edges whose source is known (:mod:`laminature.geometry.provenance`): they get their arc
back exactly. What is left is cut at its corners and at its straight edges; the smooth runs between
are fitted with the longest biarcs whose proven distance from the polygon, both ways, is within a
tolerance (:mod:`laminature.geometry.biarcs`). A straight edge keeps its two points as they are, so
that right-angled joints stay exact.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.biarcs import MOST, Biarc, arc_keeps, arc_through, biarc, biarc_keeps
from laminature.geometry.flat import Flat
from laminature.geometry.path import FLATTEN, Arc, Array, Line, Path, Point, Segment
from laminature.geometry.provenance import DRAWN_OUT, Circle, Parallel, circles_of, owners
from laminature.geometry.region import Region

#: How far a fitted path may lie from its polygon, mm. With the 0.002 mm of flattening the whole stays
#: below 0.01 mm; the rest is kept for the parallels of small curves, whose chords stand off a little more.
FIT = 0.007
#: A vertex that turns more than this is a corner, degrees. Arcs of 0.1 mm radius turn 23 at each vertex.
CORNER = 30.0
#: An edge is a chord where the curve over it would bulge at most this, mm; else it is a straight edge.
BULGE = 1.75 * FLATTEN
#: A straight edge or an arc runs smoothly on into a curve whose direction differs by less, degrees.
SMOOTH = 0.5


def borders(shape: Flat, sources: Sequence[Parallel] = (), tolerance: float = FIT) -> Region:
    """The borders of a polygon as lines and arcs, within ``tolerance`` mm of it.

    ``sources`` are the curves that its edges may come from. Outline and openings keep their order, their
    direction and, but for rings that begin within a curve, their first point.
    """
    circles = circles_of(sources)
    rings = [np.asarray(ring.coords)[:-1] for ring in (shape.exterior, *shape.interiors)]
    outline, *openings = (fitted(ring, circles, tolerance) for ring in rings)
    return Region(outline, tuple(openings))


def fitted(ring: Array, circles: Sequence[Circle] = (), tolerance: float = FIT) -> Path:
    """A closed path of lines and arcs along a ring of points (n, 2), the first not repeated.

    ``circles`` are those that edges of the ring may be chords of. The path and the ring
    keep within ``tolerance`` mm of each other, but where an edge gets its arc back: there the
    path is the arc itself, which the ring left by what flattening took.
    """
    ring = ring[np.any(ring != np.roll(ring, 1, axis=0), axis=1)]
    if len(ring) < 4:
        return Path(tuple(_lines(np.concatenate([ring, ring[:1]]))))
    owner = owners(ring, circles)
    turn = _turns(ring)
    straight = (owner < 0) & _straight(ring, turn)
    limit = math.radians(CORNER)
    # Where one edge ends and something else begins.
    changes = (owner != np.roll(owner, 1)) | straight | np.roll(straight, 1)
    starts = np.flatnonzero(changes | ((np.abs(turn) > limit) & (owner < 0)))
    if len(starts) == 0:
        if owner[0] >= 0:
            return _whole(ring, circles[owner[0]])
        return _closed_curve(ring, turn, tolerance)
    at = _met(ring, owner, straight, circles, starts)
    runs = []
    for n, start in enumerate(starts):
        end = int(starts[(n + 1) % len(starts)])
        count = (end - int(start) - 1) % len(ring) + 1
        index = (int(start) + np.arange(count + 1)) % len(ring)
        circle = circles[owner[start]] if owner[start] >= 0 else None
        runs.append(_Run(index, ring[index], at[index], circle, bool(straight[start])))
    segments: list[Segment] = []
    for n, run in enumerate(runs):
        if run.circle is not None:
            segments += _arcs(run.chords, run.points, run.circle)
        elif len(run.points) == 2:
            segments += _lines(run.points)
        else:
            moved = float(np.abs(run.points[[0, -1]] - run.chords[[0, -1]]).max())
            room = tolerance - 2.0 * moved
            before, after = runs[n - 1], runs[(n + 1) % len(runs)]
            ends = (before.direction(-1), after.direction(0))
            segments += _curve(run.points, turn[run.index], ends, room)
    return Path(tuple(segments))


@dataclass(frozen=True)
class _Run:
    """Edges of one kind: on a circle, one straight edge, or a smooth curve.

    ``chords`` are its points as the ring has them, ``points`` those with the ends brought onto circles.
    """

    index: NDArray[np.int64]
    chords: Array
    points: Array
    circle: Circle | None
    straight: bool

    def direction(self, end: int) -> Point | None:
        """The way it goes at its first (0) or last (-1) point, where that is known exactly."""
        (x0, y0), (x1, y1) = self.points[0], self.points[-1]
        if self.straight:
            return _unit(x1 - x0, y1 - y0)
        if self.circle is None:
            return None
        left = _walked(self.chords, self.circle) > 0.0
        x, y = self.points[end] - self.circle.centre
        return _unit(-y, x) if left else _unit(y, -x)


def _turns(ring: Array) -> Array:
    """The angle turned at each vertex, radians, positive to the left."""
    step = np.roll(ring, -1, axis=0) - ring
    before = np.roll(step, 1, axis=0)
    cross = before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]
    dot = np.asarray(np.sum(before * step, axis=1))
    return np.asarray(np.arctan2(cross, dot))


def _straight(ring: Array, turn: Array) -> NDArray[np.bool_]:
    """Which edges are straight: too long to be chords of a curve that turns as their ends do."""
    step = np.roll(ring, -1, axis=0) - ring
    length = np.hypot(step[:, 0], step[:, 1])
    bends = np.abs(turn)
    bends[bends > math.radians(CORNER)] = np.inf
    gentler = np.minimum(bends, np.roll(bends, -1))
    return np.asarray(length * gentler / 8.0 > BULGE)


def _met(
    ring: Array,
    owner: NDArray[np.int64],
    straight: NDArray[np.bool_],
    circles: Sequence[Circle],
    starts: NDArray[np.int64],
) -> Array:
    """The ring with those vertices brought onto their circles where a run on a circle ends."""
    at = ring.copy()
    for i in (int(s) for s in starts):
        before, after = i - 1, i
        mine, other = (before, after) if owner[before] >= 0 else (after, before)
        if owner[mine] < 0:
            continue
        circle = circles[owner[mine]]
        point = (float(ring[i, 0]), float(ring[i, 1]))
        if owner[other] >= 0:
            met = _two_circles(point, circle, circles[owner[other]])
        elif straight[other]:
            step = ring[(other + 1) % len(ring)] - ring[other]
            met = _on_line(point, _unit(float(step[0]), float(step[1])), circle)
            if met is not None and math.dist(met, point) > 0.5 * math.hypot(*step):
                met = None
        else:
            met = None
        if met is None or math.dist(met, point) > DRAWN_OUT:
            met = _outwards(point, circle)
        at[i] = met
    return at


def _outwards(point: Point, circle: Circle) -> Point:
    """The point of the circle on the ray through ``point``."""
    x, y = point[0] - circle.centre[0], point[1] - circle.centre[1]
    factor = circle.radius / math.hypot(x, y)
    return (circle.centre[0] + factor * x, circle.centre[1] + factor * y)


def _on_line(point: Point, direction: Point, circle: Circle) -> Point | None:
    """Where the line through ``point`` meets the circle, nearest to it; the touching point of a tangent."""
    x, y = point[0] - circle.centre[0], point[1] - circle.centre[1]
    along = x * direction[0] + y * direction[1]
    side = direction[0] * y - direction[1] * x
    half = circle.radius**2 - side * side
    # Within a millionth of touching, the two crossings are nothing but rounding.
    if abs(abs(side) - circle.radius) < 1e-6:
        step = -along
    elif half < 0.0:
        return None
    else:
        root = math.sqrt(half)
        step = min(-along - root, -along + root, key=abs)
    return (point[0] + step * direction[0], point[1] + step * direction[1])


def _two_circles(point: Point, one: Circle, other: Circle) -> Point | None:
    """Where two circles meet, nearest to ``point``; None where they miss each other."""
    x, y = other.centre[0] - one.centre[0], other.centre[1] - one.centre[1]
    apart = math.hypot(x, y)
    if apart < 1e-6:
        return None
    x, y = x / apart, y / apart
    along = (apart * apart + one.radius**2 - other.radius**2) / (2.0 * apart)
    squared = one.radius**2 - along * along
    touching = min(abs(apart - one.radius - other.radius), abs(apart - abs(one.radius - other.radius)))
    if touching < 1e-6:
        along, squared = math.copysign(one.radius, along), 0.0
    elif squared < 0.0:
        return None
    height = math.sqrt(squared)
    base = (one.centre[0] + along * x, one.centre[1] + along * y)
    both = [(base[0] - s * y, base[1] + s * x) for s in (height, -height)]
    return min(both, key=lambda p: math.dist(p, point))


def _walked(points: Array, circle: Circle) -> float:
    """The angle that a run of chords walks about its circle, radians, positive to the left."""
    x, y = (points - circle.centre).T
    cross, dot = x[:-1] * y[1:] - y[:-1] * x[1:], x[:-1] * x[1:] + y[:-1] * y[1:]
    return float(np.arctan2(cross, dot).sum())


def _arcs(chords: Array, points: Array, circle: Circle) -> list[Segment]:
    """The arc that a run of chords came from, between the ends of ``points``."""
    start, end = _point(points[0]), _point(points[-1])
    walked = _walked(chords, circle)
    if start == end:
        opposite = (2.0 * circle.centre[0] - start[0], 2.0 * circle.centre[1] - start[1])
        left = walked > 0.0
        return [Arc(start, opposite, circle.centre, left), Arc(opposite, end, circle.centre, left)]
    arc = Arc(start, end, _middle(start, end, circle), walked > 0.0)
    # A chord so short that its ends changed places is no arc round the whole circle.
    return [arc] if abs(math.radians(arc.sweep) - walked) < 1.0 else [Line(start, end)]


def _middle(start: Point, end: Point, circle: Circle) -> Point:
    """The centre of the arc from ``start`` to ``end``: the circle's, moved where an end lies off it.

    An end that two circles share which miss each other lies on one of them only. Machines refuse an arc
    whose ends are not equally far from its centre.
    """
    (x, y), (u, v) = circle.centre, (end[0] - start[0], end[1] - start[1])
    off = (math.dist(end, (x, y)) ** 2 - math.dist(start, (x, y)) ** 2) / 2.0
    if abs(off) < 1e-6 * circle.radius:
        return circle.centre
    step = off / (u * u + v * v)
    return (x + step * u, y + step * v)


def _whole(ring: Array, circle: Circle) -> Path:
    """A whole circle as two half arcs, from the ring's first point."""
    closed = np.concatenate([ring, ring[:1]])
    closed[[0, -1]] = _outwards(_point(ring[0]), circle)
    return Path(tuple(_arcs(closed, closed, circle)))


def _lines(points: Array) -> list[Segment]:
    pts = [_point(p) for p in points]
    return [Line(p, q) for p, q in itertools.pairwise(pts)]


def _closed_curve(ring: Array, turn: Array, tolerance: float) -> Path:
    """A ring without any corner: a circle, or a curve that begins and ends in one direction."""
    points = np.concatenate([ring, ring[:1]])
    third = len(ring) // 3
    round_ = arc_through(*(_point(ring[n]) for n in (0, third, 2 * third)))
    if round_ is not None:
        circle = Circle(round_.centre, round_.radius, ())
        whole = Arc(round_.start, round_.start, round_.centre, round_.ccw)
        if arc_keeps(whole, points, tolerance) and abs(abs(_walked(points, circle)) - math.tau) < 1.0:
            return _whole(ring, circle)
    first = _tangents(np.array([ring[-1], ring[0], ring[1]]))[1]
    ends = (_point(first), _point(first))
    return Path(tuple(_merged(_curve(points, np.append(turn, turn[0]), ends, tolerance))))


def _curve(
    points: Array, turn: Array, ends: tuple[Point | None, Point | None], tolerance: float
) -> list[Segment]:
    """Biarcs along a smooth run of points, each as long as ``tolerance`` allows."""
    tangents = _tangents(points)
    for at, end in zip((0, -1), ends, strict=True):
        hair = math.radians(SMOOTH) + 0.25 * abs(turn[1 if at == 0 else -2])
        if end is not None and _angle(end, tangents[at]) < hair:
            tangents[at] = end
    turned = np.concatenate([[0.0], np.cumsum(np.abs(turn[1:-1]))])
    segments: list[Segment] = []
    here, last, reach = 0, len(points) - 1, 8
    while here < last:
        # Where the run has turned as far as one biarc may.
        most = int(np.searchsorted(turned, turned[here] + math.radians(MOST), side="right"))
        there, made = _longest(points, tangents, here, max(here + 1, min(most, last)), reach, tolerance)
        run = points[here : there + 1]
        segments += _lines(run) if made is None else _simplest(made, run, tolerance)
        reach, here = there - here, there
    return segments


def _longest(
    points: Array, tangents: Array, here: int, most: int, guess: int, tolerance: float
) -> tuple[int, Biarc | None]:
    """The farthest point to which a biarc keeps, by doubling steps and then halving what is between.

    Where none keeps it is the next point, and the biarc is None: a straight line always keeps.
    """
    start, leaving = _point(points[here]), _point(tangents[here])
    low, high, step, best = here + 1, most + 1, max(2, guess), None
    while high - low > 1:
        there = min(low + step, most) if high > most else (low + high) // 2
        made = biarc(start, leaving, _point(points[there]), _point(tangents[there]))
        if made is not None and biarc_keeps(made, points[here : there + 1], tolerance):
            low, step, best = there, 2 * step, made
        else:
            high = there
    return low, best


def _simplest(made: Biarc, points: Array, tolerance: float) -> list[Segment]:
    """One arc where it does as well as two: as near, and in the same directions but for a hair."""
    one = arc_through(made.start, made.joint, made.end)
    if one is not None and arc_keeps(one, points, tolerance):
        two, hair = made.segments(), math.radians(SMOOTH) / 2.0
        if (
            _angle(_way(one, one.start), _way(two[0], one.start)) < hair
            and _angle(_way(one, one.end), _way(two[1], one.end)) < hair
        ):
            return [one]
    return list(made.segments())


def _merged(segments: Sequence[Segment]) -> list[Segment]:
    """Neighbouring arcs of one circle made one, up to half a turn."""
    out: list[Segment] = []
    for segment in segments:
        last = out[-1] if out else None
        if (
            isinstance(segment, Arc)
            and isinstance(last, Arc)
            and segment.ccw == last.ccw
            and math.dist(segment.centre, last.centre) < 1e-6
            and abs(segment.sweep) + abs(last.sweep) < 181.0
        ):
            out[-1] = Arc(last.start, segment.end, last.centre, last.ccw)
        else:
            out.append(segment)
    return out


def _tangents(points: Array) -> Array:
    """Unit directions at points of a smooth curve: of the circle through each and its neighbours."""
    step = points[1:] - points[:-1]
    length = np.hypot(step[:, 0], step[:, 1])[:, None]
    way = step / length
    inner = way[:-1] * length[1:] + way[1:] * length[:-1]
    inner /= np.hypot(inner[:, 0], inner[:, 1])[:, None]
    # At its ends the circle's direction is the next one mirrored at the chord.
    first = 2.0 * float(inner[0] @ way[0]) * way[0] - inner[0]
    last = 2.0 * float(inner[-1] @ way[-1]) * way[-1] - inner[-1]
    return np.concatenate([first[None], inner, last[None]])


def _way(segment: Segment, at: Point) -> Point:
    """The direction of a line or an arc at one of its points."""
    if not isinstance(segment, Arc):
        return _unit(segment.end[0] - segment.start[0], segment.end[1] - segment.start[1])
    x, y = at[0] - segment.centre[0], at[1] - segment.centre[1]
    return _unit(-y, x) if segment.ccw else _unit(y, -x)


def _angle(a: Point, b: Sequence[float] | Array) -> float:
    return abs(math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]))


def _unit(x: float, y: float) -> Point:
    size = math.hypot(x, y) or 1.0
    return (float(x / size), float(y / size))


def _point(p: Sequence[float] | Array) -> Point:
    return (float(p[0]), float(p[1]))
