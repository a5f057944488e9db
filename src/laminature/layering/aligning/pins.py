"""Pins through the layers of a part: openings in inner or hidden places, all of them on top of each other.

Layers that are seen in the finished piece are never pierced unless the maker says so: they are laid
last, onto a stack that the pins already hold in line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from laminature.geometry.flat import Flat, Flats, Shape, grown, minus, pieces, tidy, union
from laminature.geometry.path import Path, Point, circle
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region
from laminature.geometry.room import spread_within, without_lines
from laminature.layering.aligning import words
from laminature.layering.aligning.places import pin_places, turnable
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.part import Part

#: Rounding of buffers, mm: so much more than the web is kept.
SLACK = 0.01
#: Board between an opening and a drawn line, mm, so that none looks cut (common practice, no source).
BESIDE_MARK = 0.5


@dataclass(frozen=True)
class Pins:
    """Where pins go and through which layers; nowhere where there is no room.

    ``misplaced`` are places asked for that cannot be, each with a layer that has no board there.
    """

    places: tuple[Point, ...] = ()
    pierced: tuple[int, ...] = ()
    misplaced: tuple[tuple[Point, int], ...] = ()
    turnable: bool = False


def with_pins(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    cutter: str,
    memory: Memory | None = None,
) -> tuple[tuple[Layer, ...], tuple[Finding, ...]]:
    """The layers with openings for pins in those of parts that are to be glued on pins, and what is found.

    Every opening keeps the board's smallest web for ``cutter`` ("knife" or "laser") to every cut. The same
    layers always get the same openings. Raises KeyError for a board that is not given.
    """
    memory = memory or Memory()
    pinned = {p.name: p for p in parts if p.gluing.align == "pins"}
    by_part: dict[str, list[Layer]] = {name: [] for name in pinned}
    for layer in layers:
        if layer.part in pinned:
            by_part[layer.part].append(layer)
    made: dict[tuple[str, int], Layer] = {}
    alike: dict[tuple[object, ...], tuple[Pins, list[Part], float]] = {}
    for name, part in pinned.items():
        webs = tuple(boards[x.board].smallest_web(cutter) for x in by_part[name])
        shapes = tuple(x.regions for x in by_part[name])
        key = ("pins", part.gluing, part.outline, part.show, part.rim, part.marks, shapes, webs)
        pins = memory.recall(key, partial(_placed, part, shapes, webs))
        alike.setdefault(key, (pins, [], max(webs)))[1].append(part)
        borders = tuple(circle(part.gluing.pin / 2.0, at) for at in pins.places)
        for layer in by_part[name]:
            if pins.places and layer.index in pins.pierced:
                made[(name, layer.index)] = _pierced(layer, pins.places, borders)
    found = [f for pins, same, web in alike.values() for f in _told(same, pins, web)]
    found += _laid_last([(pins, part) for pins, same, _ in alike.values() for part in same])
    return tuple(made.get((x.part, x.index), x) for x in layers), tuple(found)


def shown_layers(part: Part) -> frozenset[int]:
    """The layers of which something is seen in the finished piece; with a rim also its floor."""
    n = part.stack.count
    found = {1} if part.shows("lower") else set()
    if part.shows("upper"):
        found.add(n)
        if part.rim is not None:
            found.add(n - part.rim.layers)
    return frozenset(found)


def _placed(part: Part, shapes: Sequence[Flats], webs: Sequence[float]) -> Pins:
    every = range(1, part.stack.count + 1)
    shown = frozenset() if part.gluing.through_show else shown_layers(part)
    inner = tuple(k for k in every if k not in shown)
    if len(inner) < 2:
        return Pins(pierced=inner)
    if part.gluing.places:
        return _as_asked(part, inner, shapes)
    # Where a rim is too narrow for pins they hold the layers below it, and its floor covers them.
    below = part.stack.count - (part.rim.layers if part.rim else 0)
    for top in dict.fromkeys((part.stack.count, below)):
        pierced = tuple(k for k in inner if k <= top)
        places = _found(part, pierced, shapes[:top], webs[:top])
        if places and len(pierced) > 1:
            return Pins(places, pierced)
    return Pins(pierced=inner)


def _as_asked(part: Part, pierced: tuple[int, ...], shapes: Sequence[Flats]) -> Pins:
    radius = part.gluing.pin / 2.0
    kept: list[Point] = []
    misplaced: list[tuple[Point, int]] = []
    for at in part.gluing.places:
        opening = Flat(circle(radius, at).flattened)
        lacking = [k for k in pierced if minus(opening, union(shapes[k - 1])).area > 1e-6]
        if lacking:
            misplaced.append((at, lacking[0]))
        else:
            kept.append(at)
    return Pins(tuple(kept), pierced, tuple(misplaced), turnable(kept, _outlines(pierced, shapes)))


def _found(
    part: Part, pierced: Sequence[int], shapes: Sequence[Flats], webs: Sequence[float]
) -> tuple[Point, ...]:
    """Places with board about them in all of these layers: those that are not pierced cover them.

    The part's outline as it was drawn keeps them out of its tabs, which stand out of it.
    """
    radius = part.gluing.pin / 2.0
    room = grown(part.outline.flat, -(radius + max(webs) + SLACK), corners="round")
    for shape, web in dict.fromkeys(zip(shapes, webs, strict=True)):
        room = room.intersection(grown(union(shape), -(radius + web + SLACK), corners="round"))
    if 1 in pierced:
        room = without_lines(room, part.marks, radius + BESIDE_MARK)
    if room.is_empty:
        return ()
    apart = 2.0 * radius + max(webs) + SLACK
    return pin_places(spread_within(room), apart, _outlines(pierced, shapes))


def _outlines(pierced: Sequence[int], shapes: Sequence[Flats]) -> Flats:
    return tuple(dict.fromkeys(Flat(p.exterior) for k in pierced for p in shapes[k - 1]))


def _pierced(layer: Layer, places: tuple[Point, ...], borders: tuple[Path, ...]) -> Layer:
    openings = union([Flat(c.flattened) for c in borders])
    return replace(
        layer,
        regions=_opened(layer.regions, openings),
        cut=_opened(layer.cut, openings),
        sources=(*layer.sources, *(Parallel(Region(c)) for c in borders)),
        pins=places,
    )


def _opened(flats: Flats, openings: Shape) -> Flats:
    return tuple(tidy(p) for flat in flats for p in pieces(minus(flat, openings)))


def _told(parts: Sequence[Part], pins: Pins, web: float) -> list[Finding]:
    one = parts[0]
    found = [words.misplaced(parts, at, layer) for at, layer in pins.misplaced]
    if len(pins.places) < 2:
        if len(pins.pierced) < 2:
            return [words.too_few(parts)]
        return found if pins.misplaced else [words.no_room(parts, one.gluing.pin / 2.0 + web)]
    if pins.turnable:
        found.append(words.turns_over(parts))
    seen = [k for k in pins.pierced if k in shown_layers(one)]
    if seen:
        found.append(words.shows_at_face(parts, seen))
    return found


def _laid_last(pinned: Sequence[tuple[Pins, Part]]) -> list[Finding]:
    """One note for all parts of which pins hold the same layers, but not all."""
    alike: dict[tuple[tuple[int, ...], tuple[int, ...]], list[Part]] = {}
    for pins, part in pinned:
        left = tuple(k for k in range(1, part.stack.count + 1) if k not in pins.pierced)
        if len(pins.places) > 1 and left:
            alike.setdefault((pins.pierced, left), []).append(part)
    return [words.laid_last(parts, pierced, left) for (pierced, left), parts in alike.items()]
