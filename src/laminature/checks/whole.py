"""Layers that fall apart, and layers of which nothing is left."""

from __future__ import annotations

from laminature.checks.checked import Checked
from laminature.checks.places import on_layer
from laminature.model.finding import Finding


def fallen_apart(given: Checked) -> tuple[Finding, ...]:
    """``part-falls-apart``: a layer in several pieces. ``layer-empty``: a layer cut away altogether."""
    found = []
    for part in given.piece.parts:
        layers = given.layers_of[part.name]
        split = [x for x in layers if len(x.regions) > 1]
        empty = [x for x in layers if not x.regions]
        if split:
            first = split[0]
            smallest = first.regions[-1]
            spot = smallest.representative_point()
            whole = "The part" if len(split) == len(layers) else f"Layer {first.label} of {part.name}"
            found.append(
                Finding(
                    "part-falls-apart",
                    "stop",
                    f"{whole} falls into {len(first.regions)} pieces"
                    + (f": {part.name} is cut through from edge to edge." if whole == "The part" else "."),
                    "Make the slots shorter or fewer, stop them before the edge, or make the part larger.",
                    part.name,
                    first.index,
                    on_layer(part, first, (spot.x, spot.y)),
                )
            )
        if empty:
            first = empty[0]
            found.append(
                Finding(
                    "layer-empty",
                    "stop",
                    f"Nothing is left of layer {first.label} of {part.name}.",
                    "Other parts, a rim or an edge profile take it all: make them smaller, or it larger.",
                    part.name,
                    first.index,
                )
            )
    return tuple(found)
