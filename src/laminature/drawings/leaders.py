"""Labels that stand beside what they name, each with a leader to it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.geometry.flat import Flat, rectangle
from laminature.geometry.lettering import text_width
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.room import crosses_any, free_within, nearest_points, room_for, without_boxes
from laminature.model.drawing import Stroke, Text

#: Height of letters, mm.
SIZE = 2.6
#: How far from its shape a label may stand in free space of the sheet, mm.
REACH = 9.0
#: Labels in a column are this far from each other, in their own heights.
LEADING = 1.6
#: From the frame to a column of labels, and to where its leaders bend, mm.
AWAY = 4.0
BEND = 1.5


@dataclass(frozen=True)
class Tag:
    """A label and the shape that it names."""

    text: str
    shape: Flat

    @property
    def point(self) -> Point:
        """A point inside the shape."""
        inside = self.shape.representative_point()
        return (float(inside.x), float(inside.y))


def tagged(
    tags: Sequence[Tag], frame: Flat, shapes: Sequence[Flat], *, top: float, bottom: float
) -> tuple[list[Stroke], list[Text]]:
    """Leaders and labels for ``tags``: in free space nearby where there is some, else in columns.

    ``frame`` is the sheet with all its ``shapes``; columns stand at its sides, from ``top``
    down to ``bottom`` or as far as the frame reaches.
    """
    ways: list[list[Point]] = []
    texts: list[Text] = []
    free = free_within(frame, shapes, 0.3)
    rest: list[Tag] = []
    for tag in tags:
        x0, y0, x1, y1 = tag.shape.bounds
        window = rectangle(x0 - REACH, y0 - REACH, x1 + REACH, y1 + REACH)
        half = text_width(tag.text, SIZE) / 2.0
        at = room_for(free.intersection(window), 2.0 * half, SIZE, 0.6)
        if at is None:
            rest.append(tag)
            continue
        edge = 0.4
        box = (at[0] - half - edge, at[1] - SIZE / 2 - edge, at[0] + half + edge, at[1] + SIZE / 2 + edge)
        start, end = nearest_points(rectangle(*box), tag.shape)
        if crosses_any(start, end, [s for s in shapes if s is not tag.shape]):
            rest.append(tag)
            continue
        free = without_boxes(free, [box, _around(start, end)])
        texts.append(Text(tag.text, at[0], at[1] - SIZE / 2.0, SIZE, "middle"))
        ways.append([start, end])
    x0, y0, x1, _ = frame.bounds
    for left in (True, False):
        mine = [t for t in rest if (t.point[0] < (x0 + x1) / 2.0) == left]
        if mine:
            edge, side = (x0, -1.0) if left else (x1, 1.0)
            found_ways, found_texts = _column(mine, edge, side, top, min(y0, bottom))
            ways += found_ways
            texts += found_texts
    strokes: list[Stroke] = []
    for n, way in enumerate(ways, start=1):
        strokes.append(Stroke("marking", polyline(way, closed=False), f"leader-{n}", open=True))
        strokes.append(Stroke("marking", _dot(way[-1]), f"leader-{n}-end"))
    return strokes, texts


def _column(
    tags: Sequence[Tag], edge: float, side: float, top: float, bottom: float
) -> tuple[list[list[Point]], list[Text]]:
    """A column at one side of the frame: labels at the height of what they name, as far as they find room."""
    tags = sorted(tags, key=lambda t: (-t.point[1], t.point[0], t.text))
    size = min(SIZE, (top - bottom) / (LEADING * len(tags)))
    step = LEADING * size
    rows: list[float] = []
    for tag in tags:
        wanted = min(tag.point[1], top - size / 2.0)
        rows.append(min(wanted, rows[-1] - step) if rows else wanted)
    lowest = bottom + size / 2.0
    for i in range(len(rows) - 1, -1, -1):
        rows[i] = max(rows[i], lowest)
        lowest = rows[i] + step
    stem, x = edge + side * BEND, edge + side * AWAY
    ways: list[list[Point]] = []
    texts: list[Text] = []
    for tag, y in zip(_uncrossed(tags, [(stem, y) for y in rows]), rows, strict=True):
        texts.append(Text(tag.text, x, y - size / 2.0, size, "end" if side < 0.0 else "start"))
        ways.append([(x - side * 0.8, y), (stem, y), tag.point])
    return ways, texts


def _uncrossed(tags: Sequence[Tag], stems: Sequence[Point]) -> list[Tag]:
    """The labels in the order of ``stems``, exchanged two by two as long as that makes the leaders shorter.

    Leaders that cross are longer together than the same two exchanged, so none are left to cross.
    """
    order = [(t, t.point) for t in tags]
    changed = True
    while changed:
        changed = False
        for i, j in itertools.combinations(range(len(order)), 2):
            now = math.dist(order[i][1], stems[i]) + math.dist(order[j][1], stems[j])
            then = math.dist(order[j][1], stems[i]) + math.dist(order[i][1], stems[j])
            if then < now - 1e-6:
                order[i], order[j] = order[j], order[i]
                changed = True
    return [t for t, _ in order]


def _around(start: Point, end: Point, air: float = 0.4) -> tuple[float, float, float, float]:
    (ax, ay), (bx, by) = start, end
    return (min(ax, bx) - air, min(ay, by) - air, max(ax, bx) + air, max(ay, by) + air)


def _dot(at: Point, half: float = 0.25) -> Path:
    x, y = at
    return polyline([(x - half, y), (x, y - half), (x + half, y), (x, y + half)])
