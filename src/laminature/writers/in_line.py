"""What README.txt says of layers that are held in line while they are glued."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from laminature.model.aid import Aids
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.writers.prose import headed, line, wrap

_ABOUT_PINS = (
    "Pins are dowels, brass rod or toothpicks of about 2 mm: try one in a drop-out first. They fit one "
    "way only; a layer that will not go on is turned or flipped."
)
_ABOUT_FACES = (
    "Layers that show have no openings: lay them last, edges flush, the dry neighbour standing in their "
    "slots until the glue grabs."
)
_ABOUT_CARRIERS = (
    "A carrier is the frame that stays around a layer: leave the layer in it, glue the whole stack up on "
    "pins, no glue on frames and bridges, and press it. When it is hard cut the bridges with a knife, "
    "several light strokes away from your fingers, and sand their stubs flush."
)
_ABOUT_KEYS = (
    "Keys are no part of the piece. Glue them up first, edges flush, and try each in its slots; wax them or "
    "wrap them in thin film, stand them in the slots while the layers are laid on each other, and draw them "
    "out before the glue has set. They serve for one part after the other."
)


def in_line(piece: Piece, layers: Sequence[Layer], aids: Aids) -> list[str]:
    """How layers are held in line, where something other than hands does it."""
    lines = [*_pinned(piece, layers), *_keyed(piece, aids)]
    if not lines:
        return []
    if any(x.pins for x in layers):
        lines.append(wrap(_ABOUT_PINS))
    if any(x.pins and not x.carried for x in layers):
        lines.append(wrap(_ABOUT_FACES))
    if any(x.carried for x in layers):
        lines.append(wrap(_ABOUT_CARRIERS))
    if aids.uses:
        lines.append(wrap(_ABOUT_KEYS))
    return [headed("Held in line while the glue sets") + "\n" + "\n".join(lines)]


def _pinned(piece: Piece, layers: Sequence[Layer]) -> list[str]:
    pin = {p.name: p.gluing.pin for p in piece.parts}
    found: dict[tuple[str, str], list[str]] = {}
    for layer in layers:
        if layer.pins and layer.role == "layer":
            how = "in a carrier; pins through the frames of" if layer.carried else "pins through"
            labels = found.setdefault((layer.letter, f"{how} %s: openings of {pin[layer.part]:g} mm"), [])
            labels += [layer.label] if layer.label not in labels else []
    return [
        wrap(f"  {letter:<3}" + words % ", ".join(labels), "     ")
        for (letter, words), labels in found.items()
    ]


def _keyed(piece: Piece, aids: Aids) -> list[str]:
    letters = {p.name: p.letter for p in piece.parts}
    lines = []
    for use in aids.uses:
        own = letters[use.part]
        count = Counter(zip(use.keys, use.slots, strict=True))
        keys = [
            f"{key} in the slot for {slot}" if n == 1 else f"{key} ×{n} in the slots for {slot}"
            for (key, slot), n in count.items()
        ]
        words = f"{use.part}: keys {', '.join(keys)}; they hold {', '.join(f'{own}{k}' for k in use.layers)}"
        lines.append(wrap(f"  {own:<3}{line(words, 600)}", "     "))
    return lines
