"""What is measured on a piece for the plan and the supplies: areas, edges, joints, in mm and mm²."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from laminature.geometry.flat import Flat, Flats, grown, overlap_area
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece

#: A single layer smaller than this is soaked with one drop, mm².
DROP = 50.0


@dataclass(frozen=True)
class Contact:
    """Where glue goes: its ``area``, mm², and ``width``, the diameter of the largest circle in it, about."""

    area: float
    width: float


@dataclass(frozen=True)
class Measured:
    """A stack as it is glued up: ``layers`` from below, without one that is glued on after assembly.

    ``contacts`` are the glue lines from below, ``lower`` and ``upper`` the areas of its outer faces,
    ``round`` the length of its edges, ``bare`` that of those that no joint hides, ``shown`` the area of the
    faces that are seen. ``last`` is the glue line of a face that comes after assembly.
    """

    name: str
    letter: str
    title: str
    cushion: bool
    layers: tuple[Layer, ...]
    contacts: tuple[Contact, ...]
    lower: float
    upper: float
    round: float
    bare: float
    shown: float
    thickness: float
    last: Contact | None = None

    @property
    def small(self) -> bool:
        """Whether one drop hardens it: a washer, say."""
        return len(self.layers) == 1 and self.upper < DROP


def measured(piece: Piece, joints: Sequence[Joint], layers: Sequence[Layer]) -> tuple[Measured, ...]:
    """The stacks that are glued up, in the order of the layers; keys, frames and spares are none of them."""
    parts = {part.name: part for part in piece.parts}
    hidden: dict[str, float] = {}
    for joint in joints:
        if joint.contact.kind in ("edge-on-face", "corner"):
            hidden[joint.entering] = hidden.get(joint.entering, 0.0) + line(joint)
    stacks: dict[str, list[Layer]] = {}
    for layer in layers:
        if layer.role in ("layer", "cushion"):
            stacks.setdefault(layer.part, []).append(layer)
    return tuple(
        _stack(name, sorted(those, key=lambda x: x.index), parts.get(name), hidden.get(name, 0.0))
        for name, those in stacks.items()
    )


def _stack(name: str, layers: Sequence[Layer], part: Part | None, hidden: float) -> Measured:
    body = [layer for layer in layers if not layer.last] or list(layers)
    around = sum(edges(layer.regions) for layer in body) / len(body)
    shown = 0.0
    if part is not None:
        shown += area(layers[0].regions) if part.shows("lower") else 0.0
        shown += area(layers[-1].regions) if part.shows("upper") else 0.0
    last = None
    if len(body) < len(layers):
        last = meeting(layers[-2], layers[-1]) if layers[-1].last else meeting(layers[0], layers[1])
    cushion = body[0].role == "cushion"
    return Measured(
        name,
        body[0].letter,
        (part.title if part else "") or name.replace("-", " "),
        cushion,
        tuple(body),
        tuple(meeting(a, b) for a, b in pairwise(body)),
        area(body[0].regions),
        area(body[-1].regions),
        around,
        0.0 if cushion else max(0.0, around - hidden),
        shown,
        layers[-1].upper - layers[0].lower,
        last,
    )


def area(flats: Iterable[Flat]) -> float:
    """The area of all regions together, mm²."""
    return float(sum(flat.area for flat in flats))


def edges(flats: Iterable[Flat]) -> float:
    """The length of their outer borders, mm; slots and holes have none that is sanded."""
    return float(sum(flat.exterior.length for flat in flats))


def meeting(a: Layer, b: Layer) -> Contact:
    """The glue line between two layers of a stack."""
    shared = sum(overlap_area(x, y) for x in a.regions for y in b.regions)
    smaller = min((a, b), key=lambda layer: area(layer.regions))
    return Contact(float(shared), width(smaller.regions))


def width(flats: Flats) -> float:
    """About how wide regions are, mm: of a long strip its width, of a square its side.

    Twice area over perimeter is the width of a strip; of a square or a disc, whose perimeter is on all
    sides, it is half of that.
    """
    best = 0.0
    for flat in flats:
        around = float(flat.length)
        a, half = float(flat.area), around / 2.0
        # The sides of the rectangle with that area and perimeter; a square where none has them.
        root = math.sqrt(max(0.0, half * half / 4.0 - a))
        best = max(best, half / 2.0 - root)
    return best


def band(flats: Iterable[Flat], deep: float) -> float:
    """The area of what lies within ``deep`` mm of the borders of regions, mm²."""
    return float(sum(flat.area - grown(flat, -deep).area for flat in flats))


def line(joint: Joint) -> float:
    """The length of a joint's line, mm."""
    return sum(run.length for run in joint.contact.runs)


def slots(joint: Joint) -> Mapping[str, int]:
    """How many slots, notches or housings of each part a joint has."""
    if joint.kind in ("halving", "radial"):
        return {joint.receiver: 1, joint.entering: 1}
    if joint.kind in ("housing", "rebate"):
        return {joint.receiver: 1}
    if joint.kind in ("tabs", "fingers"):
        return {joint.receiver: sum(cell.owner == joint.entering for cell in joint.cells)}
    return {}


def glued(joint: Joint, piece: Piece, stacks: Mapping[str, Measured]) -> Contact:
    """Where a joint is glued: the shoulder and both sides of tabs, walls of notches, or two faces."""
    receiver, entering = piece.part(joint.receiver), piece.part(joint.entering)
    length = line(joint)
    if joint.contact.kind == "faces":
        one = min(
            (stacks[p.name] for p in (receiver, entering) if p.name in stacks),
            key=lambda s: min(s.lower, s.upper),
        )
        smaller = one.layers[0] if one.lower <= one.upper else one.layers[-1]
        return Contact(min(one.lower, one.upper), width(smaller.regions))
    thick = entering.thickness
    if joint.kind in ("halving", "radial"):
        cut = sum(cell.run.length for cell in joint.cells)
        return Contact(2.0 * min(thick, receiver.thickness) * cut, min(thick, receiver.thickness))
    tabs = sum(cell.run.length for cell in joint.cells if cell.owner == joint.entering)
    return Contact(thick * length + 2.0 * joint.projection * tabs, thick)


def seam(joint: Joint, piece: Piece) -> float:
    """The length of what shows of a joint and is filled, mm."""
    thick = piece.part(joint.entering).thickness
    if joint.kind == "fingers" or (joint.kind == "tabs" and joint.through):
        ends = [cell.run.length for cell in joint.cells if cell.owner == joint.entering]
        return sum(2.0 * (length + thick) for length in ends)
    return line(joint) if joint.contact.kind == "corner" else 0.0


def surface(stacks: Sequence[Measured]) -> float:
    """What is seen and gets stain and top coat: faces that show, and bare edges, mm²."""
    return sum(s.shown + s.bare * s.thickness for s in stacks if not s.cushion)
