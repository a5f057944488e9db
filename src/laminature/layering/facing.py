"""Faces that come last: a part is assembled without its show layer, which is glued on at the end.

The joints of such a part go through its whole core, so they are strong, and its face covers them. The
core and the face together come as near as they can to the thickness wanted; where that differs from
before, the part grows or shrinks at the face, and everything that touches it stays where it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.joint import Contact
from laminature.model.part import Face, Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack, formula_thickness, thickness

#: No core has more layers than this.
MOST = 40


def with_faces_last(
    piece: Piece, contacts: Sequence[Contact], boards: Mapping[str, Board]
) -> tuple[Piece, tuple[Finding, ...]]:
    """The piece with the stacks of parts whose face comes last, and what is found.

    Found: ``face-last`` tells the stack that was chosen, ``face-last-not-possible`` why there is none.
    Raises KeyError for a board that is not given.
    """
    parts, found = [], []
    for part in piece.parts:
        if part.gluing.face_last is None:
            parts.append(part)
            continue
        why, face = _free_face(part, piece.parts, contacts)
        if face is None:
            found.append(_not_possible(part, why))
            parts.append(part)
            continue
        core = boards[part.stack.boards[0]]
        faced = _faced(part, face, core, boards[part.gluing.face_last or core.name])
        parts.append(faced)
        found.append(_told(part, faced, core, boards[part.gluing.face_last or core.name]))
    return replace(piece, parts=tuple(parts)), tuple(found)


def faced_stack(core: Board, face: Board, wanted: float, upper: bool) -> Stack:
    """Layers of ``core`` and one of ``face`` over (or under) them, nearest to ``wanted`` mm; ties take fewer.

    T = T(core) + glue line + caliper of the face, grown as hardening thickens it. The core is measured where
    the maker measured such a stack.
    """
    skin = formula_thickness((face.caliper,), replace(face, face_sanding=0.0)) + core.glue_line
    count = min(range(1, MOST), key=lambda n: (round(abs(thickness(core, n) + skin - wanted), 9), n))
    names, calipers = (core.name,) * count, (core.caliper,) * count
    whole = thickness(core, count) + skin
    if upper:
        return Stack((*names, face.name), (*calipers, face.caliper), whole)
    return Stack((face.name, *names), (face.caliper, *calipers), whole)


def _faced(part: Part, face: Face, core: Board, skin: Board) -> Part:
    wanted = part.wanted_thickness if part.wanted_thickness is not None else part.thickness
    made = faced_stack(core, skin, wanted, face == "upper")
    pose = part.pose
    if face == "lower":
        # Its upper face stays where it is.
        pose = pose.moved(*((part.thickness - made.thickness) * v for v in pose.z))
    return replace(part, stack=made, pose=pose, last_face=face)


def _free_face(part: Part, parts: Sequence[Part], contacts: Sequence[Contact]) -> tuple[str, Face | None]:
    """A face that is seen and that nothing touches, the upper one first; or why there is none."""
    if part.profile is not None or part.rim is not None:
        return "its edge profile or rim is counted in its layers", None
    mine = [c for c in contacts if part.name in (c.receiver, c.entering) and c.kind != "near-miss"]
    if any(c.kind in ("crossing", "passing") for c in mine):
        return "another part passes through it", None
    if any(c.kind == "corner" and c.entering == part.name for c in mine):
        return "it ends at a corner, where its face would be cut", None
    others = {p.name: p for p in parts}
    met: set[Face] = set()
    for c in mine:
        other = others[c.entering if c.receiver == part.name else c.receiver]
        if c.kind == "faces":
            met |= _lies_on(part, other)
        elif c.receiver == part.name:
            met.add("lower" if float(np.dot(c.entering_way, part.pose.z)) > 0.0 else "upper")
    for face in ("upper", "lower"):
        if part.shows(face) and face not in met:
            return "", face
    return "no face of it is seen that nothing touches", None


def _lies_on(part: Part, other: Part) -> set[Face]:
    """The face of ``part`` on which ``other`` lies flat; none where both lie in one plane."""
    middle = other.pose.to_piece(np.array([*other.outline.flat.centroid.coords[0], other.thickness / 2.0]))
    height = float((middle - part.pose.shift) @ np.asarray(part.pose.z))
    if height > part.thickness:
        return {"upper"}
    return {"lower"} if height < 0.0 else set()


def _not_possible(part: Part, why: str) -> Finding:
    return Finding(
        "face-last-not-possible",
        "care",
        f"The face of {part.name} is not put on last: {why}. It is made of whole layers as before.",
        "Leave out face_last for it, or let show name a face that nothing touches.",
        part.name,
    )


def _told(part: Part, faced: Part, core: Board, skin: Board) -> Finding:
    wanted = part.wanted_thickness if part.wanted_thickness is not None else part.thickness
    count = faced.stack.count - 1
    layers = "layer" if count == 1 else "layers"
    return Finding(
        "face-last",
        "note",
        f"{part.name}: {count} {layers} of {core.title} and a face of {skin.title}, glued on after "
        f"assembly, come to {faced.thickness:.2f} mm for {wanted:.2f} mm wanted.",
        "Assemble the piece, sand the face of the core flush where joints come through, then glue the face "
        "on and sand its edges.",
        part.name,
        1 if faced.last_face == "lower" else faced.stack.count,
    )
