"""Front, side and plan of a piece with its outer sizes, each at full size and in miniature."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import numpy as np

from laminature.drawings.bodies import Body, bodies
from laminature.drawings.hidden import see
from laminature.drawings.looking import FROM_LEFT, FROM_RIGHT, FRONT, PLAN, looking
from laminature.drawings.page import Page, wide_for
from laminature.geometry.lettering import text_width
from laminature.geometry.path import Point, circle, polyline
from laminature.geometry.region import shape
from laminature.model.cushion import Upholstery
from laminature.model.drawing import Drawing, Fill, Text
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.piece import Piece
from laminature.model.words import Words
from laminature.units import HouseUnit, Scale, in_inches, in_mm, mini_to_full

#: Between views, and round all of them, mm.
APART, BORDER = 9.0, 2.0
#: From a view to its dimension line; how far extension lines stay off and run over (ISO 129-1), mm.
OFF, CLEAR, OVER = 7.0, 0.8, 1.5
#: Height of figures, length and half width of arrow heads, mm.
FIGURES, HEAD, HALF = 2.5, 2.4, 0.4
#: Pieces are drawn at most so many times as large as they are.
MOST = 2.0


def dimension_drawing(
    piece: Piece,
    layers: Sequence[Layer],
    scale: Fraction,
    words: Words,
    *,
    cushions: Sequence[Upholstery] = (),
    angle: Literal["third", "first"] = "third",
    unit: HouseUnit = "in",
    hidden: bool = False,
    room: tuple[float, float] = (180.0, 160.0),
    memory: Memory | None = None,
) -> Drawing:
    """Three views with the piece's width, depth and height, including its cushions.

    ``angle`` is the manner of projection of ISO 5456-2: in third angle the plan stands above the front and
    the view from the right to its right; in first angle the plan stands below and the view from the left to
    its right. ``unit`` is that of the full sizes; miniature sizes are in mm. ``hidden`` draws hidden edges
    dashed.
    """
    every = bodies(piece.parts, layers, cushions, memory)
    points = np.concatenate([b.points for b in every])
    wide, deep, high = (float(v) for v in np.ptp(points, axis=0))
    third = angle == "third"
    legend = words.of("sizes_legend", scale=str(Scale(scale)))
    told = [_told(v, scale, unit) for v in (wide, deep, high)]
    left = BORDER + OFF + 2.0 + max(text_width(t, FIGURES) for t in told[2])
    foot = BORDER + FIGURES + 5.0
    rim = OFF + 2.0 * FIGURES + 2.0
    free = (room[0] - left - APART - BORDER, room[1] - foot - rim - APART - BORDER)
    factor = min(MOST, free[0] / (wide + deep), free[1] / (high + deep))
    w, d, h = factor * wide, factor * deep, factor * high
    across = left + w + APART
    width = max(across + d + BORDER, BORDER * 2.0 + text_width(legend, FIGURES) + 22.0)
    base = foot + rim if third else foot + d + APART
    height = foot + rim + h + APART + d + BORDER
    page = Page(width, height, factor, (0.0, 0.0), wide_for(width, height) * 0.71)
    plan = base + h + APART if third else foot
    for way, corner in (
        (FRONT, (left, base)),
        (FROM_RIGHT if third else FROM_LEFT, (across, base)),
        (PLAN, (left, plan)),
    ):
        _view(page, every, way, corner, hidden)
    level = base if third else base + h
    side = -1.0 if third else 1.0
    _level(page, (left, left + w), level, side, told[0])
    _level(page, (across, across + d), level, side, told[1])
    _upright(page, (base, base + h), left, told[2])
    page.texts.append(Text(legend, BORDER, BORDER + 1.0, FIGURES))
    _symbol(page, (width - BORDER - 15.0, BORDER + 2.6), third)
    return page.done("dimensions", piece.title)


def _told(mini: float, scale: Fraction, unit: str) -> tuple[str, str]:
    """A length at full size and in miniature."""
    full = mini_to_full(mini, scale)
    return (in_inches(full) if unit == "in" else in_mm(full, 0), in_mm(mini, 1))


def _view(page: Page, every: Sequence[Body], way: tuple[float, float], corner: Point, hidden: bool) -> None:
    """One view with the lower left corner of its bounds at ``corner``."""
    look = looking(*way)
    low = np.concatenate([look.flat(b.points) for b in every]).min(axis=0)
    page.shift = (corner[0] - page.factor * float(low[0]), corner[1] - page.factor * float(low[1]))
    page.show(see(every, look, hidden=hidden), lambda n: every[n].tone, shaded=False, inner="visible")


def _level(page: Page, ends: tuple[float, float], edge: float, side: float, told: tuple[str, str]) -> None:
    """A dimension below (``side`` −1) or above (1) an edge: figures over and under its line."""
    y = edge + side * OFF
    for x in ends:
        _line(page, (x, edge + side * CLEAR), (x, y + side * OVER))
    _line(page, (ends[0], y), (ends[1], y))
    _head(page, (ends[0], y), (-1.0, 0.0))
    _head(page, (ends[1], y), (1.0, 0.0))
    middle = (ends[0] + ends[1]) / 2.0
    page.texts.append(Text(told[0], middle, y + 1.0, FIGURES, "middle"))
    page.texts.append(Text(told[1], middle, y - 1.0 - FIGURES, FIGURES, "middle"))


def _upright(page: Page, ends: tuple[float, float], edge: float, told: tuple[str, str]) -> None:
    """A dimension to the left of an edge, its figures beside the line."""
    x = edge - OFF
    for y in ends:
        _line(page, (edge - CLEAR, y), (x - OVER, y))
    _line(page, (x, ends[0]), (x, ends[1]))
    _head(page, (x, ends[0]), (0.0, -1.0))
    _head(page, (x, ends[1]), (0.0, 1.0))
    middle = (ends[0] + ends[1]) / 2.0
    page.texts.append(Text(told[0], x - 1.5, middle + 0.9, FIGURES, "end"))
    page.texts.append(Text(told[1], x - 1.5, middle - 0.9 - FIGURES, FIGURES, "end"))


def _line(page: Page, start: Point, end: Point) -> None:
    page.stroke("dimension", polyline([start, end], closed=False))


def _head(page: Page, tip: Point, way: Point) -> None:
    """A filled arrow head that points along ``way``."""
    ux, uy = way
    x, y = tip[0] - HEAD * ux, tip[1] - HEAD * uy
    corners = [tip, (x - HALF * uy, y + HALF * ux), (x + HALF * uy, y - HALF * ux)]
    page.fills.append(Fill(shape(corners), "ink", over=True))


def _symbol(page: Page, at: Point, third: bool) -> None:
    """The cone of ISO 5456-2 that tells the manner of projection, from ``at`` to the right."""
    x, y = at
    cone, rings = (x + 8.0, x + 2.6) if third else (x, x + 10.4)
    page.stroke(
        "dimension",
        polyline([(cone, y - 1.2), (cone + 5.0, y - 2.4), (cone + 5.0, y + 2.4), (cone, y + 1.2)]),
    )
    for radius in (1.2, 2.4):
        page.stroke("dimension", circle(radius, (rings, y)))
    _chain(page, x - 0.8, x + 13.8, y)
    page.stroke("centre", polyline([(rings, y - 3.2), (rings, y + 3.2)], closed=False))


def _chain(page: Page, start: float, end: float, y: float) -> None:
    page.stroke("centre", polyline([(start, y), (end, y)], closed=False))
