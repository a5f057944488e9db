"""Keys: loose strips that stand in the slots of a part while its layers are glued.

A key is a stub of the part that the slot was made for: of the same stack, as long as the slot but for
a little play, and so high that it fills the slot's depth and leaves a handle. It is glued up before
all else, taken out before the glue around it has set, and serves for one part after the other.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from laminature.geometry.pose import Vector
from laminature.geometry.region import Region, shape
from laminature.layering.aligning import words
from laminature.layering.labels import label_layers
from laminature.layering.letters import letter
from laminature.model.aid import Aids, KeyUse
from laminature.model.finding import Finding
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.stack import Stack

#: Play of a key along its slot, mm at each end (common practice, no source). Across it is the joint's own.
PLAY = 0.03
#: How far a key stands out of its slot, mm (common practice, no source).
HANDLE = 6.0
#: The corners that go in first are cut off by this, mm, as those of tabs.
LEAD_IN = 0.3
#: Grooves longer than this get no key, mm.
LONGEST = 60.0
#: Two joints are at a right angle if their planes are, to this many degrees.
SQUARE = 1e-6
#: So many keys hold a layer in its place and keep it from turning.
ENOUGH = 2


@dataclass(frozen=True)
class _Size:
    """What keys have in common that can stand in for each other."""

    length: float
    height: float
    stack: Stack


@dataclass(frozen=True)
class _Slot:
    """A slot: where its middle lies in the piece, what it was made for, and the layers it goes through."""

    middle: Vector
    entering: str
    layers: tuple[int, ...]
    size: _Size


def make_keys(parts: Sequence[Part], joints: Sequence[Joint]) -> tuple[Aids, tuple[Finding, ...]]:
    """The keys for all parts that are to be glued on keys, and what is found.

    ``parts`` have their letters; keys get those that follow. Of each size there are as many as one part
    wants at once.
    """
    known = {p.name: p for p in parts}
    keyed = [p for p in parts if p.gluing.align == "keys"]
    chosen = {p.name: _chosen(_slots(p, joints, known), p.stack.count) for p in keyed}
    wanted: Counter[_Size] = Counter()
    for slots in chosen.values():
        wanted |= Counter(s.size for s in slots)
    first = len({p.letter for p in parts})
    letters = {size: letter(first + n) for n, size in enumerate(wanted)}
    names = (name for n in count(1) if (name := f"key-{n}") not in known)
    made = [_key(next(names), size, letters[size]) for size in wanted.elements()]
    layers = tuple(layer for part in made for layer in _layers(part))
    uses = tuple(_use(p, chosen[p.name], letters) for p in keyed if chosen[p.name])
    return Aids(tuple(made), layers, uses), _told(keyed, uses)


def _slots(part: Part, joints: Sequence[Joint], known: dict[str, Part]) -> list[_Slot]:
    """The slots of a part that a key can stand in: closed at both ends, square to the part."""
    found = []
    for joint in joints:
        if joint.receiver != part.name or joint.kind not in ("tabs", "housing"):
            continue
        if abs(joint.contact.angle - 90.0) > SQUARE:
            continue
        cut = sorted({p.layer for p in joint.patches if p.part == part.name and p.action == "cut"})
        if not cut:
            continue
        deep = part.stack.bounds[cut[-1]] - part.stack.bounds[cut[0] - 1]
        for cell in joint.cells:
            length = cell.run.length + 2.0 * (joint.fit.lengthwise - PLAY)
            if length > LONGEST:
                continue
            at = (cell.run.start + cell.run.end) / 2.0
            (x, y, z), (u, v, w) = joint.contact.origin, joint.contact.along
            size = _Size(round(length, 6), round(deep + HANDLE, 6), known[joint.entering].stack)
            found.append(_Slot((x + at * u, y + at * v, z + at * w), joint.entering, tuple(cut), size))
    return found


def _chosen(slots: Sequence[_Slot], layers: int) -> list[_Slot]:
    """As few slots as hold every layer that has two: those far from each other."""
    chosen: list[_Slot] = []
    for layer in range(1, layers + 1):
        left = [s for s in slots if layer in s.layers and s not in chosen]
        while left and sum(layer in s.layers for s in chosen) < ENOUGH:
            near = [s for s in chosen if layer in s.layers] or left
            best = max(left, key=lambda s: round(max(math.dist(s.middle, t.middle) for t in near), 6))
            chosen.append(best)
            left.remove(best)
    held = _held(chosen)
    return [s for s in chosen if set(s.layers) & set(held)]


def _held(slots: Sequence[_Slot]) -> tuple[int, ...]:
    """The layers that so many keys go through as are enough."""
    times = Counter(layer for s in slots for layer in s.layers)
    return tuple(sorted(layer for layer, n in times.items() if n >= ENOUGH))


def _key(name: str, size: _Size, its_letter: str) -> Part:
    return Part(
        name,
        "Key, for gluing, not part of the piece",
        _outline(size),
        size.stack,
        show=frozenset(),
        grain="free",
        letter=its_letter,
    )


def _outline(size: _Size) -> Region:
    """A strip that lies on its long side, the end that goes in upwards, its corners cut off."""
    x, y, c = size.length, size.height, min(LEAD_IN, size.length / 4.0)
    return shape([(0.0, 0.0), (x, 0.0), (x, y - c), (x - c, y), (c, y), (0.0, y - c)])


def _layers(part: Part) -> tuple[Layer, ...]:
    """Cut as they are wanted: nothing is sanded off a key."""
    bounds, flats = part.stack.bounds, (part.outline.flat,)
    made = [
        Layer(
            part.name, part.letter, k, board, bounds[k - 1], bounds[k], flats, flats, part.grain, role="key"
        )
        for k, board in enumerate(part.stack.boards, start=1)
    ]
    return label_layers((part,), made)


def _use(part: Part, slots: Sequence[_Slot], letters: dict[_Size, str]) -> KeyUse:
    return KeyUse(
        part.name,
        tuple(letters[s.size] for s in slots),
        tuple(s.entering for s in slots),
        _held(slots),
    )


def _told(parts: Sequence[Part], uses: Sequence[KeyUse]) -> tuple[Finding, ...]:
    held = {use.part: use.layers for use in uses}
    lacking: dict[tuple[object, ...], list[Part]] = {}
    partly: dict[tuple[object, ...], list[Part]] = {}
    for part in parts:
        layers = held.get(part.name, ())
        if not layers:
            lacking.setdefault((part.letter,), []).append(part)
        elif len(layers) < part.stack.count:
            partly.setdefault((layers, part.stack.count), []).append(part)
    return (
        *(words.no_slots(same) for same in lacking.values()),
        *(words.keys_reach(same, held[same[0].name]) for same in partly.values()),
    )
