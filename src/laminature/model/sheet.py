"""Sheets: boards laid out for cutting."""

from __future__ import annotations

from dataclasses import dataclass


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
    """A sheet of ``board`` with its placements; the origin is its lower left corner, mm."""

    name: str
    board: str
    width: float
    height: float
    placements: tuple[Placement, ...] = ()
