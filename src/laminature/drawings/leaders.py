"""Labels that stand beside what they name, each with a leader to it."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.drawings.beside import SIZE, Band, Tag, beside
from laminature.geometry.flat import Flat, Shape, rectangle
from laminature.geometry.lettering import text_width
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.room import crosses_any, free_within, nearest_points, room_for, without_boxes
from laminature.model.drawing import Stroke, Text

#: How far from its shape a label may stand in free space of the sheet, mm.
REACH = 9.0
#: Height that a row of labels below the frame takes, mm.
ROW = 7.0


def tagged(
    tags: Sequence[Tag],
    frame: Flat,
    shapes: Sequence[Flat],
    written: Sequence[Shape] = (),
    *,
    top: float,
    bottom: float,
) -> tuple[list[Stroke], list[Text]]:
    """Leaders and labels for ``tags``: in free space nearby where there is some, else around the frame.

    ``frame`` is the sheet with all its ``shapes``; ``written`` is what labels and leaders keep off. Columns
    stand at the frame's sides, from ``top`` down to ``bottom`` or as far as the frame reaches, and a row
    below it where there is room for one.
    """
    ways: list[list[Point]] = []
    texts: list[Text] = []
    free = without_boxes(free_within(frame, shapes, 0.3), [_bounds(one) for one in written])
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
        if crosses_any(start, end, [*(s for s in shapes if s is not tag.shape), *written]):
            rest.append(tag)
            continue
        free = without_boxes(free, [box, _around(start, end)])
        written = [*written, rectangle(*box)]
        texts.append(Text(tag.text, at[0], at[1] - SIZE / 2.0, SIZE, "middle"))
        ways.append([start, end])
    x0, y0, x1, _ = frame.bounds
    band = Band(x0, y0, x1, top, min(y0, bottom), row=y0 - bottom > ROW)
    far_ways, far_texts = beside(rest, band, shapes, written)
    strokes: list[Stroke] = []
    for n, way in enumerate((*ways, *far_ways), start=1):
        strokes.append(Stroke("marking", polyline(way, closed=False), f"leader-{n}", open=True))
        strokes.append(Stroke("marking", _dot(way[-1]), f"leader-{n}-end"))
    return strokes, texts + far_texts


def _bounds(shape: Shape) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = shape.bounds
    return (float(x0), float(y0), float(x1), float(y1))


def _around(start: Point, end: Point, air: float = 0.4) -> tuple[float, float, float, float]:
    (ax, ay), (bx, by) = start, end
    return (min(ax, bx) - air, min(ay, by) - air, max(ax, bx) + air, max(ay, by) + air)


def _dot(at: Point, half: float = 0.25) -> Path:
    x, y = at
    return polyline([(x - half, y), (x, y - half), (x + half, y), (x, y + half)])
