"""Sheets: boards laid out for cutting."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.flat import Flat
from laminature.model.board import Grain


@dataclass(frozen=True)
class Placement:
    """Where a layer lies on its sheet.

    The layer's polygon, mirrored in x first if ``mirrored``, is turned by ``turn``
    degrees to the left about its own origin and then shifted by (x, y), mm.
    ``piece`` counts the polygons of a layer from 0.
    """

    part: str
    layer: int
    x: float
    y: float
    turn: float = 0.0
    mirrored: bool = False
    piece: int = 0


@dataclass(frozen=True)
class Sheet:
    """A sheet of ``board`` with its placements; the origin is its lower left corner, mm.

    Where it is an offcut of the maker's, ``offcut`` is its name, ``outline`` its border and ``grain``
    its grain; a full sheet is a rectangle with its board's grain.
    """

    name: str
    board: str
    width: float
    height: float
    placements: tuple[Placement, ...] = ()
    offcut: str = ""
    outline: Flat | None = None
    grain: Grain | None = None


@dataclass(frozen=True)
class Kept:
    """Sheets of an earlier kit, to be used again where they still serve.

    ``digest`` stands for the shapes and settings that they were laid out for; ``seconds`` were
    spent on them (0 for the layout that is made unasked).
    """

    digest: str
    sheets: tuple[Sheet, ...] = ()
    seconds: float = 0.0
