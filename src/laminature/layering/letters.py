"""Display letters: parts that come out alike share one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from laminature.model.layer import Layer
from laminature.model.part import Part

#: Outlines that agree to this are alike, mm.
ALIKE = 1e-6


def letter_parts(
    parts: Sequence[Part], layers: Sequence[Layer]
) -> tuple[tuple[Part, ...], tuple[Layer, ...]]:
    """Parts and layers with their letters (A…Z, AA, AB…), in the order of the parts.

    Parts are alike when every layer is: the same board, the same outline in the part's own
    frame, the same marks and hidden faces, so that any one of them can stand in for another.
    """
    by_part: dict[str, list[Layer]] = {p.name: [] for p in parts}
    for layer in layers:
        by_part[layer.part].append(layer)
    letters: dict[tuple[object, ...], str] = {}
    of_part: dict[str, str] = {}
    for part in parts:
        key = _key(part, by_part[part.name])
        if key not in letters:
            letters[key] = letter(len(letters))
        of_part[part.name] = letters[key]
    return (
        tuple(replace(p, letter=of_part[p.name]) for p in parts),
        tuple(replace(layer, letter=of_part[layer.part]) for layer in layers),
    )


def letter(number: int) -> str:
    """The letter of the ``number``-th kind of part, from 0: A to Z, then AA, AB and so on.

    I and O are left out: on a small part they are read as 1 and 0.
    """
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, len(alphabet))
        name = alphabet[rest] + name
    return name


def _key(part: Part, layers: Sequence[Layer]) -> tuple[object, ...]:
    shapes = []
    for layer in layers:
        rings = [
            np.round(np.asarray(ring.coords) / ALIKE).astype(np.int64)
            for region in layer.cut
            for ring in (region.exterior, *region.interiors)
        ]
        shapes.append((layer.board, tuple(_from_least(r) for r in rings)))
    return (tuple(shapes), part.show, part.grain, part.marks)


def _from_least(ring: np.ndarray) -> bytes:
    """A ring's points from its least one on: where a polygon happens to begin does not matter."""
    open_ring = ring[:-1]
    first = int(np.lexsort((open_ring[:, 1], open_ring[:, 0]))[0])
    return np.roll(open_ring, -first, axis=0).tobytes()
