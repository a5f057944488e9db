"""Which turns a layer may take on its sheet, by its part's grain rule.

Board is stiffer along its grain, bends easily across it, and grows across it when wet.
So layers that are glued to each other must agree:

``alike``    every layer of a part lies the same way to the grain; which way is free;
``along``    the part's long axis lies along the grain (slender parts);
``crossed``  layers cross, balanced about the middle of the stack: 0-90-90-0, 0-90-0;
``free``     quarter turns as they fit.

A half turn never matters to the grain. Turns come in groups ("ways"); all layers of one part
take the same group, so that the first to be placed decides for the others.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from laminature.geometry.flat import Flat
from laminature.geometry.nearness import long_axis
from laminature.model.board import Grain
from laminature.model.layer import Layer
from laminature.model.part import GrainRule

Ways = tuple[tuple[float, ...], ...]

GRAINS: tuple[Grain, ...] = ("x", "y", "none")
QUARTERS: Ways = ((0.0, 90.0, 180.0, 270.0),)


def ways(
    rule: GrainRule, grain: Grain, axis: float = 0.0, crossing: bool = False, mirrored: bool = False
) -> Ways:
    """Groups of turns in degrees for a layer on a board whose grain runs along x, along y, or not at all.

    ``axis`` is the direction of the part's long axis in its own frame; ``crossing``
    says that this layer lies across the outer ones in a crossed stack. A layer is
    mirrored in x before it is turned.
    """
    if grain == "none" or rule == "free":
        return QUARTERS
    along = 0.0 if grain == "x" else 90.0
    if rule == "along":
        return (_halves(along - (-axis if mirrored else axis)),)
    square = (_halves(along), _halves(along + 90.0))
    return square[::-1] if rule == "crossed" and crossing else square


def crosses(index: int, count: int) -> bool:
    """Whether layer ``index`` (from 1) of ``count`` lies across the outer layers of a crossed stack.

    Counted from the nearer face, so that the stack is balanced and does not warp.
    """
    return min(index - 1, count - index) % 2 == 1


def axis_of(shapes: Iterable[Flat]) -> float:
    """Direction of the long axis of the biggest of ``shapes``, degrees; 0 where none is longer than wide."""
    biggest = max(shapes, key=lambda s: s.area)
    return long_axis(biggest) or 0.0


def ways_of(layers: Sequence[Layer]) -> dict[tuple[str, int], dict[Grain, Ways]]:
    """For each (part, layer) the groups of turns on sheets whose grain runs along x, y, or not at all.

    Groups of the same number lie the same way to the grain, whichever way that runs.
    """
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    found: dict[tuple[str, int], dict[Grain, Ways]] = {}
    for part, own in by_part.items():
        shapes = [flat for layer in own for flat in layer.cut if not flat.is_empty]
        axis = axis_of(shapes) if shapes else 0.0
        count = max(layer.index for layer in own)
        for layer in own:
            crossing = crosses(layer.index, count)
            found[part, layer.index] = {
                g: ways(layer.grain, g, axis, crossing, layer.mirrored) for g in GRAINS
            }
    return found


def bonded(layer: Layer) -> bool:
    """Whether the other layers of its part decide with it how it lies to the grain."""
    return layer.grain in ("alike", "crossed")


def _halves(turn: float) -> tuple[float, float]:
    return (turn % 360.0, (turn + 180.0) % 360.0)
