"""Layers as shapes to be placed: what may be turned how, and what fits at all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from laminature.errors import GeometryError
from laminature.model.board import Board, Grain
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.too_large import too_large
from laminature.sheets.check import Key
from laminature.sheets.grain import Ways, bonded, ways_of
from laminature.sheets.room import Room
from laminature.sheets.shapes import Shape, fits, turned

Rooms = Mapping[str, tuple[Room, tuple[Room, ...]]]


@dataclass(frozen=True)
class Item:
    """A polygon of a layer, as a shape to be placed."""

    layer: Layer
    piece: int
    shape: Shape

    @property
    def key(self) -> Key:
        """Part, layer and piece."""
        return (self.layer.part, self.layer.index, self.piece)


def items_of(layers: Sequence[Layer]) -> list[Item]:
    """Every polygon of every layer with the turns its grain rule allows.

    Raises GeometryError, naming the layer, for an outline that encloses nothing or crosses itself.
    """
    for layer in layers:
        for flat in layer.cut:
            _check_outline(layer, flat.area, flat.is_valid)
    allowed = ways_of(layers)
    items = []
    for layer in layers:
        ways: dict[Grain, Ways] = allowed[layer.part, layer.index]
        for piece, flat in enumerate(layer.cut):
            name = layer.label if piece == 0 else f"{layer.label}-{piece + 1}"
            bond = layer.part if bonded(layer) else ""
            items.append(Item(layer, piece, Shape(name, flat, ways, layer.mirrored, bond)))
    return items


def _check_outline(layer: Layer, area: float, valid: bool) -> None:
    if math.isfinite(area) and area > 0.0 and valid:
        return
    if not math.isfinite(area):
        why = "has corners that are not numbers"
    elif area <= 0.0:
        why = "encloses nothing"
    else:
        why = "crosses or touches itself"
    raise GeometryError(
        f"Layer {layer.label} of {layer.part} cannot be cut: its outline {why}. "
        f"Mend the outline of {layer.part}."
    )


def settle_ways(items: Sequence[Item], rooms: Rooms) -> tuple[dict[str, int], list[Item]]:
    """Bonds that only one group of turns can serve, and the items that fit in no room.

    ``rooms`` holds for each board the room of a full sheet and those of its offcuts. A layer that fits
    both ways must not decide for a fellow that fits only one.
    """
    fitting = {}
    for item in items:
        full, odd = rooms[item.layer.board]
        fitting[item.key] = _fitting_ways(item, (full,)) or _fitting_ways(item, odd)
    decided: dict[str, int] = {}
    large = [item for item in items if not fitting[item.key]]
    by_bond: dict[str, list[Item]] = {}
    for item in items:
        if item.shape.bond and fitting[item.key] and rooms[item.layer.board][0].grain != "none":
            by_bond.setdefault(item.shape.bond, []).append(item)
    for bond, mine in by_bond.items():
        serves = [sum(way in fitting[item.key] for item in mine) for way in range(2)]
        if min(serves) < len(mine):
            way = serves.index(max(serves))
            decided[bond] = way
            large += [item for item in mine if way not in fitting[item.key]]
    return decided, large


def _fitting_ways(item: Item, rooms: Iterable[Room]) -> set[int]:
    found = set()
    for room in rooms:
        for way, turns in enumerate(item.shape.ways[room.grain]):
            for turn in turns:
                x0, y0, x1, y1 = turned(item.shape.flat, turn, item.shape.mirrored).bounds
                if fits(x1 - x0, y1 - y0, room.width, room.height):
                    found.add(way)
    return found


def largest_of_each(items: Sequence[Item], boards: Mapping[str, Board], margin: float) -> list[Finding]:
    """One finding per part, with the largest of its layers that fit nowhere."""
    by_part: dict[str, list[Item]] = {}
    for item in items:
        by_part.setdefault(item.layer.part, []).append(item)
    found = []
    for mine in by_part.values():
        worst = max(mine, key=lambda item: (item.shape.outer_area, -item.layer.index))
        x0, y0, x1, y1 = worst.shape.flat.bounds
        board = boards[worst.layer.board]
        found.append(too_large(worst.layer, worst.shape.name, (x1 - x0, y1 - y0), board, margin))
    return found
