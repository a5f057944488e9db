"""What an order of assembly means for drawings: what is there before a step, how far parts stand apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.bodies import Body
from laminature.geometry.flat import convex, overlap_area
from laminature.geometry.pose import Vector
from laminature.geometry.visible import View
from laminature.model.joint import Joint
from laminature.model.step import Assembly, Step

Array = NDArray[np.float64]

#: Parts that overlap by less than this across their way pass each other, mm.
PASSING = 0.4
#: Where parts stand apart with no order given: so many times their distance from the middle.
SPREAD = 0.55
#: A gap is made so many times wider until what stands apart covers no more than this share of the other.
WIDER = (1.0, 1.5, 2.0, 2.5)
COVERED = 0.4
#: Chain lines for one joint: its outermost tabs.
LINES_EACH = 2


def together(assembly: Assembly, before: int, names: Sequence[str]) -> tuple[str, ...]:
    """What hangs together with any of ``names`` by the steps whose number is below ``before``."""
    found = set(names)
    grown = True
    while grown:
        grown = False
        for step in assembly.steps:
            joined = {*step.moving, *step.onto}
            if step.number < before and found & joined and not joined <= found:
                found |= joined
                grown = True
    return tuple(sorted(found))


def spread(bodies: Sequence[Body]) -> dict[str, Array]:
    """Every body moved away from the middle of all, by a share of its distance from it, mm."""
    middles = {b.name: (b.points.min(axis=0) + b.points.max(axis=0)) / 2 for b in bodies}
    every = np.concatenate([b.points for b in bodies])
    middle = (every.min(axis=0) + every.max(axis=0)) / 2
    return {name: SPREAD * (m - middle) for name, m in middles.items()}


def apart(bodies: Sequence[Body], assembly: Assembly, gap: float, view: View) -> dict[str, Array]:
    """How far every body has to go back along its ways until ``gap`` mm are between it and what it meets.

    The gap is made wider where ``view`` would show one mostly before the other. Bodies that are in no step
    (cushions) stand above all that is below them.
    """
    shifts = {b.name: np.zeros(3) for b in bodies}
    for step in assembly.steps:
        there = together(assembly, step.number, step.onto)
        moving = [b for b in bodies if b.name in step.moving]
        onto = [b for b in bodies if b.name in there and b.name not in step.moving]
        way = np.array(step.way)
        _move(moving, onto, way, shifts, gap, view)
    known = {n for s in assembly.steps for n in (*s.moving, *s.onto)}
    for body in (b for b in bodies if b.name not in known):
        onto = [b for b in bodies if b.name in known]
        _move([body], onto, -body.pose.matrix[:, 2], shifts, gap, view)
    return shifts


def _move(
    moving: Sequence[Body],
    onto: Sequence[Body],
    way: Array,
    shifts: dict[str, Array],
    gap: float,
    view: View,
) -> None:
    """Shift ``moving`` back along ``way`` until it is seen apart from ``onto``."""
    if not moving or not onto:
        return
    back = retreat(moving, onto, way, shifts)
    behind = convex(np.concatenate([view.flat(b.points + shifts[b.name]) for b in onto]))
    for factor in WIDER:
        far = back + factor * gap
        before = convex(np.concatenate([view.flat(b.points + shifts[b.name] - far * way) for b in moving]))
        if overlap_area(before, behind) <= COVERED * min(before.area, behind.area):
            break
    for body in moving:
        shifts[body.name] = shifts[body.name] - far * way


def retreat(moving: Sequence[Body], onto: Sequence[Body], way: Array, shifts: Mapping[str, Array]) -> float:
    """How far ``moving`` go back along ``way`` until nothing of ``onto`` is beside them any more, mm."""
    across = _across(way)
    far = 0.0
    for one in moving:
        mine = one.points + shifts[one.name]
        for other in onto:
            its = other.points + shifts[other.name]
            # What lay before it on its way out when it was in place is no hindrance: it came past there.
            if (other.points @ way).max() <= (one.points @ way).min() + PASSING:
                continue
            a, b = mine @ across.T, its @ across.T
            over = np.minimum(a.max(axis=0), b.max(axis=0)) - np.maximum(a.min(axis=0), b.min(axis=0))
            if (over > PASSING).all():
                far = max(far, float((mine @ way).max() - (its @ way).min()))
    return far


def _across(way: Array) -> Array:
    """Two unit vectors square to ``way`` and to each other, level where that can be."""
    axis = np.array([0.0, 0.0, 1.0]) if abs(way[2]) < 0.9 else np.array([0.0, 1.0, 0.0])
    one = np.cross(axis, way)
    one /= np.linalg.norm(one)
    return np.array([one, np.cross(way, one)])


@dataclass(frozen=True, eq=False)
class Anchor:
    """A place in the finished piece where something that moves in is joined to the part ``mate``."""

    at: Array
    mate: str


def anchors(step: Step, bodies: Sequence[Body], joints: Sequence[Joint]) -> list[Anchor]:
    """Where what moves in ``step`` is joined: for chain lines and arrows.

    The outermost tabs of its ``joints``; where none of them is known, two places where it leads.
    """
    found: list[Anchor] = []
    for joint in joints:
        if joint.name in step.joints:
            runs = [c.run for c in joint.cells if c.owner in step.moving] or list(joint.contact.runs)
            mate = joint.receiver if joint.entering in step.moving else joint.entering
            if joint.contact.kind != "faces" and runs:
                middles = [(r.start + r.end) / 2 for r in runs]
                ends = [middles[0], middles[-1]][: min(LINES_EACH, len(middles))]
                origin, along = np.array(joint.contact.origin), np.array(joint.contact.along)
                found += [Anchor(origin + m * along, mate) for m in ends]
    return found or [Anchor(p, step.onto[0]) for p in leading(bodies, step.way)]


def leading(bodies: Sequence[Body], way: Vector) -> Array:
    """Two places near the ends of what leads along ``way``, (2, 3); one where it leads with a point."""
    direction = np.array(way)
    points = np.concatenate([b.points for b in bodies])
    reach = points @ direction
    tip = points[reach > reach.max() - 0.02]
    across = (tip - tip.mean(axis=0)) @ _across(direction).T
    longest = int(np.argmax(np.ptp(across, axis=0)))
    first = tip[across[:, longest] < across[:, longest].min() + 0.02].mean(axis=0)
    last = tip[across[:, longest] > across[:, longest].max() - 0.02].mean(axis=0)
    if np.linalg.norm(last - first) < 1.0:
        return np.array([(first + last) / 2])
    return np.array([first + 0.12 * (last - first), last - 0.12 * (last - first)])


def lines(
    assembly: Assembly, bodies: Sequence[Body], shifts: Mapping[str, Array], joints: Sequence[Joint]
) -> Array:
    """Chain lines (n, 2, 3) from where each part stands apart to where it belongs."""
    found = []
    for step in assembly.steps:
        moving = [b for b in bodies if b.name in step.moving]
        if not moving or not step.onto:
            continue
        here, way = shifts[moving[0].name], np.array(step.way)
        for anchor in anchors(step, moving, joints):
            to = shifts.get(anchor.mate, here) - here
            # Where the other has moved aside since, a line would lead nowhere.
            if np.linalg.norm(np.cross(to, way)) < 1e-6 < np.linalg.norm(to):
                found.append(np.array([anchor.at + here, anchor.at + here + to]))
    return np.array(found) if found else np.zeros((0, 2, 3))
