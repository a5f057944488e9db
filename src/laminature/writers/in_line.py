"""What README.txt and the guide say of layers held in line while they are glued, and of small pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from laminature.model.aid import Aids
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.words import Words
from laminature.writers.prose import counted, headed, line, wrap


def in_line(piece: Piece, layers: Sequence[Layer], aids: Aids, words: Words) -> list[str]:
    """How layers are held in line, where something other than hands does it, as a block of README.txt."""
    rows, about = held(piece, layers, aids, words)
    lines = [wrap(f"  {letter:<3}{line(told, 600)}", "     ") for letter, told in rows]
    lines += [wrap(told) for told in about]
    return [headed(words.of("held")) + "\n" + "\n".join(lines)] if lines else []


def held(
    piece: Piece, layers: Sequence[Layer], aids: Aids, words: Words
) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Rows of letter and words, then what is said of all; neither where hands alone hold layers."""
    order = [p.letter for p in piece.parts]
    rows = (*_pinned(piece, layers, words), *_keyed(piece, aids, words))
    rows = tuple(sorted(rows, key=lambda row: order.index(row[0])))
    said = {
        "held_about_pins": any(x.pins for x in layers),
        "held_about_faces": any(x.pins and not x.carried for x in layers),
        "held_about_carriers": any(x.carried for x in layers),
        "held_about_keys": bool(aids.uses),
    }
    return rows, tuple(words.of(key) for key, true in said.items() if true) if rows else ()


def small_pieces(layers: Sequence[Layer], gathered: bool, words: Words) -> tuple[str, ...]:
    """Pieces that hang on bridges, ``gathered`` in a frame of board or tied to the sheet, and spares."""
    told = []
    bridged = [x.label for x in layers if x.bridges]
    if bridged:
        key = "readme_bridged_frame" if gathered else "readme_bridged"
        told.append(words.of(key, labels=counted(bridged)))
    spare = [x.label for x in layers if x.role == "spare"]
    if spare:
        told.append(words.of("readme_spare", labels=", ".join(spare)))
    return tuple(told)


def _pinned(piece: Piece, layers: Sequence[Layer], words: Words) -> list[tuple[str, str]]:
    pin = {p.name: f"{p.gluing.pin:g}" for p in piece.parts}
    found: dict[tuple[str, str, str], list[str]] = {}
    for layer in layers:
        if layer.pins and layer.role == "layer":
            how = "held_carrier" if layer.carried else "held_pins"
            labels = found.setdefault((layer.letter, how, pin[layer.part]), [])
            labels += [layer.label] if layer.label not in labels else []
    return [
        (letter, words.of(how, labels=", ".join(labels), pin=across))
        for (letter, how, across), labels in found.items()
    ]


def _keyed(piece: Piece, aids: Aids, words: Words) -> list[tuple[str, str]]:
    letters = {p.name: p.letter for p in piece.parts}
    rows = []
    for use in aids.uses:
        own = letters[use.part]
        count = Counter(zip(use.keys, use.slots, strict=True))
        keys = [
            words.of("held_slot" if n == 1 else "held_slots", which=key, n=str(n), slot=slot)
            for (key, slot), n in count.items()
        ]
        labels = ", ".join(f"{own}{k}" for k in use.layers)
        rows.append((own, words.of("held_keys", part=use.part, keys=", ".join(keys), layers=labels)))
    return rows
