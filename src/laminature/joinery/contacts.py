"""Find where parts meet, pair by pair, after a search by bounding volumes.

Along the line where two mid-planes meet, each part is cut into stretches: before the
other's slab, inside it, beyond it. What passes and what ends where says what kind of
contact it is. All pairs' lines are computed at once; only pairs whose outlines come near
the line are looked at one by one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.pose import Vector
from laminature.joinery.faces import face_contact
from laminature.joinery.frame import Frame, cross, dot, frame, in_piece
from laminature.joinery.intervals import Interval, Intervals, cross_sections, meet, minus
from laminature.model.joint import Contact, ContactKind, Run
from laminature.model.memory import Memory
from laminature.model.part import Part

Array = NDArray[np.float64]

#: What lies within this distance touches, mm.
TOUCH = 0.02
#: What lies within this distance, but does not touch, was probably meant to: a near miss, mm.
CAPTURE = 0.75
#: A shorter stretch is no contact, mm.
SHORTEST = 0.5
#: Planes that lean less than this against each other are parallel, as the sine of the angle (0.5°).
PARALLEL = 0.0087


def find_contacts(parts: Sequence[Part], memory: Memory | None = None) -> tuple[Contact, ...]:
    """All contacts between parts of the same loose group, in the order of the parts.

    With a ``memory`` only pairs that it has not seen are looked at.
    """
    memory = memory or Memory()
    if len(parts) < 2:
        return ()
    seen = _Seen(tuple(parts))
    first, second = _near_pairs(seen)
    if not len(first):
        return ()
    found: list[Contact] = []
    normals = seen.rotations[:, :, 2]
    lines = np.cross(normals[first], normals[second])
    sines = np.linalg.norm(lines, axis=1)
    oblique = sines > PARALLEL
    for i, j in zip(first[~oblique].tolist(), second[~oblique].tolist(), strict=True):
        found += memory.recall(("faces", parts[i], parts[j]), partial(_flat_pair, parts[i], parts[j]))
    first, second = first[oblique], second[oblique]
    lines = lines[oblique] / sines[oblique, None]
    lines = _turned_one_way(lines)
    origins = _points_on_lines(seen, first, second)
    for i, j, along, origin in zip(first.tolist(), second.tolist(), lines, origins, strict=True):
        found += memory.recall(
            ("pair", parts[i], parts[j]), partial(_pair, parts[i], parts[j], origin, along)
        )
    order = {p.name: n for n, p in enumerate(parts)}
    found.sort(key=lambda c: (order[c.receiver], order[c.entering], c.runs[0].start if c.runs else 0.0))
    return tuple(found)


class _Seen:
    """The parts as arrays: rotations (n, 3, 3), mid-points of the stacks (n, 3), boxes (n, 2, 3)."""

    def __init__(self, parts: tuple[Part, ...]) -> None:
        self.parts = parts
        self.rotations = np.array([p.pose.matrix for p in parts])
        half = np.array([p.thickness / 2.0 for p in parts])
        shifts = np.array([p.pose.shift for p in parts])
        self.middles = shifts + self.rotations[:, :, 2] * half[:, None]
        bounds = np.array([p.outline.bounds for p in parts])
        corner_x = bounds[:, [0, 2, 0, 2]]
        corner_y = bounds[:, [1, 1, 3, 3]]
        flat = np.stack([corner_x, corner_y], axis=-1)
        corners = np.einsum("nij,nkj->nki", self.rotations[:, :, :2], flat) + self.middles[:, None, :]
        rise = np.abs(self.rotations[:, :, 2]) * half[:, None]
        self.low = corners.min(axis=1) - rise
        self.high = corners.max(axis=1) + rise
        self.groups = [p.group for p in parts]


def _near_pairs(seen: _Seen) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs i < j of one group whose boxes come within the capture distance of each other."""
    low, high = seen.low - CAPTURE / 2, seen.high + CAPTURE / 2
    near = np.ones((len(low), len(low)), dtype=bool)
    for axis in range(3):
        near &= low[:, None, axis] <= high[None, :, axis]
        near &= low[None, :, axis] <= high[:, None, axis]
    numbers = {g: n for n, g in enumerate(dict.fromkeys(seen.groups))}
    group = np.array([numbers[g] for g in seen.groups])
    near &= group[:, None] == group[None, :]
    first, second = np.nonzero(np.triu(near, k=1))
    return first, second


def _turned_one_way(lines: Array) -> Array:
    """Lines run away from the viewer, else to the right, else upwards: "front" is always their start."""
    lines = np.where(np.abs(lines) < 1e-12, 0.0, lines)
    lead = np.where(lines[:, 1] != 0.0, lines[:, 1], np.where(lines[:, 0] != 0.0, lines[:, 0], lines[:, 2]))
    turned: Array = lines * np.where(lead < 0.0, -1.0, 1.0)[:, None]
    return turned


def _points_on_lines(seen: _Seen, first: NDArray[np.intp], second: NDArray[np.intp]) -> Array:
    """The point of each line nearest to the point half-way between the two parts."""
    na, nb = seen.rotations[first][:, :, 2], seen.rotations[second][:, :, 2]
    a, b = seen.middles[first], seen.middles[second]
    start = (a + b) / 2.0
    da = np.einsum("ij,ij->i", a - start, na)
    db = np.einsum("ij,ij->i", b - start, nb)
    dot = np.einsum("ij,ij->i", na, nb)
    whole = 1.0 - dot * dot
    ka = (da - db * dot) / whole
    kb = (db - da * dot) / whole
    points: Array = start + ka[:, None] * na + kb[:, None] * nb
    return points


@dataclass(frozen=True)
class _Cuts:
    """A part cut along lines beside the other's slab, from before it to beyond it."""

    near_miss_low: Intervals
    before: Intervals
    enter: Intervals
    middle: Intervals
    leave: Intervals
    after: Intervals
    near_miss_high: Intervals

    def passing(self) -> Intervals:
        """Where the part comes from one side and goes on beyond the other."""
        return meet(meet(meet(self.before, self.enter), meet(self.middle, self.leave)), self.after, SHORTEST)


def _cuts(points: tuple[Array, Array], half: float, skew: float) -> _Cuts:
    edge = half + skew
    levels = [-edge - CAPTURE, -edge - TOUCH, -half + TOUCH, 0.0, half - TOUCH, edge + TOUCH, edge + CAPTURE]
    return _Cuts(*cross_sections(points[0], points[1], levels))


def _flat_pair(a: Part, b: Part) -> tuple[Contact, ...]:
    found = face_contact(a, b, TOUCH, CAPTURE, SHORTEST)
    return () if found is None else (found,)


def _pair(a: Part, b: Part, origin: Array, along: Array) -> tuple[Contact, ...]:
    o: Vector = (float(origin[0]), float(origin[1]), float(origin[2]))
    u: Vector = (float(along[0]), float(along[1]), float(along[2]))
    f = frame(a, b, o, u, cross(b.pose.z, u))
    g = frame(b, a, o, u, cross(a.pose.z, u))
    points_b = _in_plane(b.outline.edges, f)
    points_a = _in_plane(a.outline.edges, g)
    for points, fr in ((points_b, f), (points_a, g)):
        low, high = points[0][:, 1].min(), points[0][:, 1].max()
        reach = fr.half + fr.skew + CAPTURE
        if low > reach or high < -reach:
            return ()
    found: list[Contact] = []
    cuts_b, cuts_a = _cuts(points_b, f.half, f.skew), _cuts(points_a, g.half, g.skew)
    crossing = meet(cuts_a.passing(), cuts_b.passing(), SHORTEST)
    if crossing:
        found.append(_contact("crossing", f, o, u, crossing))
    found += _endings(f, o, u, cuts_b, points_a)
    found += _endings(g, o, u, cuts_a, points_b)
    return tuple(found)


def _in_plane(points: tuple[Array, Array], f: Frame) -> tuple[Array, Array]:
    """The entering part's edges in (t, s)."""
    plane = f.entering_plane
    basis = np.array([plane.along, plane.across]).T
    shift = np.asarray(plane.origin)
    return (points[0] - shift) @ basis, (points[1] - shift) @ basis


def _endings(f: Frame, o: Vector, u: Vector, cuts: _Cuts, receiver: tuple[Array, Array]) -> Iterator[Contact]:
    """Contacts in which the frame's entering part ends at, in or just before the receiver.

    ``receiver`` holds the receiver's edges in (t, its own s), whose sign may differ from
    the frame's r: the footprint is looked up on that side.
    """
    for forward in (True, False):
        facing = f if forward else _turned_round(f, o, u)
        before, enter, after, missed = (
            (cuts.before, cuts.enter, cuts.after, cuts.near_miss_low)
            if forward
            else (cuts.after, cuts.leave, cuts.before, cuts.near_miss_high)
        )
        ends = minus(before, enter, SHORTEST)
        inside = minus(meet(before, enter), after, SHORTEST)
        misses = minus(minus(missed, before), enter, SHORTEST)
        if not (ends or inside or misses):
            continue
        there, both = _footing(facing, receiver)
        touching = meet(ends, there, SHORTEST)
        yield from _sorted_by_side("edge-on-face", facing, o, u, touching, both)
        buried = meet(inside, there, SHORTEST)
        if buried:
            yield _contact("inside", facing, o, u, buried)
        # A rounded corner or a hollow between two feet was meant: the edge beside it touches for as long.
        held = sum(hi - lo for lo, hi in (*touching, *buried))
        floating = tuple(r for r in meet(misses, there, SHORTEST) if r[1] - r[0] > held + TOUCH)
        if floating:
            yield _contact("near-miss", facing, o, u, floating, gap=_gap(facing, floating[0]))


def _gap(f: Frame, run: Interval) -> float:
    """How far short of the receiver's face the entering part ends, half-way along ``run``, mm."""
    plane = f.entering_plane
    starts, ends = f.entering.outline.edges
    basis = np.array([plane.across, plane.along]).T
    shift = np.asarray(plane.origin)
    (found,) = cross_sections((starts - shift) @ basis, (ends - shift) @ basis, [(run[0] + run[1]) / 2.0])
    face = -f.half - f.skew
    return min((face - end for _, end in found if end <= face), default=CAPTURE / f.sin) * f.sin


def _turned_round(f: Frame, o: Vector, u: Vector) -> Frame:
    w = in_piece(f.entering, f.entering_plane.across)
    return frame(f.receiver, f.entering, o, u, (-w[0], -w[1], -w[2]))


def _footing(f: Frame, receiver: tuple[Array, Array]) -> tuple[Intervals, Intervals]:
    """Where the receiver has board under the footprint, and where it goes on at both sides of it."""
    # The edges came in the swapped frame's coordinates: the same t, and s = ± r.
    m = f.receiver
    along, across = in_piece(m, f.receiver_plane.along), in_piece(m, f.receiver_plane.across)
    sign = 1.0 if dot(cross(m.pose.z, along), across) > 0.0 else -1.0
    levels = [sign * f.foot, sign * (f.foot - f.foot_half - TOUCH), sign * (f.foot + f.foot_half + TOUCH)]
    middle, low, high = cross_sections(receiver[0], receiver[1], levels)
    # A footprint at the very border has board on one side only.
    there = tuple(sorted({*meet(middle, low), *meet(middle, high)}))
    return _merged(there), meet(meet(middle, low), high)


def _merged(stretches: Intervals) -> Intervals:
    out: list[tuple[float, float]] = []
    for lo, hi in stretches:
        if out and lo <= out[-1][1] + 1e-9:
            out[-1] = (out[-1][0], max(out[-1][1], hi))
        else:
            out.append((lo, hi))
    return tuple(out)


def _sorted_by_side(
    kind: ContactKind, f: Frame, o: Vector, u: Vector, runs: Intervals, both: Intervals
) -> Iterator[Contact]:
    full = meet(runs, both, SHORTEST)
    corner = minus(runs, both, SHORTEST)
    if full:
        yield _contact(kind, f, o, u, full)
    if corner:
        yield _contact("corner", f, o, u, corner)


def _contact(kind: ContactKind, f: Frame, o: Vector, u: Vector, runs: Intervals, gap: float = 0.0) -> Contact:
    return Contact(
        kind=kind,
        receiver=f.receiver.name,
        entering=f.entering.name,
        origin=o,
        along=u,
        entering_way=in_piece(f.entering, f.entering_plane.across),
        angle=math.degrees(math.atan2(f.sin, abs(f.c))),
        runs=tuple(Run(lo, hi) for lo, hi in runs),
        gap=gap,
    )
