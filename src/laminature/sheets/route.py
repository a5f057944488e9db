"""The order in which a sheet is cut, and where each cut begins.

Marks and scores come first, while the sheet is whole. Then part by part: its openings before
its outline, because an outline that is cut through lets the part move; and what lies in another's
opening before that opening. Within these rules the tool travels as little as the search finds.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, holds_point
from laminature.geometry.path import Point
from laminature.geometry.shortest import shortest_order
from laminature.geometry.walk import path_length, started
from laminature.model.cutting import Cutting
from laminature.model.drawing import Drawing, Stroke
from laminature.sheets.entries import places

Array = NDArray[np.float64]
#: Where tools wait: the sheet's lower left corner.
HOME: Point = (0.0, 0.0)
#: Order and beginnings are improved in turn; after so many rounds little is left to gain.
ROUNDS = 6
#: What comes before the cuts, in this order.
BEFORE_CUTS = ("marking", "score")


@dataclass(frozen=True)
class Route:
    """Strokes in the order of cutting, each from the point where it begins; notes come last.

    ``pieces`` names the outlines in their order. ``travel`` is what the tool moves without cutting,
    beginning at the sheet's corner, ``cutting`` what it cuts or marks, both mm; ``lifts`` counts the
    times it is lowered.
    """

    strokes: tuple[Stroke, ...]
    pieces: tuple[str, ...]
    travel: float
    cutting: float
    lifts: int

    @staticmethod
    def of(strokes: Sequence[Stroke]) -> Route:
        """The route along ``strokes`` as they stand."""
        work = [s for s in strokes if s.operation != "notes"]
        return Route(
            strokes=tuple(strokes),
            pieces=tuple(dict.fromkeys(s.whole for s in work if s.operation == "outline")),
            travel=travel(work),
            cutting=sum(path_length(s.path) for s in work),
            lifts=len(work),
        )

    def recounted(self, strokes: Sequence[Stroke]) -> Route:
        """The same pieces in the same order, lengths counted along ``strokes`` that have lost some lines."""
        return replace(Route.of(strokes), pieces=self.pieces)

    def seconds(self, cutting: Cutting, passes: int = 1) -> float:
        """Time to cut it all, at the speeds of ``cutting``; marks are drawn once, all else ``passes`` times.

        An estimate: machines slow down at corners.
        """
        once = sum(path_length(s.path) for s in self.strokes if s.operation == "marking")
        marks = sum(1 for s in self.strokes if s.operation == "marking")
        run = once + (self.cutting - once) * passes
        lowered = marks + (self.lifts - marks) * passes
        return run / cutting.speed + self.travel / cutting.travel_speed + lowered * cutting.lift


def routed(drawing: Drawing) -> tuple[Drawing, Route]:
    """The drawing with its strokes in the order of cutting, and the route itself."""
    made = route(drawing.strokes)
    return replace(drawing, strokes=made.strokes), made


def route(strokes: Sequence[Stroke]) -> Route:
    """The order in which to cut ``strokes``; the same strokes in the same order give the same route."""
    work = [s for s in strokes if s.operation != "notes"]
    stops = [_Stop.of(s) for s in work]
    cuts, before = _pieces(work)
    phases: list[_Phase] = [(_marks(work, operation), []) for operation in BEFORE_CUTS]
    phases.append((cuts, before))
    order, choice = _searched(stops, [p for p in phases if p[0]])
    waves = _waves(cuts, before)
    made = [replace(stops[i].begun(work[i], choice[i]), wave=waves.get(i, 0) or work[i].wave) for i in order]
    notes = [s for s in strokes if s.operation == "notes"]
    return Route.of((*made, *notes))


def travel(strokes: Sequence[Stroke]) -> float:
    """How far the tool moves without cutting when strokes are cut as they stand, from the corner on, mm."""
    here, total = HOME, 0.0
    for stroke in strokes:
        if stroke.operation != "notes":
            total += float(np.hypot(stroke.path.start[0] - here[0], stroke.path.start[1] - here[1]))
            here = stroke.path.start if stroke.path.closed else stroke.path.segments[-1].end
    return total


@dataclass(frozen=True)
class _Stop:
    """The ways in which one stroke can be cut: where the tool comes down and where it is lifted, (k, 2)."""

    entries: Array
    exits: Array

    @staticmethod
    def of(stroke: Stroke) -> _Stop:
        if stroke.path.closed:
            at = np.array([p.point for p in places(stroke.path)])
            return _Stop(at, at)
        ends = np.array([stroke.path.start, stroke.path.segments[-1].end])
        return _Stop(ends, ends[::-1])

    def begun(self, stroke: Stroke, way: int) -> Stroke:
        """The stroke cut in its way number ``way``."""
        if stroke.path.closed:
            return replace(stroke, path=started(stroke.path, places(stroke.path)[way]))
        return replace(stroke, path=stroke.path.reversed()) if way else stroke


@dataclass(frozen=True)
class _Block:
    """Strokes that are cut one after the other, those of ``lasts`` after those of ``firsts``."""

    firsts: tuple[int, ...]
    lasts: tuple[int, ...] = ()


_Phase = tuple[list[_Block], list[tuple[int, int]]]


def _marks(work: Sequence[Stroke], operation: str) -> list[_Block]:
    """The marks of each layer make a block, so that a label is written in one go."""
    found: dict[tuple[str, int | None], list[int]] = {}
    for i, s in enumerate(work):
        if s.operation == operation:
            found.setdefault((s.part, s.layer), []).append(i)
    return [_Block(tuple(mine)) for mine in found.values()]


def _pieces(work: Sequence[Stroke]) -> _Phase:
    """A block for every piece of board that comes loose, and which of them must come before which."""
    of_layer: dict[tuple[str, int | None], list[int]] = {}
    for i, s in enumerate(work):
        if s.operation in ("opening", "outline"):
            of_layer.setdefault((s.part, s.layer), []).append(i)
    blocks: list[_Block] = []
    regions: list[tuple[int, Flat]] = []
    for mine in of_layer.values():
        rest = [i for i in mine if work[i].operation == "opening"]
        wholes: dict[str, list[int]] = {}
        for i in mine:
            if work[i].operation == "outline":
                wholes.setdefault(work[i].whole, []).append(i)
        found = [(runs, _region([work[i] for i in runs])) for runs in wholes.values()]
        if len(found) > 1 and all(region is not None for _, region in found):
            for runs, region in found:
                inner = [k for k in rest if region is not None and holds_point(region, *work[k].path.start)]
                rest = [k for k in rest if k not in inner]
                regions += [(len(blocks), region)] if region is not None else []
                blocks.append(_Block(tuple(inner), tuple(runs)))
            blocks += [_Block((k,)) for k in rest]
            continue
        regions += [(len(blocks), region) for _, region in found if region is not None]
        blocks.append(_Block(tuple(rest), tuple(i for runs, _ in found for i in runs)))
    return blocks, _nested(regions)


def _region(runs: Sequence[Stroke]) -> Flat | None:
    """What an outline goes round, whole or with gaps for bridges; None for one that is open otherwise."""
    if len(runs) == 1 and runs[0].path.closed:
        return Flat(runs[0].path.flattened)
    if all(s.of for s in runs):
        return Flat(np.concatenate([s.path.flattened for s in runs]))
    return None


def _nested(regions: Sequence[tuple[int, Flat]]) -> list[tuple[int, int]]:
    """Pairs of blocks of which the first lies within the second's border: in one of its openings."""
    inner = [(block, region.representative_point(), region.area) for block, region in regions]
    found = []
    for host, region in regions:
        x0, y0, x1, y1 = region.bounds
        for block, point, area in inner:
            inside = block != host and area < region.area and x0 < point.x < x1 and y0 < point.y < y1
            if inside and holds_point(region, point.x, point.y):
                found.append((block, host))
    return found


def _waves(blocks: Sequence[_Block], before: Sequence[tuple[int, int]]) -> dict[int, int]:
    """The wave of each stroke: how many pieces, one in the other, have to go before it."""
    wave = dict.fromkeys(range(len(blocks)), 0)
    for _ in blocks:
        raised = {host: wave[inner] + 1 for inner, host in before if wave[host] <= wave[inner]}
        if not raised:
            break
        wave |= raised
    return {i: wave[k] for k, block in enumerate(blocks) for i in (*block.firsts, *block.lasts)}


def _searched(stops: Sequence[_Stop], phases: Sequence[_Phase]) -> tuple[list[int], list[int]]:
    """The order of all strokes and the way in which each is cut, the shortest found."""
    choice = [0] * len(stops)
    inside = [[[*b.firsts, *b.lasts] for b in blocks] for blocks, _ in phases]
    orders: list[list[int] | None] = [None] * len(phases)
    best: tuple[float, list[int], list[int]] = (np.inf, [], choice)
    for _ in range(ROUNDS):
        here = HOME
        sequence: list[int] = []
        for n, (blocks, before) in enumerate(phases):
            ways = inside[n]
            entries = np.array([stops[w[0]].entries[choice[w[0]]] for w in ways])
            exits = np.array([stops[w[-1]].exits[choice[w[-1]]] for w in ways])
            order = shortest_order(entries, exits, here, None, before, orders[n])
            orders[n] = order
            for k in order:
                ways[k] = _within(blocks[k], stops, choice, here)
                sequence += ways[k]
                last = ways[k][-1]
                here = _point(stops[last].exits[choice[last]])
        length, choice = _chosen(stops, sequence)
        if length >= best[0] - 1e-6:
            break
        best = (length, sequence, list(choice))
    return best[1], best[2]


def _within(block: _Block, stops: Sequence[_Stop], choice: Sequence[int], here: Point) -> list[int]:
    """The strokes of a block in a short order from ``here``."""
    found: list[int] = []
    for some, then in ((block.firsts, block.lasts), (block.lasts, ())):
        if some:
            end = _point(stops[then[0]].entries[choice[then[0]]]) if then else None
            entries = np.array([stops[i].entries[choice[i]] for i in some])
            exits = np.array([stops[i].exits[choice[i]] for i in some])
            found += [some[k] for k in shortest_order(entries, exits, here, end)]
            here = _point(stops[found[-1]].exits[choice[found[-1]]])
    return found


def _chosen(stops: Sequence[_Stop], sequence: Sequence[int]) -> tuple[float, list[int]]:
    """The best ways to cut the strokes of a sequence, exactly: a shortest path through their choices."""
    choice = [0] * len(stops)
    if not sequence:
        return 0.0, choice
    cost = np.hypot(*(stops[sequence[0]].entries - np.asarray(HOME)).T)
    came: list[NDArray[np.intp]] = []
    for before, after in itertools.pairwise(sequence):
        apart = stops[before].exits[:, None, :] - stops[after].entries[None, :, :]
        total = cost[:, None] + np.hypot(apart[..., 0], apart[..., 1])
        came.append(np.argmin(total, axis=0))
        cost = total.min(axis=0)
    way = int(np.argmin(cost))
    length = float(cost[way])
    for i, back in zip(reversed(sequence[1:]), reversed(came), strict=True):
        choice[i] = way
        way = int(back[way])
    choice[sequence[0]] = way
    return length, choice


def _point(p: Array) -> Point:
    return float(p[0]), float(p[1])
