"""Two arcs that meet without a corner, and proof of how far they lie from a polyline.

A biarc joins two points with given directions by two arcs that share their direction where
they meet. Of the many, the one whose two control lengths are equal is taken (K. M. Bolton,
"Biarc curves", Computer-Aided Design 7 (2), 1975).

The proof is no sampling: seen from an arc's centre, the polyline must turn one way only and
begin and end on the rays of the arc's ends. Then every ray of the arc meets the polyline once, and the
distance between them, both ways, is at most the largest difference between the radius and the
polyline's distance from the centre. That is largest at a vertex, or smallest at the foot
of the perpendicular on a chord: both are computed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from laminature.geometry.path import Arc, Array, Line, Point, Segment

#: An arc that bulges less than this is drawn as a line, mm.
FLAT = 1e-7
#: Points nearer to each other than this are one point, mm.
SAME = 1e-9
#: Arcs of one biarc together turn at most this far, degrees: beyond, its equations lose their footing.
MOST = 170.0


@dataclass(frozen=True)
class Biarc:
    """Arcs from ``start`` to ``joint`` and on to ``end``; a centre of None stands for a line."""

    start: Point
    joint: Point
    end: Point
    direction: Point
    first: Point | None
    second: Point | None

    def segments(self) -> tuple[Segment, ...]:
        """Its two arcs (or lines)."""
        return (
            _segment(self.start, self.joint, self.first),
            _segment(self.joint, self.end, self.second),
        )


def biarc(start: Point, leaving: Point, end: Point, arriving: Point) -> Biarc | None:
    """The biarc between two points with directions (unit vectors), or None where there is none."""
    vx, vy = end[0] - start[0], end[1] - start[1]
    dot = leaving[0] * arriving[0] + leaving[1] * arriving[1]
    if dot < math.cos(math.radians(MOST)):
        return None
    squared = vx * vx + vy * vy
    along = vx * (leaving[0] + arriving[0]) + vy * (leaving[1] + arriving[1])
    spread = 2.0 * (1.0 - dot)
    if along <= 0.0 or squared == 0.0:
        return None
    # The root in the form that does not cancel; with equal directions it becomes |v|² / (2 v·t).
    length = squared / (along + math.sqrt(along * along + spread * squared))
    jx = 0.5 * (start[0] + end[0] + length * (leaving[0] - arriving[0]))
    jy = 0.5 * (start[1] + end[1] + length * (leaving[1] - arriving[1]))
    dx, dy = vx - length * (leaving[0] + arriving[0]), vy - length * (leaving[1] + arriving[1])
    size = math.hypot(dx, dy)
    if size == 0.0:
        return None
    joint = (jx, jy)
    return Biarc(
        start,
        joint,
        end,
        (dx / size, dy / size),
        _centre(start, leaving, joint),
        _centre(end, arriving, joint),
    )


def biarc_keeps(made: Biarc, points: Array, tolerance: float) -> bool:
    """Whether the biarc and the polyline between the same ends keep within ``tolerance`` mm of each other."""
    behind = (points - made.joint) @ np.array(made.direction) < 0.0
    count = int(np.count_nonzero(behind))
    if not 0 < count < len(points) or not behind[:count].all():
        return False
    # The polyline is split where it crosses the normal at the joint, on which both centres lie.
    before, after = points[count - 1], points[count]
    a = (made.joint[0] - before[0]) * made.direction[0] + (made.joint[1] - before[1]) * made.direction[1]
    b = (after[0] - before[0]) * made.direction[0] + (after[1] - before[1]) * made.direction[1]
    split = before + (after - before) * (a / b)
    if math.dist(split, made.joint) > tolerance:
        return False
    # A vertex that is itself the split stands once on either side, never twice.
    first = np.concatenate([points[: count - (a <= SAME)], split[None]])
    second = np.concatenate([split[None], points[count + (b - a <= SAME) :]])
    return _keeps(made.start, made.joint, made.first, first, tolerance) and _keeps(
        made.joint, made.end, made.second, second, tolerance
    )


def arc_keeps(arc: Arc, points: Array, tolerance: float) -> bool:
    """Whether an arc and the polyline between the same ends keep within ``tolerance`` mm of each other."""
    return _keeps(arc.start, arc.end, arc.centre, points, tolerance, arc.ccw)


def arc_through(start: Point, between: Point, end: Point) -> Arc | None:
    """The arc through three points, or None where they lie in line."""
    ax, ay = between[0] - start[0], between[1] - start[1]
    bx, by = end[0] - start[0], end[1] - start[1]
    cross = ax * by - ay * bx
    a, b = ax * ax + ay * ay, bx * bx + by * by
    if abs(cross) <= 2.0 * FLAT * math.sqrt(b):
        return None
    centre = (start[0] + (a * by - b * ay) / (2.0 * cross), start[1] + (b * ax - a * bx) / (2.0 * cross))
    return Arc(start, end, centre, cross > 0.0)


def _centre(at: Point, direction: Point, through: Point) -> Point | None:
    """Centre of the circle that passes ``at`` along ``direction`` and goes through a second point."""
    x, y = through[0] - at[0], through[1] - at[1]
    side = direction[0] * y - direction[1] * x
    squared = x * x + y * y
    # The bulge of the arc is about half of how far the point lies beside the direction.
    if abs(side) <= 4.0 * FLAT:
        return None
    factor = squared / (2.0 * side)
    return (at[0] - direction[1] * factor, at[1] + direction[0] * factor)


def _segment(start: Point, end: Point, centre: Point | None) -> Segment:
    if centre is None:
        return Line(start, end)
    return Arc(start, end, centre, _turns_left(start, end, centre))


def _turns_left(start: Point, end: Point, centre: Point) -> bool:
    """Which way an arc of less than half a turn goes."""
    x, y = start[0] - centre[0], start[1] - centre[1]
    return x * (end[1] - centre[1]) - y * (end[0] - centre[0]) > 0.0


def _keeps(
    start: Point, end: Point, centre: Point | None, points: Array, tolerance: float, left: bool | None = None
) -> bool:
    if centre is None:
        return _line_keeps(start, end, points, tolerance)
    radius = math.dist(start, centre)
    if radius <= 4.0 * tolerance:
        return False
    x, y = points[:, 0] - centre[0], points[:, 1] - centre[1]
    squared = x * x + y * y
    if float(squared.max()) > (radius + tolerance) ** 2:
        return False
    dx, dy = x[1:] - x[:-1], y[1:] - y[:-1]
    cross = x[:-1] * dy - y[:-1] * dx
    turns_left = _turns_left(start, end, centre) if left is None else left
    if not (cross > 0.0 if turns_left else cross < 0.0).all():
        return False
    # Distance of a whole chord: at its foot where that lies on it, else at its nearer end. The foot is
    # never farther than the ends, so taking it always asks a little too much and never too little.
    return float((cross * cross / (dx * dx + dy * dy)).min()) >= (radius - tolerance) ** 2


def _line_keeps(start: Point, end: Point, points: Array, tolerance: float) -> bool:
    x, y = end[0] - start[0], end[1] - start[1]
    size = math.hypot(x, y)
    if size == 0.0:
        return False
    off = (points - start) @ np.array((-y / size, x / size))
    along = (points - start) @ np.array((x / size, y / size))
    return bool(np.abs(off).max() <= tolerance and (along[1:] > along[:-1]).all())
