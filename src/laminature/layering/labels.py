"""Where a layer's label goes: on a face that will be hidden in the finished part.

A drawing shows the face that lies up on the cutter, and the label is written on that
face. A layer is drawn in its part's own plane, seen from the part's +z, so an unmirrored
layer lies with its *upper* face up. To write on the *lower* face the layer has to be cut
mirrored, as it is seen from below: after cutting it is turned over, its outline is right
again, and the label has gone to the side below.

Which face is hidden:

* between two layers both faces are glued over;
* the outer face of layer 1 and of the last layer is seen, unless the part does not show it;
* a face is not hidden where the layer that covers it is much smaller: the layer under a
  rim is seen inside the ring, a stepped edge is seen from above. Then the other face is better.

So layer 1 carries its label on top, most layers too, and the last one usually is cut
mirrored. A single layer with two show faces has no place for a label: the sheet's map names it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from laminature.geometry.flat import Flats, union
from laminature.model.layer import Layer
from laminature.model.part import Face, Part

#: The lower face is taken only where it hides more of the layer by this share: slots differ from layer
#: to layer, are filled by tabs anyway, and are no reason to cut mirrored.
CLEARLY = 0.1


def label_layers(parts: Sequence[Part], layers: Sequence[Layer]) -> tuple[Layer, ...]:
    """The layers with ``label_face`` and ``mirrored`` chosen; those of unknown parts stay as they are."""
    known = {part.name: part for part in parts}
    by_part: dict[str, dict[int, Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, {})[layer.index] = layer
    return tuple(
        _labelled(known[layer.part], layer, by_part[layer.part]) if layer.part in known else layer
        for layer in layers
    )


def _labelled(part: Part, layer: Layer, fellows: Mapping[int, Layer]) -> Layer:
    seen_above = _seen(part, layer, fellows, "upper")
    seen_below = _seen(part, layer, fellows, "lower")
    if seen_above is None and seen_below is None:
        return replace(layer, label_face=None, mirrored=False)
    if seen_below is None or (seen_above is not None and seen_above <= seen_below + CLEARLY):
        return replace(layer, label_face="upper", mirrored=False)
    return replace(layer, label_face="lower", mirrored=True)


def _seen(part: Part, layer: Layer, fellows: Mapping[int, Layer], face: Face) -> float | None:
    """The share of a face that stays in sight; None for an outer face that shows."""
    neighbour = fellows.get(layer.index + (1 if face == "upper" else -1))
    if neighbour is None:
        return None if part.shows(face) else 0.0
    return uncovered(layer.regions, neighbour.regions)


def uncovered(regions: Flats, cover: Flats) -> float:
    """The share of ``regions`` that ``cover`` leaves in sight, from 0 to 1."""
    if regions is cover or not regions:
        # Inner layers mostly are one and the same region.
        return 0.0
    whole = union(regions)
    return float(whole.difference(union(cover)).area / whole.area)
