"""Faces that are coated before assembly, because a brush hardly reaches them afterwards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from laminature.model.finish import Strip
from laminature.model.joint import Joint
from laminature.model.part import Face, Part
from laminature.model.piece import Piece
from laminature.model.rates import CoatRates
from laminature.planning.measures import Measured, glued, line
from laminature.planning.reaching import OPEN, openness
from laminature.planning.ways import dot


@dataclass(frozen=True)
class Beforehand:
    """What is coated of a stack before assembly: its faces, their area that is seen, and what is masked.

    ``masked`` are strips where joints are glued, ``flat`` the area that is glued flat, mm².
    """

    faces: tuple[Face, ...]
    area: float
    masked: tuple[Strip, ...]
    flat: float


def beforehand(
    piece: Piece, joints: Sequence[Joint], stacks: Sequence[Measured], coat: CoatRates
) -> Mapping[str, Beforehand]:
    """The stacks with faces that are coated before assembly, by name; none where there are no coats.

    Alike parts are treated alike: the first of them decides. Where nothing is joined nothing is in the way.
    """
    if not joints or coat.stains + coat.tops == 0:
        return {}
    known = {s.name: s for s in stacks}
    alike: dict[str, tuple[Face, ...]] = {}
    found = {}
    for s in stacks:
        key = s.letter or s.name
        if s.cushion:
            continue
        part = piece.part(s.name)
        if key not in alike:
            others = [p for p in piece.parts if p is not part and p.group == part.group]
            alike[key] = tuple(x.face for x in s.seen if openness(part, x.face, others) < OPEN)
        faces = tuple(x.face for x in s.seen if x.face in alike[key])
        if faces:
            area = sum(x.area for x in s.seen if x.face in faces)
            strips = tuple(_strips(part, faces, piece, joints))
            flat = sum(
                glued(j, piece, known).area
                for j in joints
                if j.contact.kind == "faces" and set(_met(j, part)) & set(faces)
            )
            found[s.name] = Beforehand(faces, area, strips, flat)
    return found


def _strips(part: Part, faces: Sequence[Face], piece: Piece, joints: Sequence[Joint]) -> Iterator[Strip]:
    for joint in joints:
        if joint.contact.kind != "faces":
            other = joint.entering if joint.receiver == part.name else joint.receiver
            for face in _met(joint, part):
                if face in faces:
                    yield Strip(line(joint), piece.part(other).thickness)


def _met(joint: Joint, part: Part) -> tuple[Face, ...]:
    """The faces of a part on which a joint is glued; none where only its edge is."""
    if part.name not in (joint.receiver, joint.entering):
        return ()
    if joint.kind in ("halving", "radial"):
        return ("lower", "upper")
    way = dot(joint.contact.entering_way, part.pose.z)
    if joint.contact.kind == "faces":
        # The way leads out of the entering part, through the face on which the other lies.
        way = way if part.name == joint.receiver else -way
    elif part.name == joint.entering:
        return ()
    return ("lower",) if way > 0.0 else ("upper",)
