"""Offcuts: pieces of board that a maker keeps because one never knows."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.flat import Flat
from laminature.model.board import Grain


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
