"""Sanding gauges: the negative of an edge profile, to hold against an edge while it is sanded."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from laminature.geometry.flat import Flat, flat
from laminature.geometry.lettering import shortened, text_width
from laminature.geometry.path import polyline
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.part import Part
from laminature.model.words import Words

#: The lip that lies against the wider face: how thick, and how far it goes in beyond the curve, mm.
LIP, UNDER = 5.0, 6.0
#: To hold it by, beyond the edge, and what stands over the narrower face, mm.
HANDLE, OVER = 16.0, 5.0
#: Room in the corner for dust and for what a blade rounds, mm.
RELIEF = 0.6
#: Border, gap, and height of capitals, mm.
BORDER, GAP, LETTERS = 6.0, 9.0, 2.6
#: A row of gauges is no wider than this, mm: it lies on a page of paper.
ROW = 150.0


def gauge(part: Part) -> Flat:
    """The gauge of a part's edge profile, as a polygon in mm.

    x is measured outwards from the part's outline, y from its wider face: the sanded edge fills what the
    gauge leaves open. Raises ValueError for a part without a profile.
    """
    if part.profile is None or not part.profile.curve:
        raise ValueError(f"{part.name} has no edge profile")
    curve = np.array(part.profile.curve)
    if curve[0, 1] > curve[-1, 1]:
        # The wider face is the upper one: the part is gauged lying on it.
        curve = np.column_stack([part.thickness - curve[::-1, 0], curve[::-1, 1]])
    first, last = float(curve[0, 1]), float(curve[-1, 1])
    deepest = float(curve[:, 1].max())
    edge = [(-inset, height) for height, inset in curve.tolist()]
    top = part.thickness + OVER
    return flat(
        [
            (-deepest - UNDER, -LIP),
            (HANDLE, -LIP),
            (HANDLE, top),
            (-last, top),
            *reversed(edge),
            (-first, -RELIEF),
            (-first - RELIEF, -RELIEF),
            (-first - RELIEF, 0.0),
            (-deepest - UNDER, 0.0),
        ]
    )


def gauges(parts: Sequence[Part]) -> tuple[tuple[Part, tuple[str, ...]], ...]:
    """Parts whose edges want a gauge of their own, each with the letters of all that it serves."""
    found: dict[object, tuple[Part, list[str]]] = {}
    for part in parts:
        if part.profile is not None and part.profile.curve:
            served = found.setdefault((part.profile, part.thickness), (part, []))[1]
            if part.letter not in served:
                served.append(part.letter)
    return tuple((part, tuple(letters)) for part, letters in found.values())


def gauge_drawing(parts: Sequence[Part], words: Words) -> Drawing | None:
    """All gauges of a piece on one page at true size, to be cut from an offcut; None where none is needed."""
    wanted = gauges(parts)
    if not wanted:
        return None
    rows: list[list[tuple[Flat, Sequence[str], float]]] = [[]]
    width = 0.0
    for number, (part, letters) in enumerate(wanted, start=1):
        lines = _lines(number, part, letters, words)
        shape = gauge(part)
        x0, _, x1, _ = shape.bounds
        column = max(x1 - x0, *(text_width(line, LETTERS) for line in lines))
        if rows[-1] and width + column > ROW:
            rows.append([])
            width = 0.0
        rows[-1].append((shape, lines, column))
        width += column + GAP
    page = max(sum(c for *_, c in row) + GAP * (len(row) - 1) for row in rows) + 2 * BORDER
    tall = [max(s.bounds[3] - s.bounds[1] for s, *_ in row) + 2 * 1.7 * LETTERS + 2.0 for row in rows]
    height = sum(tall) + GAP * (len(rows) - 1) + 2 * BORDER
    strokes: list[Stroke] = []
    texts: list[Text] = []
    y = height - BORDER
    for row, high in zip(rows, tall, strict=True):
        y -= high
        x = BORDER
        for shape, lines, column in row:
            low = y + 2 * 1.7 * LETTERS + 2.0 - shape.bounds[1]
            ring = np.asarray(shape.exterior.coords)[:-1] + np.array([x - shape.bounds[0], low])
            strokes.append(Stroke("outline", polyline(ring), f"gauge-{len(strokes) + 1}"))
            for n, line in enumerate(lines):
                at = y + (1 - n) * 1.7 * LETTERS
                texts.append(Text(shortened(line, LETTERS, column + 1.0), x, at, LETTERS))
            x += column + GAP
        y -= GAP
    return Drawing("gauges", page, height, tuple(strokes), tuple(texts), words.of("gauges"))


def _lines(number: int, part: Part, letters: Sequence[str], words: Words) -> Sequence[str]:
    assert part.profile is not None
    profile = words.of("profile_" + part.profile.name.replace("-", "_"))
    return (
        words.of("gauge", number=str(number), letters=", ".join(letters)),
        words.of("gauge_about", profile=profile, thickness=f"{part.thickness:.2f} mm"),
    )
