"""Offcuts: pieces of board that a maker keeps because one never knows."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.flat import Flat
from laminature.model.board import Grain

#: Letter of the names that offcuts are given: K1, K2 and so on.
LETTER = "K"


@dataclass(frozen=True)
class Offcut:
    """A usable remainder of ``board``.

    ``name`` is written on it. ``outline`` is in its own frame, mm, its lower left bounds at the
    origin; ``grain`` is along its own x or y. ``origin`` says in words where it came from.
    """

    name: str
    board: str
    outline: Flat
    grain: Grain = "x"
    origin: str = ""


@dataclass(frozen=True)
class Keep:
    """What is worth keeping: the two sides of the smallest rectangle that a piece must hold, mm.

    40 × 25 mm is common practice, no source. ``offcuts`` is for what is left of a sheet, ``drop_outs`` for
    what falls out of openings.
    """

    offcuts: tuple[float, float] = (40.0, 25.0)
    drop_outs: tuple[float, float] = (40.0, 25.0)


#: What is kept where the maker says nothing.
EVERYDAY = Keep()


@dataclass(frozen=True)
class Remainder:
    """An offcut that comes about when ``sheet`` is cut.

    ``at`` is where the lower left of its bounds lies on the sheet, mm. ``fell_from`` is the label of the
    layer whose opening it falls out of; empty for a piece of the sheet itself, which is parted by hand.
    """

    offcut: Offcut
    sheet: str
    at: tuple[float, float]
    fell_from: str = ""
