"""What README.txt says of layers that are held in line while they are glued."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from laminature.model.aid import Aids
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.words import Words
from laminature.writers.prose import headed, line, wrap


def in_line(piece: Piece, layers: Sequence[Layer], aids: Aids, words: Words) -> list[str]:
    """How layers are held in line, where something other than hands does it."""
    lines = [*_pinned(piece, layers, words), *_keyed(piece, aids, words)]
    if not lines:
        return []
    if any(x.pins for x in layers):
        lines.append(wrap(words.of("held_about_pins")))
    if any(x.pins and not x.carried for x in layers):
        lines.append(wrap(words.of("held_about_faces")))
    if any(x.carried for x in layers):
        lines.append(wrap(words.of("held_about_carriers")))
    if aids.uses:
        lines.append(wrap(words.of("held_about_keys")))
    return [headed(words.of("held")) + "\n" + "\n".join(lines)]


def _pinned(piece: Piece, layers: Sequence[Layer], words: Words) -> list[str]:
    pin = {p.name: f"{p.gluing.pin:g}" for p in piece.parts}
    found: dict[tuple[str, str, str], list[str]] = {}
    for layer in layers:
        if layer.pins and layer.role == "layer":
            how = "held_carrier" if layer.carried else "held_pins"
            labels = found.setdefault((layer.letter, how, pin[layer.part]), [])
            labels += [layer.label] if layer.label not in labels else []
    return [
        wrap(f"  {letter:<3}" + words.of(how, labels=", ".join(labels), pin=across), "     ")
        for (letter, how, across), labels in found.items()
    ]


def _keyed(piece: Piece, aids: Aids, words: Words) -> list[str]:
    letters = {p.name: p.letter for p in piece.parts}
    lines = []
    for use in aids.uses:
        own = letters[use.part]
        count = Counter(zip(use.keys, use.slots, strict=True))
        keys = [
            words.of("held_slot" if n == 1 else "held_slots", which=key, n=str(n), slot=slot)
            for (key, slot), n in count.items()
        ]
        held = ", ".join(f"{own}{k}" for k in use.layers)
        told = words.of("held_keys", part=use.part, keys=", ".join(keys), layers=held)
        lines.append(wrap(f"  {own:<3}{line(told, 600)}", "     "))
    return lines
