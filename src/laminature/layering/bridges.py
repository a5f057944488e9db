"""Bridges: short stretches of a border that are left uncut, so that no small piece gets lost.

They are broken or cut when all else is done, and their stubs sanded off. So they stand where nobody
sees it: on edges that another part hides, else on edges that are sanded anyway, in their allowance;
on a tab, whose size matters, only where there is nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from laminature.geometry.border import Border, border_of, distances
from laminature.geometry.flat import Flat, union
from laminature.geometry.path import Point
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.part import Part

#: Places that are looked at lie this far apart along a border, mm.
STEP = 0.2
#: A bridge ends at least this far from a corner, mm, where the border is long enough.
CLEAR = 0.3
#: What lies nearer to a line than this lies on it, mm: a shoulder is where the other part's face really is.
ON = 0.02


def with_bridges(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    cutter: str,
    below: float | None = None,
) -> tuple[Layer, ...]:
    """The layers with bridges at every polygon whose longer side is below ``below`` mm.

    None takes what each board says. ``cutter`` is "knife" or "laser". Raises KeyError for a board that is
    not given.
    """
    known = {p.name: p for p in parts}
    places: dict[tuple[str, int], tuple[Point, ...]] = {}
    made = []
    for layer in layers:
        board = boards[layer.board]
        least = board.small if below is None else below
        found: list[tuple[int, Point]] = []
        for piece, flat in enumerate(layer.cut):
            x0, y0, x1, y1 = flat.bounds
            if max(x1 - x0, y1 - y0) >= least:
                continue
            key = (layer.board, id(flat))
            if key not in places:
                places[key] = _places(known.get(layer.of), layer, flat, board.bridge(cutter))
            found += [(piece, at) for at in places[key]]
        made.append(replace(layer, bridges=tuple(found)) if found else layer)
    return tuple(made)


def _places(part: Part | None, layer: Layer, flat: Flat, width: float) -> tuple[Point, ...]:
    """Two places on the border far from each other, or one where it is too short for more."""
    border = border_of(flat, STEP)
    rank = hiding(part, layer, border)
    corner = border.clear < width / 2.0 + CLEAR
    first = int(np.lexsort((-np.round(border.clear, 6), rank, corner))[0])
    apart = np.hypot(*(border.points - border.points[first]).T)
    near = apart < max(3.0 * width, apart.max() / 2.0)
    # Far from the first, but rather in the middle of an edge than just beside a corner.
    second = int(np.lexsort((-np.round(apart + border.clear, 6), rank, corner, near))[0])
    chosen = [first] if near[second] else [first, second]
    return tuple((float(x), float(y)) for x, y in border.points[chosen])


def hiding(part: Part | None, layer: Layer, border: Border) -> np.ndarray:
    """How well a bridge's stub is hidden at each place: 0 on jointed edges, 1 where sanded, 2 on tabs."""
    if part is None:
        return np.ones(len(border.points), dtype=int)
    drawn = distances(border.points, part.outline.flat.boundary) < ON
    allowance = distances(border.points, union(layer.regions)) > ON / 10.0
    return np.where(drawn & ~allowance, 0, np.where(allowance, 1, 2))
