"""A stray piece, and what of a kit it may be."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.flat import Flat
from laminature.model.layer import Layer


@dataclass(frozen=True)
class Stray:
    """Pieces of one shape, one of which a stray piece may be.

    ``labels`` are those of their layers; a drop-out adds the number of its opening (``B3-2`` falls out of
    B3's second opening). ``size`` are the sides that come nearest, the longer first, ``off`` by how much
    the worse of them differs, mm. ``count`` says how many such pieces the kit has in all.
    """

    labels: tuple[str, ...]
    layers: tuple[Layer, ...]
    flat: Flat
    size: tuple[float, float]
    off: float
    drop_out: bool = False
    count: int = 1
