"""Labels around a figure, in columns at its sides and in a row below it, and where their leaders run.

A leader ends where on its shape it crosses least: what is written above all, then other leaders, then shapes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Shape
from laminature.geometry.lettering import text_width
from laminature.geometry.path import Point
from laminature.geometry.room import lines_met, places_on
from laminature.model.drawing import Text

Array = NDArray[np.float64]
Side = Literal["left", "right", "below"]

#: Height of letters, mm.
SIZE = 2.6
#: Labels are this far from each other: in a column in their own heights, in a row in mm.
LEADING = 1.6
BETWEEN = 3.0
#: From the frame to labels, and to where their leaders bend, mm.
AWAY = 4.0
BEND = 1.5
#: What a leader costs that crosses something written, another leader, a shape; and a mm of its length.
WRITTEN, LEADER, SHAPE, LONG = 20.0, 12.0, 1.0, 0.06
#: How often every leader's end is chosen anew, the others as they are.
ROUNDS = 3


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


@dataclass(frozen=True)
class Band:
    """Where labels may stand: the figure's bounds, how far columns reach, whether a row fits below."""

    x0: float
    y0: float
    x1: float
    top: float
    bottom: float
    row: bool


@dataclass
class _Leader:
    """A label on its way: its shape's places, where its leader begins and where it ends."""

    tag: Tag
    places: Array
    stem: Point
    end: Point


def beside(
    tags: Sequence[Tag], band: Band, shapes: Sequence[Flat], written: Sequence[Shape]
) -> tuple[list[list[Point]], list[Text]]:
    """Leaders and labels for ``tags``: lines from a label to its shape, crossing as little as may be."""
    sides: dict[Side, list[_Leader]] = {"left": [], "right": [], "below": []}
    room = band.x1 - band.x0
    for tag in tags:
        places = places_on(tag.shape)
        others = [s for s in shapes if s is not tag.shape]
        best: tuple[float, Side, Point] | None = None
        for side in sides:
            if side == "below" and (not band.row or room < text_width(tag.text, SIZE) + BETWEEN):
                continue
            stems = _stems(side, places, band)
            costs = _costs(stems, places, others, written, ())
            k = int(np.argmin(costs))
            if best is None or costs[k] < best[0] - 1e-6:
                best = (float(costs[k]), side, (float(places[k, 0]), float(places[k, 1])))
        assert best is not None
        _, chosen, end = best
        if chosen == "below":
            room -= text_width(tag.text, SIZE) + BETWEEN
        sides[chosen].append(_Leader(tag, places, end, end))
    texts: list[Text] = []
    for side, leaders in sides.items():
        texts += _placed(side, leaders, band)
    every = [one for leaders in sides.values() for one in leaders]
    _aimed(every, shapes, written)
    return [_way(side, one) for side, leaders in sides.items() for one in leaders], texts


def _stems(side: Side, places: Array, band: Band) -> Array:
    """Where a leader would begin that runs straight across, or straight up, to each place."""
    stems = places.copy()
    if side == "below":
        stems[:, 1] = band.y0 - BEND
    else:
        stems[:, 0] = band.x0 - BEND if side == "left" else band.x1 + BEND
    return stems


def _costs(
    stems: Array, ends: Array, others: Sequence[Flat], written: Sequence[Shape], lines: Sequence[Array]
) -> Array:
    """What each straight leader would cost."""
    costs = LONG * np.hypot(*(ends - stems).T)
    costs += SHAPE * lines_met(stems, ends, others)
    costs += WRITTEN * lines_met(stems, ends, written)
    return np.asarray(costs + LEADER * _crossing(stems, ends, lines))


def _crossing(stems: Array, ends: Array, lines: Sequence[Array]) -> Array:
    """How many of ``lines``, each two points, the straight ways cross."""
    if not lines:
        return np.zeros(len(stems))
    other = np.array(lines)
    a, b = stems[:, None], ends[:, None]
    c, d = other[None, :, 0], other[None, :, 1]

    def turn(p: Array, q: Array, r: Array) -> Array:
        u, v = q - p, r - p
        return np.asarray(np.sign(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]))

    across = (turn(a, b, c) * turn(a, b, d) <= 0.0) & (turn(c, d, a) * turn(c, d, b) <= 0.0)
    return np.asarray(across.sum(axis=1), dtype=np.float64)


def _placed(side: Side, leaders: list[_Leader], band: Band) -> list[Text]:
    """Labels in their column or row, each as near to its shape as the others let it; stems go with them."""
    if not leaders:
        return []
    if side == "below":
        leaders.sort(key=lambda one: (one.end[0], one.end[1], one.tag.text))
        widths = [text_width(one.tag.text, SIZE) + BETWEEN for one in leaders]
        at = _spread([one.end[0] for one in leaders], widths, band.x0, band.x1)
        stems = [(x, band.y0 - BEND) for x in at]
    else:
        leaders.sort(key=lambda one: (one.end[1], -one.end[0], one.tag.text))
        size = min(SIZE, (band.top - band.bottom) / (LEADING * len(leaders)))
        at = _spread([one.end[1] for one in leaders], [LEADING * size] * len(leaders), band.bottom, band.top)
        x = band.x0 - BEND if side == "left" else band.x1 + BEND
        stems = [(x, y) for y in at]
    _uncrossed(leaders, stems)
    texts = []
    for one in leaders:
        x, y = one.stem
        if side == "below":
            texts.append(Text(one.tag.text, x, band.y0 - AWAY - SIZE + 1.0, SIZE, "middle"))
        elif side == "left":
            texts.append(Text(one.tag.text, band.x0 - AWAY, y - size / 2.0, size, "end"))
        else:
            texts.append(Text(one.tag.text, band.x1 + AWAY, y - size / 2.0, size, "start"))
    return texts


def _spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Middles of boxes of these sizes in a line, in their order, near where they are wanted."""
    at: list[float] = []
    for k, (x, size) in enumerate(zip(wanted, sizes, strict=True)):
        least = low + size / 2.0 if k == 0 else at[-1] + (sizes[k - 1] + size) / 2.0
        at.append(max(x, least))
    most = high
    for k in range(len(at) - 1, -1, -1):
        at[k] = min(at[k], most - sizes[k] / 2.0)
        most = at[k] - sizes[k] / 2.0
    return at


def _uncrossed(leaders: list[_Leader], stems: Sequence[Point]) -> None:
    """Give out the stems in order, exchanged two by two as long as that makes the leaders shorter.

    Leaders that cross are longer together than the same two exchanged, so none are left to cross.
    """
    order = list(leaders)
    changed = True
    while changed:
        changed = False
        for i, j in itertools.combinations(range(len(order)), 2):
            now = math.dist(order[i].end, stems[i]) + math.dist(order[j].end, stems[j])
            then = math.dist(order[j].end, stems[i]) + math.dist(order[i].end, stems[j])
            if then < now - 1e-6:
                order[i], order[j] = order[j], order[i]
                changed = True
    for one, stem in zip(order, stems, strict=True):
        one.stem = stem
    leaders[:] = order


def _aimed(leaders: Sequence[_Leader], shapes: Sequence[Flat], written: Sequence[Shape]) -> None:
    """Let every leader end where, from its stem, it crosses least, the others as they are."""
    for _ in range(ROUNDS):
        changed = False
        for one in leaders:
            lines = [np.array([o.stem, o.end]) for o in leaders if o is not one]
            others = [s for s in shapes if s is not one.tag.shape]
            ends = np.vstack([[one.end], one.places])
            stems = np.broadcast_to(np.array(one.stem), ends.shape)
            costs = _costs(stems, ends, others, written, lines)
            k = int(np.argmin(costs))
            if costs[k] < costs[0] - 1e-6:
                one.end = (float(ends[k, 0]), float(ends[k, 1]))
                changed = True
        if not changed:
            return


def _way(side: Side, one: _Leader) -> list[Point]:
    x, y = one.stem
    step = AWAY - BEND - 0.8
    start = {"left": (x - step, y), "right": (x + step, y), "below": (x, y - step + 0.6)}[side]
    return [start, one.stem, one.end]
