"""Walking along paths: lengths, where to begin, and how to go on beyond the beginning.

Cutters begin somewhere on a closed path, and a blade has to run on a little over that place.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from laminature.geometry.path import Arc, Cubic, Line, Path, Point, Segment


@dataclass(frozen=True)
class Place:
    """A place on a path: ``share`` (0 to below 1) of the way along its segment ``index``."""

    index: int
    share: float
    point: Point


def segment_length(segment: Segment) -> float:
    """Length of a segment, mm; a cubic's is that of its chords."""
    if isinstance(segment, Line):
        return math.dist(segment.start, segment.end)
    if isinstance(segment, Arc):
        return segment.radius * math.radians(abs(segment.sweep))
    points = [segment.start, *segment.points()]
    return sum(math.dist(p, q) for p, q in itertools.pairwise(points))


def signed_area(path: Path) -> float:
    """The area enclosed by a closed path, mm²; negative where it is walked to the right."""
    x, y = path.flattened.T
    return float(x @ np.roll(y, -1) - np.roll(x, -1) @ y) / 2.0


def path_length(path: Path) -> float:
    """Length of a path, mm."""
    return sum(segment_length(s) for s in path)


def split(segment: Segment, share: float) -> tuple[Segment, Segment]:
    """The segment in two, parted ``share`` of the way along it (of a cubic: of its parameter)."""
    if isinstance(segment, Line):
        middle = _between(segment.start, segment.end, share)
        return Line(segment.start, middle), Line(middle, segment.end)
    if isinstance(segment, Arc):
        (cx, cy), r = segment.centre, segment.radius
        angle = math.atan2(segment.start[1] - cy, segment.start[0] - cx) + math.radians(segment.sweep) * share
        middle = (cx + r * math.cos(angle), cy + r * math.sin(angle))
        return (
            Arc(segment.start, middle, segment.centre, segment.ccw),
            Arc(middle, segment.end, segment.centre, segment.ccw),
        )
    a, b, c = (
        _between(p, q, share)
        for p, q in ((segment.start, segment.c1), (segment.c1, segment.c2), (segment.c2, segment.end))
    )
    d, e = _between(a, b, share), _between(b, c, share)
    middle = _between(d, e, share)
    return Cubic(segment.start, a, d, middle), Cubic(middle, e, c, segment.end)


def started(path: Path, place: Place) -> Path:
    """The same closed path walked from ``place`` on."""
    s = path.segments
    if place.share <= 0.0:
        return Path((*s[place.index :], *s[: place.index]))
    before, after = split(s[place.index], place.share)
    return Path((after, *s[place.index + 1 :], *s[: place.index], before))


def continued(path: Path, length: float) -> Path:
    """A closed path as an open one that runs on over its beginning by ``length`` mm, *along* the path.

    It stays on the path round corners and never goes round more than once again.
    """
    more: list[Segment] = []
    left = length
    for segment in path:
        whole = segment_length(segment)
        if left <= 1e-9:
            break
        more.append(segment if whole <= left else split(segment, left / whole)[0])
        left -= whole
    return Path((*path.segments, *more), closed=False)


def stretch(path: Path, start: float, end: float) -> Path:
    """The open path from ``start`` to ``end`` mm along a closed one; ``end`` may lie beyond its beginning."""
    whole = path_length(path)
    kept: list[Segment] = []
    at = 0.0
    for segment in (*path, *path):
        length = segment_length(segment)
        low, high = max(start, at), min(end, at + length)
        if high - low > 1e-9:
            a, b = (_parameter(segment, (x - at) / length) for x in (low, high))
            tail = segment if a <= 1e-12 else split(segment, a)[1]
            kept.append(tail if b >= 1.0 - 1e-12 else split(tail, (b - a) / (1.0 - a))[0])
        at += length
        if at >= min(end, 2.0 * whole):
            break
    return Path(tuple(kept), closed=False)


def _parameter(segment: Segment, share: float) -> float:
    """Where to part a segment for ``share`` of its length to lie before."""
    if not isinstance(segment, Cubic) or not 0.0 < share < 1.0:
        return share
    points = [segment.start, *segment.points()]
    walked = [0.0, *itertools.accumulate(math.dist(p, q) for p, q in itertools.pairwise(points))]
    wanted = share * walked[-1]
    i = max(1, next(k for k, w in enumerate(walked) if w >= wanted))
    part = (wanted - walked[i - 1]) / (walked[i] - walked[i - 1])
    return (i - 1 + part) / (len(points) - 1)


def nearest_along(path: Path, point: Point) -> float:
    """How far along a path its point nearest to ``point`` lies, mm."""
    best, found, at = math.inf, 0.0, 0.0
    for segment in path:
        length = segment_length(segment)
        points = [segment.start, *segment.points()]
        chords = [math.dist(p, q) for p, q in itertools.pairwise(points)]
        walked, whole = 0.0, sum(chords) or 1.0
        for (p, q), chord in zip(itertools.pairwise(points), chords, strict=True):
            share = _share(p, q, point)
            off = math.dist(_between(p, q, share), point)
            if off < best - 1e-9:
                best, found = off, at + (walked + share * chord) / whole * length
            walked += chord
        at += length
    return found


def _share(p: Point, q: Point, point: Point) -> float:
    """How far between ``p`` and ``q`` lies what is nearest to ``point``, from 0 to 1."""
    (dx, dy), (x, y) = (q[0] - p[0], q[1] - p[1]), (point[0] - p[0], point[1] - p[1])
    square = dx * dx + dy * dy
    return min(1.0, max(0.0, (x * dx + y * dy) / square)) if square > 0.0 else 0.0


def direction(segment: Segment, at_end: bool = False) -> Point:
    """The unit direction in which a segment is walked at its start, or at its end; (0, 0) for a point."""
    if isinstance(segment, Arc):
        x, y = segment.end if at_end else segment.start
        turn = 1.0 if segment.ccw else -1.0
        dx, dy = -turn * (y - segment.centre[1]), turn * (x - segment.centre[0])
    elif isinstance(segment, Line):
        dx, dy = segment.end[0] - segment.start[0], segment.end[1] - segment.start[1]
    else:
        points = [segment.start, segment.c1, segment.c2, segment.end]
        if at_end:
            points.reverse()
        ahead = next((p for p in points[1:] if math.dist(p, points[0]) > 1e-9), points[-1])
        dx, dy = ahead[0] - points[0][0], ahead[1] - points[0][1]
        if at_end:
            dx, dy = -dx, -dy
    size = math.hypot(dx, dy)
    return (dx / size, dy / size) if size > 0.0 else (0.0, 0.0)


def turn_between(before: Segment, after: Segment) -> float:
    """By how many degrees a path turns from one segment to the next; positive to the left."""
    (ax, ay), (bx, by) = direction(before, at_end=True), direction(after)
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def corners(path: Path, least: float) -> list[int]:
    """The segments of a closed path at whose start it turns by more than ``least`` degrees."""
    s = path.segments
    return [i for i in range(len(s)) if abs(turn_between(s[i - 1], s[i])) > least]


def _between(p: Point, q: Point, share: float) -> Point:
    return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)
