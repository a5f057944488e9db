"""What is measured on a piece for the plan and the supplies: areas, edges, joints, in mm and mm²."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from laminature.geometry.flat import Flat, Flats, grown, overlap_area, union
from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.planning.seen import Seen, Surroundings, open_area, opened

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

    ``contacts`` are the glue lines from below, ``lower`` and ``upper`` the areas that are open from either
    side, a floor within a rim among them, ``round`` the length of its edges, ``bare`` that of those that no
    joint hides, ``seen`` what is seen of its faces. ``last`` is the glue line of a face that comes after
    assembly, and ``face`` its layer.
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
    seen: tuple[Seen, ...]
    thickness: float
    last: Contact | None = None
    face: Layer | None = None

    @property
    def shown(self) -> float:
        """The area of the faces that are seen, mm²."""
        return sum(seen.area for seen in self.seen)

    @property
    def small(self) -> bool:
        """Whether one drop hardens it: a washer, say."""
        return len(self.layers) == 1 and self.upper < DROP


def measured(
    piece: Piece, joints: Sequence[Joint], layers: Sequence[Layer], cushions: Sequence[Upholstery]
) -> tuple[Measured, ...]:
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
    for those in stacks.values():
        those.sort(key=lambda layer: layer.index)
    around = Surroundings(piece, stacks, cushions)
    return tuple(
        _stack(name, those, parts.get(name), hidden.get(name, 0.0), around) for name, those in stacks.items()
    )


def _stack(
    name: str, layers: Sequence[Layer], part: Part | None, hidden: float, among: Surroundings
) -> Measured:
    body = [layer for layer in layers if not layer.last] or list(layers)
    around = sum(edges(layer.regions) for layer in body) / len(body)
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
        open_area(opened(body, "lower")),
        open_area(opened(body, "upper")),
        around,
        0.0 if cushion else max(0.0, around - hidden),
        among.seen(part, layers) if part is not None else (),
        layers[-1].upper - layers[0].lower,
        last,
        next((layer for layer in layers if layer not in body), None),
    )


def soaked(stack: Measured, deep: float) -> Iterator[tuple[Layer, float, float]]:
    """What thin CA reaches of each layer, mm²: what lies open, and of the rest the band at its edges."""
    outer = (stack.layers[0], stack.layers[-1])
    sides = [{layer.index: s for layer, s in opened(stack.layers, f)} for f in ("lower", "upper")]
    for layer in stack.layers:
        if layer in outer:
            yield layer, area(layer.regions), 0.0
            continue
        shapes = [p for side in sides for p in side[layer.index]]
        edge = band(layer.regions, deep)
        inner = [grown(flat, -deep) for flat in layer.regions]
        yield layer, sum(overlap_area(union(shapes), one) for one in inner) if shapes else 0.0, edge
    if stack.face is not None:
        yield stack.face, area(stack.face.regions), 0.0


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
        # What passes through a window of the other is cut nowhere itself.
        cut = {patch.part for patch in joint.patches if patch.action == "cut"}
        return {name: 1 for name in (joint.receiver, joint.entering) if name in cut}
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
            key=lambda s: min(area(s.layers[0].regions), area(s.layers[-1].regions)),
        )
        smaller = min((one.layers[0], one.layers[-1]), key=lambda layer: area(layer.regions))
        return Contact(area(smaller.regions), width(smaller.regions))
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
