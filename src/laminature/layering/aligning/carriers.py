"""Carriers: board that stays around each layer of a slender part until its stack is glued.

A layer that is too narrow for pins is cut with a frame about it, and thin bridges tie it to the frame.
The frames have openings for pins, alike in all layers and so placed that they fit one way only; so the
whole stack is glued up on them, and then cut from its frames. Bridges stand on jointed edges where
those are near enough, else where the edge is sanded anyway, in its allowance.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.border import Border, border_of
from laminature.geometry.flat import Flat, Flats, grown, mapped, minus, pieces, rectangle, tidy, union
from laminature.geometry.nearness import long_axis
from laminature.geometry.path import Point, circle
from laminature.geometry.pose import cos_sin
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region
from laminature.geometry.room import spread_within
from laminature.layering.aligning import words
from laminature.layering.aligning.places import pin_places
from laminature.layering.bridges import CLEAR, STEP, hiding
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.part import Part

Array = NDArray[np.float64]
#: The gap between a layer and its frame is this at least, mm, so that waste comes out in one piece.
GAP = 1.0
#: Bars along the layer are this wide at least, mm (common practice, no source).
BAR = 3.0
#: Room for pins beside the web on both sides, mm, so that they need not stand in one line.
PLAY = 0.6
#: No place on a layer's border lies further from a bridge than this, mm (common practice, no source).
REACH = 30.0
#: So many bridges hold a layer at least.
LEAST = 4
#: Being further from a corner than this makes a place no better for a bridge, mm.
AMPLE = 5.0
#: Two bridges on a hidden edge are this far apart at least, mm.
BESIDE = 3.0
#: A bridge reaches so far into the layer and the frame that the three become one, mm.
ROOT = 0.05
#: Bridges go out at right angles to the border, to this (cosine).
SQUARE = 0.97


@dataclass(frozen=True)
class _Frame:
    """A frame in axes of its own, ``turn`` degrees to the left of the part's; ``inner`` is its opening."""

    turn: float
    outer: tuple[float, float, float, float]
    inner: tuple[float, float, float, float]
    bridge: float

    @property
    def board(self) -> Flat:
        """The frame alone, without openings for pins."""
        return tidy(Flat(rectangle(*self.outer).exterior, [rectangle(*self.inner).exterior]))

    def inwards(self, flat: Flat) -> Flat:
        """A polygon of the part in the frame's axes."""
        return mapped(flat, _turning(-self.turn))

    def outwards(self, flat: Flat) -> Flat:
        """A polygon in the frame's axes in the part's."""
        return mapped(flat, _turning(self.turn))


def with_carriers(
    parts: Sequence[Part], layers: Sequence[Layer], boards: Mapping[str, Board], cutter: str, spacing: float
) -> tuple[tuple[Layer, ...], tuple[Finding, ...]]:
    """The layers as they are cut, those of parts that are to be glued on carriers within their frames.

    ``regions`` stay as they are. ``spacing`` is the gap that the maker wants between shapes on a sheet, mm,
    ``cutter`` "knife" or "laser". Raises KeyError for a board that is not given.
    """
    carried = {p.name: p for p in parts if p.gluing.align == "carrier"}
    by_part: dict[str, list[Layer]] = {name: [] for name in carried}
    for layer in layers:
        if layer.part in carried:
            by_part[layer.part].append(layer)
    made: dict[tuple[str, int], Layer] = {}
    failed: dict[str, list[Part]] = {}
    for name, own in by_part.items():
        used = [boards[x.board] for x in own]
        framed = _framed(carried[name], own, used, cutter, max(spacing, GAP))
        if framed is None:
            failed.setdefault(carried[name].letter, []).append(carried[name])
        else:
            made |= {(x.part, x.index): x for x in framed}
    found = tuple(words.no_carrier(same) for same in failed.values())
    return tuple(made.get((x.part, x.index), x) for x in layers), found


def _framed(
    part: Part, layers: Sequence[Layer], boards: Sequence[Board], cutter: str, gap: float
) -> list[Layer] | None:
    """The layers in their frames; None where no frame can hold one of them."""
    web = max(b.smallest_web(cutter) for b in boards)
    frame = _frame(part, layers, web, max(b.bridge(cutter) for b in boards), gap)
    radius = part.gluing.pin / 2.0
    room = grown(frame.board, -(radius + web))
    places = (
        pin_places(spread_within(room), 2.0 * radius + web, (rectangle(*frame.outer),)) if room.area else ()
    )
    if not places:
        return None
    pins = tuple(_turned(p, frame.turn) for p in places)
    borders = tuple(circle(radius, at) for at in pins)
    openings = union([Flat(c.flattened) for c in borders])
    made: dict[Flats, Flat | None] = {}
    wanted: list[Point] = []
    out = []
    for layer in layers:
        if layer.cut not in made:
            strips, wanted = _bridges(part, layer, frame, wanted)
            whole = union([frame.outwards(frame.board), *strips, *layer.cut])
            found = pieces(minus(whole, openings)) if strips else ()
            made[layer.cut] = tidy(found[0]) if len(found) == 1 else None
        compound = made[layer.cut]
        if compound is None:
            return None
        sources = (*layer.sources, *(Parallel(Region(c)) for c in borders))
        out.append(replace(layer, cut=(compound,), sources=sources, pins=pins, carried=True))
    return out


def _frame(part: Part, layers: Sequence[Layer], web: float, bridge: float, gap: float) -> _Frame:
    """A frame about all layers, its long bars along the part's longer side, pins in the short ones."""
    turn = _turn(part.outline.flat)
    bounds = np.array([mapped(f, _turning(-turn)).bounds for x in layers for f in x.cut])
    (x0, y0), (x1, y1) = bounds[:, :2].min(axis=0) - gap, bounds[:, 2:].max(axis=0) + gap
    side, end = max(BAR, 2.0 * web), part.gluing.pin + 2.0 * web + PLAY
    return _Frame(
        turn,
        (float(x0 - end), float(y0 - side), float(x1 + end), float(y1 + side)),
        (float(x0), float(y0), float(x1), float(y1)),
        bridge,
    )


@dataclass(frozen=True)
class _Bridge:
    """A strip in the frame's axes, where it springs from, and how good a place that is.

    ``rank`` is 0 on hidden edges and 1 where it is sanded; ``clear`` the way to the nearest corner, mm.
    """

    strip: Flat
    root: Point
    rank: int
    clear: float


def _turn(outline: Flat) -> float:
    """The direction of a part's longer side, or of any side where it is about a square; else its own x."""
    turn = long_axis(outline)
    if turn is None and outline.area > 0.9 * outline.minimum_rotated_rectangle.area:
        turn = long_axis(outline, clearly=0.0)
    return turn or 0.0


def _bridges(
    part: Part, layer: Layer, frame: _Frame, wanted: Sequence[Point]
) -> tuple[list[Flat], list[Point]]:
    """Strips from the layer to its frame, in the part's plane, and where they spring from in the frame's.

    Where another layer of the stack had its bridges, ``wanted``, this one's are as near as they can.
    """
    found: list[_Bridge] = []
    inside = [frame.inwards(f) for f in layer.cut]
    for flat, own in zip(layer.cut, inside, strict=True):
        border = border_of(own, STEP)
        ranks = hiding(part, layer, replace(border, points=border_of(flat, STEP).points))
        for k in np.flatnonzero((border.clear >= frame.bridge / 2.0 + CLEAR) & (ranks < 2)):
            strip = _strip(border, int(k), frame)
            if strip is not None and _free(strip, inside, frame.bridge):
                root = (float(border.points[k, 0]), float(border.points[k, 1]))
                found.append(_Bridge(strip, root, int(ranks[k]), float(border.clear[k])))
    chosen = _as_wanted(found, wanted) if wanted else _spread(found)
    return [frame.outwards(found[i].strip) for i in chosen], [found[i].root for i in chosen]


def _strip(border: Border, k: int, frame: _Frame) -> Flat | None:
    """The bridge that springs at a place, straight out to the nearest bar; None where it would go askew."""
    (x, y), (nx, ny), half = border.points[k], border.outward[k], frame.bridge / 2.0
    x0, y0, x1, y1 = frame.inner
    if abs(nx) >= SQUARE:
        a, b = (x - ROOT, x1 + ROOT) if nx > 0 else (x0 - ROOT, x + ROOT)
        return rectangle(a, y - half, b, y + half)
    if abs(ny) >= SQUARE:
        a, b = (y - ROOT, y1 + ROOT) if ny > 0 else (y0 - ROOT, y + ROOT)
        return rectangle(x - half, a, x + half, b)
    return None


def _free(strip: Flat, layer: Sequence[Flat], width: float) -> bool:
    """Whether a strip meets the layer only where it springs."""
    met = sum(float(strip.intersection(f).area) for f in layer)
    return met <= 4.0 * ROOT * width


def _spread(found: Sequence[_Bridge]) -> list[int]:
    """Bridges within reach of every place that could have one: hidden edges first, then sanded ones."""
    points = np.array([b.root for b in found]).reshape(-1, 2)
    ranks = np.array([b.rank for b in found])
    ample = np.minimum([b.clear for b in found], AMPLE)
    far = np.full(len(found), 2.0 * REACH)
    chosen: list[int] = []

    def take(among: NDArray[np.intp]) -> None:
        score = np.round(far[among] + ample[among], 6)
        i = int(among[np.lexsort((points[among, 1], points[among, 0], -score))[0]])
        chosen.append(i)
        np.minimum(far, np.hypot(*(points - points[i]).T), out=far)

    for rank in (0, 1):
        mine = np.flatnonzero(ranks == rank)
        while len(mine) and far[mine].max() > REACH:
            take(mine)
    # More of them on hidden edges, two to an edge if need be, before one more on an edge that is seen.
    for rank, apart in ((0, BESIDE), (1, AMPLE)):
        while chosen and len(chosen) < LEAST:
            mine = np.flatnonzero((ranks == rank) & (far > apart))
            if len(mine) == 0:
                break
            take(mine)
    return chosen


def _as_wanted(found: Sequence[_Bridge], wanted: Sequence[Point]) -> list[int]:
    """For each of the places wanted the nearest that there is."""
    if not found:
        return []
    points = np.array([b.root for b in found])
    near = [int(np.argmin(np.round(np.hypot(*(points - p).T), 6))) for p in wanted]
    return list(dict.fromkeys(near))


def _turning(turn: float) -> tuple[tuple[float, float], tuple[float, float]]:
    cosine, sine = cos_sin(turn)
    return ((cosine, -sine), (sine, cosine))


def _turned(p: Point, turn: float) -> Point:
    (a, b), (c, d) = _turning(turn)
    return (a * p[0] + b * p[1], c * p[0] + d * p[1])
