"""What is seen of bodies along one way: edges with their hidden stretches removed, exactly.

An edge is hidden where it lies behind a face and within it as seen. Along an edge both are linear for a
wall, whose outline as seen has four sides and no hollow: four bounds from its sides and one from its
plane leave a stretch of the edge. Flat sides may have any outline; their stretches come from shapely.
What all faces hide of one edge is joined, and the rest is seen. Everything runs over all edges at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.outer import BEND, SEAM, Outer
from laminature.geometry.pose import Pose
from laminature.geometry.stretches import bounded, merged, remaining

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

#: What lies less than this behind a face lies on it, mm.
ON = 2e-3
#: What looks at the viewer by less than this sine is seen on edge.
EDGE_ON = 1e-6
#: Stretches shorter than this are rounding, mm.
LEAST = 1e-4


@dataclass(frozen=True, eq=False)
class View:
    """A parallel projection along three unit vectors at right angles, ``away`` being right × up turned back.

    A point p is seen at (right·p, up·p), and ``away``·p is how far it is off.
    """

    right: Array
    up: Array
    away: Array

    def flat(self, points: Array) -> Array:
        """Where points (…, 3) are seen, (…, 2)."""
        return np.stack([points @ self.right, points @ self.up], axis=-1)


@dataclass(frozen=True, eq=False)
class Strokes:
    """Straight stretches as seen: ``start`` and ``end`` (n, 2), and the edge's ``kind`` (n,).

    ``rim`` (n,) says that one of the edge's faces is turned away: that is the body's outline.
    """

    start: Array
    end: Array
    kind: Indices
    rim: NDArray[np.bool_]


class Scene:
    """Bodies in space, at least one, looked at along ``view``."""

    def __init__(self, bodies: Sequence[tuple[Outer, Pose]], view: View) -> None:
        self.view = view
        self._edges = [
            (pose.to_piece(b.start), pose.to_piece(b.end), b.kind, b.sides @ pose.matrix.T)
            for b, pose in bodies
        ]
        walls = [_walls(body, pose, view, n) for n, (body, pose) in enumerate(bodies)]
        caps = [_caps(body, pose, view, n) for n, (body, pose) in enumerate(bodies)]
        self._corners = np.concatenate([w[0] for w in walls])
        self._caps = np.array([c for shapes, *_ in caps for c in shapes], dtype=object)
        shapely.prepare(self._caps)
        self._count = len(self._corners)
        # Walls come first and then caps, in all that is known of faces.
        self._normal = np.concatenate([x[1] for x in (*walls, *caps)])
        self._level = np.concatenate([x[2] for x in (*walls, *caps)])
        self._body = np.concatenate([x[3] for x in (*walls, *caps)])
        low, high = self._corners.min(axis=1), self._corners.max(axis=1)
        self._walls_tree = shapely.STRtree(shapely.box(*low.T, *high.T))
        self._caps_tree = shapely.STRtree(self._caps)

    def edges(self, *, hidden: bool = False, seams: bool = False) -> Strokes:
        """The stretches of all edges that are seen, or those that are hidden.

        ``seams`` takes the lines between layers too.
        """
        taken = []
        for start, end, kind, sides in self._edges:
            towards = -(sides @ self.view.away)
            front = towards > EDGE_ON
            some, both = np.asarray(front.any(axis=1)), np.asarray(front.all(axis=1))
            bend, drawn = kind == BEND, (kind != SEAM) | seams
            take = np.asarray(drawn & ((bend & some & ~both) | (~bend & (some | hidden))))
            taken.append((start[take], end[take], kind[take], ~both[take]))
        start, end, kind, rim = (np.concatenate(x) for x in zip(*taken, strict=True))
        of, a, b = self.stretches(start, end, hidden=hidden)
        p, q = self.view.flat(start), self.view.flat(end)
        way = (q - p)[of]
        return Strokes(p[of] + a[:, None] * way, p[of] + b[:, None] * way, kind[of], rim[of])

    def stretches(self, start: Array, end: Array, *, hidden: bool = False) -> tuple[Indices, Array, Array]:
        """The stretches of the lines from ``start`` to ``end`` (n, 3) that are seen (or hidden).

        Returns the number of the line of each, and where on it the stretch begins and ends, from 0 to 1.
        """
        p, q = self.view.flat(start), self.view.flat(end)
        of, low, high = self._behind(p, q, start, end)
        of, low, high = merged(of, low, high) if hidden else remaining(of, low, high, len(start))
        long = (high - low) * np.hypot(*(q - p).T)[of] > LEAST
        return of[long], low[long], high[long]

    def _behind(self, p: Array, q: Array, start: Array, end: Array) -> tuple[Indices, Array, Array]:
        """For every line and every face that hides some of it, the stretch hidden, from 0 to 1."""
        if not len(p):
            return np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)
        boxes = shapely.box(*np.minimum(p, q).T, *np.maximum(p, q).T)
        line, wall = self._walls_tree.query(boxes)
        low, high = self._behind_plane(start[line], end[line], wall)
        maybe = high > low
        line, wall, low, high = line[maybe], wall[maybe], low[maybe], high[maybe]
        corners = self._corners[wall]
        for k in range(4):
            a, way = corners[:, k], corners[:, (k + 1) % 4] - corners[:, k]
            long = np.hypot(way[:, 0], way[:, 1])
            at = _left(way, p[line] - a) / long + 1e-7
            low, high = bounded(low, high, at, _left(way, q[line] - p[line]) / long)
        found = high > low
        sets = [(line[found], low[found], high[found])]
        sets += self._behind_caps(p, q, start, end)
        joined = [np.concatenate(x) for x in zip(*sets, strict=True)]
        return joined[0].astype(np.int64), joined[1], joined[2]

    def _behind_caps(
        self, p: Array, q: Array, start: Array, end: Array
    ) -> list[tuple[Indices, Array, Array]]:
        if not len(self._caps):
            return []
        lines = shapely.linestrings(np.stack([p, q], axis=1))
        line, cap = self._caps_tree.query(lines)
        low, high = self._behind_plane(start[line], end[line], cap + self._count)
        length = np.hypot(*(q - p).T)
        keep = (high > low) & (length[line] > LEAST)
        line, cap, low, high = line[keep], cap[keep], low[keep], high[keep]
        meets = shapely.intersects(self._caps[cap], lines[line])
        line, cap, low, high = line[meets], cap[meets], low[meets], high[meets]
        within = shapely.contains_properly(self._caps[cap], lines[line])
        sets = [(line[within], low[within], high[within])]
        line, cap, low, high = line[~within], cap[~within], low[~within], high[~within]
        if len(line):
            common = shapely.intersection(self._caps[cap], lines[line])
            parts, of = shapely.get_parts(common, return_index=True)
            straight = shapely.get_type_id(parts) == 1
            parts, of = parts[straight], of[straight]
            if len(parts):
                ends = shapely.get_coordinates(parts).reshape(len(parts), -1, 2)[:, [0, -1]]
                mine = line[of]
                way = (q - p)[mine]
                at = ((ends - p[mine][:, None]) * way[:, None]).sum(axis=2) / length[mine][:, None] ** 2
                a, b = np.maximum(at.min(axis=1), low[of]), np.minimum(at.max(axis=1), high[of])
                keep = b > a
                sets.append((mine[keep], a[keep], b[keep]))
        return sets

    def _behind_plane(self, start: Array, end: Array, face: Indices) -> tuple[Array, Array]:
        """The stretch of each line that lies behind the plane of its face."""
        normal, level = self._normal[face], self._level[face]
        a = level - ON - (normal * start).sum(axis=1)
        b = level - ON - (normal * end).sum(axis=1)
        return bounded(np.zeros(len(face)), np.ones(len(face)), a, b - a)

    def front(self, points: Array) -> tuple[Indices, Array]:
        """At each of the points (n, 2) as seen, the body in front (-1 for none) and its face's normal."""
        nearest = np.full(len(points), np.inf)
        body, normal = np.full(len(points), -1), np.zeros((len(points), 3))
        spots = shapely.points(points)
        sets = []
        at, wall = self._walls_tree.query(spots)
        inside = np.ones(len(at), dtype=bool)
        corners = self._corners[wall]
        for k in range(4):
            inside &= _left(corners[:, (k + 1) % 4] - corners[:, k], points[at] - corners[:, k]) >= 0.0
        sets.append((at[inside], wall[inside]))
        if len(self._caps):
            at, cap = self._caps_tree.query(spots, predicate="intersects")
            sets.append((at, cap + self._count))
        at, face = (np.concatenate(x) for x in zip(*sets, strict=True))
        view, n = self.view, self._normal[face]
        plane = points[at, 0, None] * view.right + points[at, 1, None] * view.up
        depth = (self._level[face] - (n * plane).sum(axis=1)) / (n @ view.away)
        for i in np.lexsort((-depth, at)):
            if depth[i] <= nearest[at[i]]:
                nearest[at[i]], body[at[i]], normal[at[i]] = depth[i], self._body[face[i]], n[i]
        return body, normal


def _walls(body: Outer, pose: Pose, view: View, number: int) -> tuple[Array, Array, Array, Indices]:
    """Corners as seen, walked to the left, normals and levels of the walls that look at the viewer."""
    normal = body.normal @ pose.matrix.T
    front = -(normal @ view.away) > EDGE_ON
    corners = pose.to_piece(body.walls[front])
    level = (normal[front] * corners[:, 0]).sum(axis=1)
    return view.flat(corners), normal[front], level, np.full(len(level), number)


def _caps(body: Outer, pose: Pose, view: View, number: int) -> tuple[list[object], Array, Array, Indices]:
    """The flat sides that look at the viewer: outlines as seen, normals and levels."""
    out = pose.matrix[:, 2]
    looks = -float(out @ view.away)
    if abs(looks) <= EDGE_ON:
        return [], np.zeros((0, 3)), np.zeros(0), np.zeros(0, dtype=np.int64)
    take = np.flatnonzero(body.up == (looks > 0.0))
    matrix = view.flat(pose.matrix.T)[:2]
    shapes: list[object] = []
    for k in take:
        middle = view.flat(pose.shift + body.heights[k] * out)
        shapes.append(shapely.transform(body.caps[k], lambda c, m=middle: c @ matrix + m))
    sign = 1.0 if looks > 0.0 else -1.0
    level = sign * (float(out @ pose.shift) + body.heights[take])
    return shapes, np.tile(sign * out, (len(take), 1)), level, np.full(len(take), number)


def _left(way: Array, to: Array) -> Array:
    return np.asarray(way[:, 0] * to[:, 1] - way[:, 1] * to[:, 0])
