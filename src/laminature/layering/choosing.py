"""Choosing layers to be cut once more, by their labels or the names of their parts."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence

from laminature.errors import ChoiceError
from laminature.model.layer import Layer

_COUNT = re.compile(r"(.+?)[x×*]([1-9][0-9]{0,3})")
_LABEL = re.compile(r"([A-Z]+)([0-9]{1,3})?")
_OF_PART = re.compile(r"(.+):([0-9]{1,3})")


def choose_layers(wanted: str, layers: Sequence[Layer]) -> tuple[Layer, ...]:
    """The layers that ``wanted`` names, in their own order.

    ``B3`` is one layer, ``B`` all layers of one part; ``B3x2`` and ``Bx2`` are those of two alike
    parts. ``leg-2`` is the part of that name, ``leg-2:3`` its third layer. Words are parted by spaces or
    commas. Raises ChoiceError for what is not there.
    """
    words = [word for word in re.split(r"[\s,;]+", wanted) if word]
    if not words:
        raise ChoiceError("Nothing was chosen.", 'Write labels or names of parts, like "B3 C".')
    parts = {layer.part for layer in layers}
    taken: set[tuple[str, int]] = set()
    # Parts chosen by name come first, so that a label takes another of their copies.
    named = [word for word in words if _part_of(word, parts) is not None]
    for word in named:
        part, index = _part_of(word, parts) or ("", None)
        found = [x for x in layers if x.part == part and index in (None, x.index)]
        if not found:
            raise _no_layer(word, part, index or 0, [x.index for x in layers if x.part == part])
        taken |= {(x.part, x.index) for x in found}
    for word in words:
        if word not in named:
            _take_labelled(word, layers, taken)
    return tuple(layer for layer in layers if (layer.part, layer.index) in taken)


def _part_of(word: str, parts: set[str]) -> tuple[str, int | None] | None:
    """Part and layer where a word names a part; no layer means all of them."""
    if word in parts:
        return word, None
    match = _OF_PART.fullmatch(word)
    if match is not None and match[1] in parts:
        return match[1], int(match[2])
    return None


def _take_labelled(word: str, layers: Sequence[Layer], taken: set[tuple[str, int]]) -> None:
    match = _COUNT.fullmatch(word)
    text, count = (match[1], int(match[2])) if match else (word, 1)
    label = _LABEL.fullmatch(text.upper())
    mine = [x for x in layers if label is not None and x.letter == label[1]]
    if label is None or not mine:
        raise _unknown(word, layers)
    indices = sorted({x.index for x in mine})
    wanted = indices if label[2] is None else [int(label[2])]
    for index in wanted:
        alike = [x for x in mine if x.index == index]
        if not alike:
            raise _no_layer(word, f"part {label[1]}", index, indices)
        free = [(x.part, x.index) for x in alike if (x.part, x.index) not in taken]
        if len(free) < count:
            raise ChoiceError(
                f"{word}: the piece has {label[1]}{index} only {len(alike)} times.",
                "Ask for no more at once; the same command cuts them again.",
            )
        taken |= set(free[:count])


def _no_layer(word: str, part: str, index: int, there: Sequence[int]) -> ChoiceError:
    return ChoiceError(f"{word}: {part} has no layer {index}.", f"It has layers 1 to {max(there)}.")


def _unknown(word: str, layers: Sequence[Layer]) -> ChoiceError:
    known = list(dict.fromkeys([x.label for x in layers] + [x.letter for x in layers]))
    names = list(dict.fromkeys(x.part for x in layers))
    near = difflib.get_close_matches(word.upper(), known, n=2) + difflib.get_close_matches(word, names, n=2)
    hint = f"Did you mean {' or '.join(near)}?" if near else ""
    letters = ", ".join(dict.fromkeys(x.letter for x in layers))
    return ChoiceError(
        f"There is no layer or part {word[:40]!r}.", f"{hint} The parts are {letters}.".strip()
    )
