"""What a laser's kerf leaves no room for."""

from __future__ import annotations

from laminature.checks.checked import Checked
from laminature.checks.places import on_layer
from laminature.geometry.flat import Flat
from laminature.geometry.offset import moved_ring
from laminature.model.finding import Finding


def kerf_room(given: Checked) -> tuple[Finding, ...]:
    """``kerf-too-wide``: an opening or a slit that the laser's beam does not fit into, one per part."""
    if given.kerf == 0.0:
        return ()
    found: dict[str, Finding] = {}
    for layer in given.layers:
        rings = [(Flat(f.exterior), 0.5) for f in layer.cut]
        rings += [(Flat(ring), -0.5) for f in layer.cut for ring in f.interiors]
        narrow = [(ring, way) for ring, way in rings if moved_ring(ring, way * given.kerf) is None]
        if narrow and layer.part not in found:
            # Of an opening the place is certain; of an outline with a slit somewhere it is not.
            ring, way = narrow[-1]
            spot = ring.representative_point()
            at = on_layer(given.part[layer.part], layer, (spot.x, spot.y)) if way < 0.0 else None
            found[layer.part] = Finding(
                "kerf-too-wide",
                "stop",
                f"Layer {layer.label} of {layer.part} has an opening or a slit that is narrower than "
                f"the kerf of {given.kerf:g} mm somewhere; a laser cannot cut it to its size.",
                "Make it wider, or measure the kerf again.",
                layer.part,
                layer.index,
                at,
            )
    return tuple(found.values())
