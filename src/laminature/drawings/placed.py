"""Layers where they lie on their sheet, and the names that their strokes get."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from laminature.geometry.flat import Flat, mapped
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.pose import cos_sin
from laminature.model.layer import Layer
from laminature.model.sheet import Placement, Sheet

Matrix = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Placed:
    """One polygon of a layer on its sheet: ``flat`` and ``marks`` are in the sheet's coordinates, mm."""

    name: str
    layer: Layer
    placement: Placement
    flat: Flat
    marks: tuple[Path, ...]

    @property
    def mirrored(self) -> bool:
        """Whether it is cut as seen from below."""
        return self.placement.mirrored


def placed_layers(sheet: Sheet, layers: Sequence[Layer]) -> tuple[Placed, ...]:
    """What lies on ``sheet``, in the order of its placements.

    Raises KeyError for a placement of a layer that is not in ``layers``, IndexError for a
    piece that the layer does not have.
    """
    known = {(layer.part, layer.index): layer for layer in layers}
    copies = _copies(layers)
    found = []
    for at in sheet.placements:
        layer = known[(at.part, at.layer)]
        matrix = turning(at)
        flat = mapped(_sorted_openings(layer.cut[at.piece]), matrix, (at.x, at.y))
        marks = layer.marks if at.piece == 0 else ()
        found.append(
            Placed(
                name=layer.label + copies[layer.part] + (f"-p{at.piece}" if at.piece else ""),
                layer=layer,
                placement=at,
                flat=flat,
                marks=tuple(m.mapped(matrix, (at.x, at.y)) for m in marks),
            )
        )
    return tuple(found)


def turning(at: Placement) -> Matrix:
    """What a placement does before it shifts: mirrored in x if asked, then turned to the left."""
    cosine, sine = cos_sin(at.turn)
    flip = -1.0 if at.mirrored else 1.0
    return ((cosine * flip, -sine), (sine * flip, cosine))


def outline(flat: Flat) -> Path:
    """The polygon's outer border as a closed path."""
    return polyline(np.asarray(flat.exterior.coords)[:-1])


def openings(flat: Flat) -> tuple[Path, ...]:
    """The borders of the polygon's openings as closed paths."""
    return tuple(polyline(np.asarray(ring.coords)[:-1]) for ring in flat.interiors)


def shrunk(flat: Flat, factor: float, shift: Point) -> Flat:
    """The polygon drawn at another scale, its origin at ``shift``."""
    return mapped(flat, ((factor, 0.0), (0.0, factor)), shift)


def _copies(layers: Sequence[Layer]) -> dict[str, str]:
    """Alike parts share a letter, names of strokes must differ: the second part gets ``_2``, and so on."""
    count: dict[str, int] = {}
    found: dict[str, str] = {}
    for layer in layers:
        if layer.part not in found:
            count[layer.letter] = count.get(layer.letter, 0) + 1
            nth = count[layer.letter]
            found[layer.part] = "" if nth == 1 else f"_{nth}"
    return found


def _sorted_openings(flat: Flat) -> Flat:
    """Openings from the lowest up, in the part's own plane, so that alike parts number them alike."""
    if len(flat.interiors) < 2:
        return flat
    rings = sorted(flat.interiors, key=lambda r: (round(r.bounds[1], 6), round(r.bounds[0], 6)))
    return Flat(flat.exterior, rings)
