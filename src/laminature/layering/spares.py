"""Spares: an extra copy of each small layer, because small pieces get lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.model.layer import Layer


def spares_of(layers: Sequence[Layer], below: float) -> tuple[Layer, ...]:
    """One more of every layer of the piece whose longer side is below ``below`` mm, as it is cut.

    Alike parts share a letter and can stand in for each other, so there is one for each label.
    """
    found: dict[str, Layer] = {}
    for layer in layers:
        if layer.role == "layer" and layer.label not in found and _longer_side(layer) < below:
            found[layer.label] = replace(layer, part=f"{layer.part}/spare", role="spare", bridges=())
    return tuple(found.values())


def _longer_side(layer: Layer) -> float:
    bounds = [flat.bounds for flat in layer.cut]
    if not bounds:
        return float("inf")
    x0, y0 = min(b[0] for b in bounds), min(b[1] for b in bounds)
    x1, y1 = max(b[2] for b in bounds), max(b[3] for b in bounds)
    return float(max(x1 - x0, y1 - y0))
