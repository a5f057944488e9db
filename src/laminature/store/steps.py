"""Steps of undo and redo as they are kept on the disk: each as what it changes of its neighbour.

The text as it stands is kept whole. Of the text before it only the stretch is kept that differs, and how many
characters before and behind are the same; so on from each to the one before, and the same for what was taken
back. A hundred changes of a value thus take little more than the design itself.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

#: The most steps that are kept each way, and the most that they may take, characters.
MOST_KEPT, MOST_CHARACTERS = 100, 2_000_000

#: A label, and the text on the other side of the change.
Labelled = tuple[str, bytes]


@dataclass(frozen=True)
class Steps:
    """The text that they lead away from, what can be taken back (the last change last), and made again."""

    now: bytes
    past: tuple[Labelled, ...] = ()
    future: tuple[Labelled, ...] = ()


def packed(steps: Steps) -> bytes:
    """As they are kept; the oldest fall away where there are too many."""
    now = _text(steps.now)
    rest = MOST_CHARACTERS - len(now)
    past = _chain(now, reversed(steps.past[-MOST_KEPT:]), rest)
    future = _chain(now, reversed(steps.future[-MOST_KEPT:]), rest - sum(len(row[3]) for row in past))
    return json.dumps({"now": now, "past": past, "future": future}).encode()


def unpacked(found: Any) -> Steps | None:
    """The steps, from what JSON gives; None where that is something else."""
    try:
        now = found["now"]
        past, future = (tuple(reversed(_followed(now, found[key]))) for key in ("past", "future"))
        return Steps(_bytes(now), past, future)
    except (TypeError, KeyError, ValueError, IndexError, AttributeError):
        return None


def _chain(now: str, steps: Iterable[Labelled], rest: int) -> list[tuple[str, int, int, str]]:
    """Label, characters kept before and behind, and what stands between, from the nearest on."""
    rows = []
    for label, text in steps:
        other = _text(text)
        before = _alike(now, other)
        behind = _alike(now[before:][::-1], other[before:][::-1])
        middle = other[before : len(other) - behind]
        rest -= len(middle)
        if rest < 0:
            break
        rows.append((label, before, behind, middle))
        now = other
    return rows


def _followed(now: str, rows: Sequence[Any]) -> list[Labelled]:
    found = []
    for label, before, behind, middle in rows[:MOST_KEPT]:
        if not 0 <= before <= before + behind <= len(now):
            raise ValueError("These steps do not follow from each other.")
        now = now[:before] + middle + now[len(now) - behind :]
        if len(now) > MOST_CHARACTERS:
            raise ValueError("A step is longer than any text that is kept.")
        found.append((str(label), _bytes(now)))
    return found


def _alike(one: str, other: str) -> int:
    """How many characters both begin with: looked for by halves, as comparing is quicker than counting."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _text(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape")


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")
