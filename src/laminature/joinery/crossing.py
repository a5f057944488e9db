"""Parts that pass through each other: halvings, and radial groups of three or more."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.joinery.entering import OVERSHOOT
from laminature.joinery.footing import sections
from laminature.joinery.frame import Frame, cross, frame, in_piece
from laminature.joinery.intervals import Interval, holding
from laminature.model.fit import Fit
from laminature.model.joint import Cell, Contact, Joint, Patch, Run
from laminature.model.part import Part

#: Ends nearer to each other than this lie together, mm: less than a cutter overshoots, because a
#: curved rim leaves a slab a little later in its middle than at its faces.
SAME_END = 0.4


@dataclass(frozen=True)
class Sharing:
    """One stretch of a line given out: ``owners`` from its start to its end, each with its cell."""

    owners: tuple[str, ...]
    bounds: tuple[float, ...]

    def cells(self) -> tuple[Cell, ...]:
        """The cells in order along the line."""
        pairs = zip(self.bounds, self.bounds[1:], strict=False)
        return tuple(Cell(o, Run(lo, hi)) for o, (lo, hi) in zip(self.owners, pairs, strict=True))


def both_ways(contact: Contact, parts: dict[str, Part]) -> tuple[Frame, Frame]:
    """Frames of a crossing with either part as the one that is cut."""
    a, b = parts[contact.receiver], parts[contact.entering]
    return (
        frame(a, b, contact.origin, contact.along, contact.entering_way),
        frame(b, a, contact.origin, contact.along, cross(a.pose.z, contact.along)),
    )


def reaches(f: Frame, run: Interval) -> tuple[bool, bool]:
    """Whether the entering part of ``f`` ends with the run: at its start, at its end."""
    (own,) = sections(f.entering, f.entering_plane, [0.0])
    whole = holding(own, (run[0] + run[1]) / 2.0) or run
    return whole[0] > run[0] - SAME_END, whole[1] < run[1] + SAME_END


def halving(contact: Contact, run: Interval, parts: dict[str, Part], fit: Fit, name: str) -> Joint:
    """Share a crossing's stretch in two halves, so that the two slide over each other along the line.

    The part that keeps the first half is cut in the second, so it has to end with the
    stretch, and the other has to begin with it. Where neither order will do, one part
    passes through a window of the other.
    """
    into_a, into_b = both_ways(contact, parts)
    b_starts, b_ends = reaches(into_a, run)
    a_starts, a_ends = reaches(into_b, run)
    middle = (run[0] + run[1]) / 2.0
    a, b = contact.receiver, contact.entering
    if a_ends and b_starts:
        shared = Sharing((a, b), (run[0], middle, run[1]))
        # b keeps the far half: it comes from there.
        sign = -1.0
    elif b_ends and a_starts:
        shared = Sharing((b, a), (run[0], middle, run[1]))
        sign = 1.0
    else:
        return _window(contact, run, into_a, into_b, fit, name, passing_is_b=b_starts and b_ends)
    ends = {a: (a_starts, a_ends), b: (b_starts, b_ends)}
    patches = [
        *_notches(into_a, shared, b, ends[a], fit),
        *_notches(into_b, shared, a, ends[b], fit),
    ]
    u = contact.along
    return Joint(
        name=name,
        kind="halving",
        contact=contact,
        cells=shared.cells(),
        depth=parts[a].stack.count,
        through=True,
        fit=fit,
        entries=((sign * u[0], sign * u[1], sign * u[2]),),
        patches=tuple(patches),
    )


def _notches(f: Frame, shared: Sharing, owner: str, ends: tuple[bool, bool], fit: Fit) -> list[Patch]:
    """Cut the receiver of ``f`` wherever the cell is not its own but ``owner``'s."""
    out = []
    first, last = shared.bounds[0], shared.bounds[-1]
    for cell in shared.cells():
        if cell.owner != owner:
            continue
        # Two bottoms meet: each gives half of the clearance at the end.
        t0 = cell.run.start - (OVERSHOOT if cell.run.start == first and ends[0] else fit.beyond / 2.0)
        t1 = cell.run.end + (OVERSHOOT if cell.run.end == last and ends[1] else fit.beyond / 2.0)
        for k in range(1, f.receiver.stack.count + 1):
            r0, r1 = f.sweep(k, fit.side)
            out.append(Patch(f.receiver.name, k, "cut", f.receiver_plane.rectangle(t0, t1, r0, r1)))
    return out


def _window(
    contact: Contact, run: Interval, into_a: Frame, into_b: Frame, fit: Fit, name: str, passing_is_b: bool
) -> Joint:
    """One part goes through a window of the other, which is cut over the whole stretch."""
    f = into_a if passing_is_b else into_b
    shared = Sharing((f.entering.name,), run)
    patches = []
    for k in range(1, f.receiver.stack.count + 1):
        r0, r1 = f.sweep(k, fit.side)
        t0, t1 = run[0] - fit.lengthwise, run[1] + fit.lengthwise
        patches.append(Patch(f.receiver.name, k, "cut", f.receiver_plane.rectangle(t0, t1, r0, r1)))
    x, y, z = in_piece(f.entering, f.entering_plane.across)
    return Joint(
        name=name,
        kind="halving",
        contact=Contact(
            "passing",
            f.receiver.name,
            f.entering.name,
            contact.origin,
            contact.along,
            (x, y, z),
            contact.angle,
            (Run(*run),),
        ),
        cells=shared.cells(),
        depth=f.receiver.stack.count,
        through=True,
        fit=fit,
        entries=((x, y, z), (-x, -y, -z)),
        patches=tuple(patches),
    )


def radial(
    contacts: Sequence[Contact], run: Interval, order: Sequence[str], parts: dict[str, Part], fit: Fit
) -> list[Joint]:
    """Three or more parts on one line: as many cells as parts, each given to one of them.

    In a cell the owner stays whole and all others are cut by it, and far enough from the
    line to clear each other: two slabs of thickness T at an angle φ part at
    (T/2)/tan(φ/2) from the line. One joint comes back for each pair.
    """
    n = len(order)
    step = (run[1] - run[0]) / n
    shared = Sharing(tuple(order), (*(run[0] + i * step for i in range(n)), run[1]))
    relief: dict[str, float] = dict.fromkeys(order, 0.0)
    for c in contacts:
        # The acute angle between the two planes decides: on that side they meet furthest from the line.
        thick = max(parts[c.receiver].thickness, parts[c.entering].thickness)
        angle = math.radians(c.angle)
        # As far as the slab itself, grown by the fit, would cut at this angle: the gap stays the fit's.
        far = thick / 2.0 / math.tan(angle / 2.0) + fit.side / math.sin(angle)
        for name in (c.receiver, c.entering):
            relief[name] = max(relief[name], far)
    joints = []
    for c in contacts:
        into_a, into_b = both_ways(c, parts)
        patches: list[Patch] = []
        for f in (into_a, into_b):
            ends = reaches(_back(f, into_a, into_b), run)
            patches += _notches(f, shared, f.entering.name, ends, fit)
            others = [o for o in order if o not in (f.receiver.name, f.entering.name)]
            for other in others:
                patches += _reliefs(f, shared, other, ends, relief[f.receiver.name], fit)
        lower_first = order.index(c.receiver) < order.index(c.entering)
        sign = -1.0 if lower_first else 1.0
        u = c.along
        joints.append(
            Joint(
                name=f"{c.receiver}/{c.entering}",
                kind="radial",
                contact=c,
                cells=tuple(cell for cell in shared.cells() if cell.owner in (c.receiver, c.entering)),
                depth=parts[c.receiver].stack.count,
                through=True,
                fit=fit,
                entries=((sign * u[0], sign * u[1], sign * u[2]),),
                patches=tuple(patches),
            )
        )
    return joints


def _back(f: Frame, one: Frame, other: Frame) -> Frame:
    return other if f is one else one


def _reliefs(
    f: Frame, shared: Sharing, owner: str, ends: tuple[bool, bool], far: float, fit: Fit
) -> list[Patch]:
    out = []
    first, last = shared.bounds[0], shared.bounds[-1]
    for cell in shared.cells():
        if cell.owner != owner:
            continue
        t0 = cell.run.start - (OVERSHOOT if cell.run.start == first and ends[0] else fit.beyond / 2.0)
        t1 = cell.run.end + (OVERSHOOT if cell.run.end == last and ends[1] else fit.beyond / 2.0)
        points = f.receiver_plane.rectangle(t0, t1, -far, far)
        out += [Patch(f.receiver.name, k, "cut", points) for k in range(1, f.receiver.stack.count + 1)]
    return out
