"""Which steps of assembly want a jig: where a part can lean, and where nothing shows its place.

A part that meets what is there along one line only can lean about that line until the glue has set,
whatever the joint: a corner of card holds it. A part that is only glued flat onto another has no place but
the one that is measured: a mask of card gives it. Both follow from the contacts, not from the form.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, grown, mapped, minus, pieces, union
from laminature.model.jig import Corner, Jig, Place
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.step import Assembly, Step

Array = NDArray[np.float64]

#: An arm of a corner is so much of the face that it lies against, within these bounds, mm.
SHARE, SHORTEST, LONGEST = 0.7, 6.0, 40.0
#: Angles this alike, in degrees, are one corner.
SAME_ANGLE = 0.25
#: Two planes whose normals' cosine is above this lie flat on each other.
FLAT = 0.999
#: Beyond a part that is laid into a mask, and the least that is left of the mask beside it, mm.
ROOM, WEB = 0.15, 1.5


def jigs(
    assembly: Assembly, piece: Piece, joints: Sequence[Joint], layers: Sequence[Layer]
) -> tuple[Jig, ...]:
    """The jigs of a piece, numbered in the order in which its steps want them."""
    parts = {part.name: part for part in piece.parts}
    known = {joint.name: joint for joint in joints}
    corners: list[Corner] = []
    places: list[Place] = []
    for step in assembly.steps:
        if step.loose or step.face or step.spread or step.open_until:
            continue
        closing = [known[name] for name in step.joints if name in known]
        mask = _mask(step, closing, parts, layers)
        corner = None if mask else _corner(step, closing, parts)
        if mask is not None:
            places.append(mask)
        elif corner is not None:
            _gather(corners, corner)
    every: list[Jig] = [*corners, *places]
    made = sorted(every, key=lambda jig: jig.steps[0])
    return tuple(_numbered(jig, n) for n, jig in enumerate(made, start=1))


def _numbered(jig: Jig, number: int) -> Jig:
    if isinstance(jig, Corner):
        return Corner(number, jig.angle, jig.arms, jig.steps)
    return Place(number, jig.part, jig.onto, jig.letters, jig.shape, jig.steps)


def _gather(corners: list[Corner], new: Corner) -> None:
    """One corner serves all steps of its angle; its arms are short enough for each."""
    for n, old in enumerate(corners):
        if abs(old.angle - new.angle) <= SAME_ANGLE:
            arms = (min(old.arms[0], new.arms[0]), min(old.arms[1], new.arms[1]))
            corners[n] = Corner(0, old.angle, arms, (*old.steps, *new.steps))
            return
    corners.append(new)


def _corner(step: Step, closing: Sequence[Joint], parts: Mapping[str, Part]) -> Corner | None:
    """A corner for a step whose joints all lie on one line, on the side where there is more room."""
    lines = [j for j in closing if j.contact.kind != "faces"]
    if not lines or len(lines) < len(closing):
        return None
    first = lines[0].contact
    along = np.array(first.along)
    origin = np.array(first.origin)
    thick = max(parts[name].thickness for name in (first.receiver, first.entering))
    for joint in lines[1:]:
        other = joint.contact
        away = np.array(other.origin) - origin
        off = away - (away @ along) * along
        if abs(float(np.array(other.along) @ along)) < FLAT or float(np.linalg.norm(off)) > thick:
            return None
    moving, there = _two(step, lines[0], parts)
    if moving is None or there is None:
        return None
    up = _from_line(moving, origin, along)
    sides = [(_reach(there, origin, way), way) for way in _ways(there, along)]
    room, way = max(sides, key=lambda s: s[0])
    arms = (_arm(room - moving.thickness / 2.0), _arm(_reach(moving, origin, up) - there.thickness / 2.0))
    if min(arms) < SHORTEST:
        return None
    angle = float(np.degrees(np.arccos(np.clip(up @ way, -1.0, 1.0))))
    return Corner(0, round(angle, 2), arms, (step.number,))


def _two(step: Step, joint: Joint, parts: Mapping[str, Part]) -> tuple[Part | None, Part | None]:
    """The part of a joint that moves in, and the one that it comes to."""
    names = (joint.receiver, joint.entering)
    moving = next((n for n in names if n in step.moving), "")
    there = next((n for n in names if n not in step.moving), "")
    return parts.get(moving), parts.get(there)


def _from_line(part: Part, origin: Array, along: Array) -> Array:
    """The unit vector in a part's plane, square to the line, to where more of the part is."""
    return max(_ways(part, along), key=lambda way: _reach(part, origin, way))


def _ways(part: Part, along: Array) -> tuple[Array, Array]:
    way = np.cross(np.array(part.pose.z), along)
    way = way / np.linalg.norm(way)
    return way, -way


def _reach(part: Part, origin: Array, way: Array) -> float:
    """How far a part goes from the line along ``way``, mm."""
    ring = part.outline.outline.flattened
    points = part.pose.to_piece(np.column_stack([ring, np.zeros(len(ring))]))
    return float(((points - origin) @ way).max())


def _arm(room: float) -> float:
    return round(min(LONGEST, SHARE * room), 1)


def _mask(
    step: Step, closing: Sequence[Joint], parts: Mapping[str, Part], layers: Sequence[Layer]
) -> Place | None:
    """A mask for a step by which one part is only glued flat onto another."""
    if len(step.moving) != 1 or not step.closes or any(kind != "faces" for kind, _ in step.closes):
        return None
    part = parts.get(step.moving[0])
    flat_on = [
        parts[name]
        for name in step.onto
        if name in parts and part and abs(float(np.dot(parts[name].pose.z, part.pose.z))) > FLAT
    ]
    if part is None or len(flat_on) != 1 or any(j.depth for j in closing):
        return None
    onto = flat_on[0]
    above = float(np.dot(np.array(part.pose.origin) - np.array(onto.pose.origin), onto.pose.z)) > 0.0
    border = _face([x for x in layers if x.part == onto.name], upper=above)
    lying = _in_frame(part, onto, layers)
    left = pieces(minus(border, grown(lying, ROOM))) if border is not None and lying is not None else ()
    if border is None or lying is None or len(left) != 1:
        return None
    # What is left has to hold together everywhere, with some board beside the part.
    if len(pieces(grown(left[0], -WEB / 2.0))) != 1 or len(left[0].interiors) != 1:
        return None
    shape = left[0] if above else mapped(left[0], ((-1.0, 0.0), (0.0, 1.0)))
    return Place(0, part.name, onto.name, (part.letter, onto.letter), shape, (step.number,))


def _face(layers: Sequence[Layer], *, upper: bool) -> Flat | None:
    """The outline of a part's outer layer on one side, without openings."""
    mine = sorted((x for x in layers if x.regions), key=lambda x: x.index)
    if not mine:
        return None
    layer = mine[-1] if upper else mine[0]
    return Flat(layer.regions[0].exterior) if len(layer.regions) == 1 else None


def _in_frame(part: Part, onto: Part, layers: Sequence[Layer]) -> Flat | None:
    """All that a part covers of the plane of another, without openings, in that one's frame."""
    matrix = onto.pose.matrix.T @ part.pose.matrix
    shift = onto.pose.to_part(part.pose.shift)
    covered = [
        mapped(Flat(flat.exterior), matrix[:2, :2].tolist(), (float(shift[0]), float(shift[1])))
        for x in layers
        if x.part == part.name
        for flat in x.regions
    ]
    found = pieces(union(covered)) if covered else ()
    return Flat(found[0].exterior) if len(found) == 1 else None
