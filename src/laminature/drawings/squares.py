"""Squares of 25 mm and 1 in: whoever prints a page at true size measures them first."""

from __future__ import annotations

from dataclasses import replace

from laminature.geometry.path import polyline
from laminature.model.drawing import Drawing, Stroke, Text

#: Sides of the squares, mm, and what stands in them. One inch is 25.4 mm (ISO 80000-3).
SQUARES = ((25.0, "25 mm"), (25.4, "1 in"))
STEP = 30.0
#: Around and over the squares below a drawing, mm.
BORDER = 6.0


def measuring_squares(x: float, y: float, step: float = STEP) -> tuple[list[Stroke], list[Text]]:
    """The squares side by side from (x, y); with a ``step`` below 0 from right to left."""
    drawn, written = [], []
    for n, (side, label) in enumerate(SQUARES):
        left = x + n * step
        corners = [(left, y), (left + side, y), (left + side, y + side), (left, y + side)]
        drawn.append(Stroke("notes", polyline(corners), f"square-{n + 1}"))
        written.append(Text(label, left + side / 2.0, y + side / 2.0 - 1.2, 2.4, "middle"))
    return drawn, written


def with_squares(drawing: Drawing) -> Drawing:
    """The same drawing with the squares below it, on a page that is larger by that."""
    foot = max(side for side, _ in SQUARES) + BORDER
    drawn, written = measuring_squares(BORDER, BORDER)
    strokes = [replace(s, path=s.path.mapped(((1.0, 0.0), (0.0, 1.0)), (0.0, foot))) for s in drawing.strokes]
    texts = [replace(t, y=t.y + foot) for t in drawing.texts]
    width = max(drawing.width, STEP + SQUARES[-1][0] + 2.0 * BORDER)
    return replace(
        drawing,
        width=width,
        height=drawing.height + foot,
        strokes=(*strokes, *drawn),
        texts=(*texts, *written),
    )
