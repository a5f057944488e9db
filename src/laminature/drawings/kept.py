"""Offcuts on the map of a sheet: where to part them, dashed, with the name to write on each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from laminature.drawings.labels import spot_for
from laminature.drawings.placed import shrunk
from laminature.geometry.flat import Flat, rectangle
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.room import without_boxes
from laminature.model.drawing import Stroke
from laminature.model.offcut import Remainder

#: Length of a dash and of the gap after it, about, mm.
DASH = 2.4
GAP = 1.2
#: Heights of letters, mm.
SIZES = (3.0, 2.6, 2.2, 1.9)
#: Air about a name, mm.
AIR = 0.5
#: Half the room left for the cross of what falls out, mm.
CROSS = 1.4


def kept_strokes(
    remainders: Sequence[Remainder], factor: float, origin: Point
) -> tuple[list[Stroke], list[Flat]]:
    """Strokes for offcuts on a map at ``factor`` of its size from ``origin``, and boxes about their names.

    What falls out needs no parting, so it gets no dashes. Dashes that would lie on each other, where
    two offcuts adjoin, are drawn once.
    """
    strokes: list[Stroke] = []
    boxes: list[Flat] = []
    drawn: set[tuple[Point, Point]] = set()
    for one in remainders:
        shift = (origin[0] + factor * one.at[0], origin[1] + factor * one.at[1])
        shape = shrunk(one.offcut.outline, factor, shift)
        paths: list[Path] = []
        if not one.fell_from:
            for start, end in _sides(shape):
                key = (min(start, end), max(start, end))
                paths += [] if key in drawn else dashes(start, end)
                drawn.add(key)
        named = _name(one, shape)
        if named:
            points = np.concatenate([path.flattened for path in named])
            (x0, y0), (x1, y1) = points.min(axis=0) - AIR, points.max(axis=0) + AIR
            boxes.append(rectangle(x0, y0, x1, y1))
        paths += named
        strokes += [
            Stroke("marking", path, f"{one.offcut.name}-keep-{n}", open=not path.closed)
            for n, path in enumerate(paths, start=1)
        ]
    return strokes, boxes


def dashes(start: Point, end: Point) -> list[Path]:
    """The straight line from ``start`` to ``end`` in dashes; both ends are dashes."""
    whole = math.dist(start, end)
    count = max(1, round((whole + GAP) / (DASH + GAP)))
    step = (whole + GAP) / count

    def at(d: float) -> Point:
        share = min(d / whole, 1.0)
        return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))

    return [polyline([at(k * step), at(k * step + step - GAP)], closed=False) for k in range(count)]


def size_words(outline: Flat) -> str:
    """Width and height of an outline's bounds in words."""
    x0, y0, x1, y1 = outline.bounds
    return f"{round(x1 - x0, 1):g} × {round(y1 - y0, 1):g} mm"


def _sides(shape: Flat) -> list[tuple[Point, Point]]:
    points = [(round(float(x), 6), round(float(y), 6)) for x, y in shape.exterior.coords]
    return list(pairwise(points))


def _name(one: Remainder, shape: Flat) -> tuple[Path, ...]:
    """The name, with the size where there is room for it."""
    name = one.offcut.name
    rooms = [shape]
    if one.fell_from:
        # Above the cross, where leaders to the layer around it seldom pass; else beside it.
        x, y = (float(v) for v in shape.centroid.coords[0])
        x0, y0, x1, _ = shape.bounds
        taken = ((x0, y0, x1, y + CROSS), (x - CROSS, y - CROSS, x + CROSS, y + CROSS))
        rooms = [without_boxes(shape, [box]) for box in taken]
    sized = () if one.fell_from else (f"{name}: {size_words(one.offcut.outline)}",)
    for text in (*sized, name):
        for room in rooms:
            # Clear of the dashes, as of anything drawn.
            spot = spot_for(room, text, [polyline(shape.exterior.coords[:-1])], sizes=SIZES)
            if spot is not None:
                return spot.strokes(text)
    return ()
