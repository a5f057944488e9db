"""Parts that fall apart, layers cut in pieces, and layers of which nothing is left."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.checks.checked import Checked
from laminature.checks.places import on_layer
from laminature.geometry.flat import Flat
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.part import Part

#: Pieces of neighbouring layers hold each other where they are glued over at least this, mm².
GLUED = 0.5


def fallen_apart(given: Checked) -> tuple[Finding, ...]:
    """``part-falls-apart``, ``layer-in-pieces`` and ``layer-empty``.

    A layer that a groove cuts in two is no harm where the layers beside it hold both
    halves; a part is, where no layer does.
    """
    found = []
    for part in given.piece.parts:
        layers = given.layers_of[part.name]
        split = [x for x in layers if len(x.regions) > 1]
        empty = [x for x in layers if not x.regions]
        if split or empty:
            lumps = _lumps(layers)
            if len(lumps) > 1:
                found.append(_falls_apart(part, lumps))
            elif split:
                found.append(_in_pieces(part, split))
        if empty:
            found.append(_empty(part, empty[0]))
    return tuple(found)


def _lumps(layers: Sequence[Layer]) -> list[list[tuple[Layer, Flat]]]:
    """The pieces of all layers, sorted into what holds together, the biggest lump first."""
    pieces = [(layer, shape) for layer in layers for shape in layer.regions]
    lump = list(range(len(pieces)))
    for i, (low, one) in enumerate(pieces):
        for j, (high, two) in enumerate(pieces):
            if high.index == low.index + 1 and lump[i] != lump[j] and one.intersection(two).area >= GLUED:
                old, new = lump[j], lump[i]
                lump = [new if x == old else x for x in lump]
    sorted_out: dict[int, list[tuple[Layer, Flat]]] = {}
    for name, piece in zip(lump, pieces, strict=True):
        sorted_out.setdefault(name, []).append(piece)
    return sorted(sorted_out.values(), key=lambda mine: -sum(shape.area for _, shape in mine))


def _falls_apart(part: Part, lumps: list[list[tuple[Layer, Flat]]]) -> Finding:
    layer, shape = lumps[1][0]
    spot = shape.representative_point()
    return Finding(
        "part-falls-apart",
        "stop",
        f"{part.name} falls into {len(lumps)} pieces: "
        "what is cut out of it leaves nothing to hold them together.",
        "Make the slots shorter or fewer, stop them before the edge, or make the part larger.",
        part.name,
        layer.index,
        on_layer(part, layer, (spot.x, spot.y)),
    )


def _in_pieces(part: Part, split: list[Layer]) -> Finding:
    first = split[0]
    spot = first.regions[-1].representative_point()
    labels = ", ".join(x.label for x in split)
    which = f"Layer {labels}" if len(split) == 1 else f"Layers {labels}"
    return Finding(
        "layer-in-pieces",
        "note",
        f"{which} of {part.name} {'is' if len(split) == 1 else 'are'} cut in "
        f"{max(len(x.regions) for x in split)} pieces; the layers beside hold them.",
        "Glue the largest piece first and set the others against what enters between them.",
        part.name,
        first.index,
        on_layer(part, first, (spot.x, spot.y)),
    )


def _empty(part: Part, layer: Layer) -> Finding:
    return Finding(
        "layer-empty",
        "stop",
        f"Nothing is left of layer {layer.label} of {part.name}.",
        "Other parts, a rim or an edge profile take it all: make them smaller, or it larger.",
        part.name,
        layer.index,
    )
