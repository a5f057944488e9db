"""Numbers beside rings, clear of the lines from ring to ring."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.lettering import text_width
from laminature.geometry.path import Point
from laminature.model.drawing import Text

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]

#: Heights of the numbers, mm: smaller ones are tried where larger ones find no free place.
SIZES = (2.6, 2.2, 1.8)
#: Air between a number and its ring, and about it, mm.
AWAY, AIR = 0.9, 0.55
#: The ways from a ring's middle that are tried, degrees, the best to read first.
TURNS = (35, -35, 145, -145, 0, 180, 90, -90, 60, -60, 120, -120, 15, -15, 165, -165)


def numbers_beside(rings: Sequence[tuple[Point, float]], ways: Sequence[tuple[Point, Point]]) -> list[Text]:
    """The number of each ring (middle and radius, mm), from 1, beside it: where neither a way nor a ring is.

    Where no such place is left, the one is taken that meets least.
    """
    circles = np.array([(*middle, radius) for middle, radius in rings]).reshape(-1, 3)
    lines = np.array(ways).reshape(-1, 2, 2)
    boxes = np.full((len(rings), 4), np.inf)
    texts: list[Text] = []
    for n, (middle, radius) in enumerate(rings):
        others = np.delete(circles, n, axis=0)
        best: tuple[int, Text, Box] | None = None
        for size, turn in ((size, turn) for size in SIZES for turn in TURNS):
            text, box = _spot(str(n + 1), middle, radius, turn, size)
            met = _met(box, others, lines, boxes[:n])
            if best is None or met < best[0]:
                best = (met, text, box)
            if met == 0:
                break
        assert best is not None
        texts.append(best[1])
        boxes[n] = best[2]
    return texts


def _spot(number: str, middle: Point, radius: float, turn: float, size: float) -> tuple[Text, Box]:
    """A number at a ring, in that direction, and the room it takes."""
    u, v = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    half_w, half_h = text_width(number, size) / 2.0 + AIR, size / 2.0 + AIR
    # As near as the box may come: its corner or side that looks at the ring just leaves it.
    away = radius + AWAY
    while math.hypot(max(abs(away * u) - half_w, 0.0), max(abs(away * v) - half_h, 0.0)) < radius + 0.2:
        away += 0.1
    x, y = middle[0] + away * u, middle[1] + away * v
    return Text(number, x, y - size / 2.0, size, "middle"), (x - half_w, y - half_h, x + half_w, y + half_h)


def _met(box: Box, circles: Array, lines: Array, boxes: Array) -> int:
    """How many circles (x, y, radius), lines and other boxes a box meets."""
    low, high = np.array(box[:2]), np.array(box[2:])
    off = np.maximum(np.maximum(low - circles[:, :2], circles[:, :2] - high), 0.0)
    found = int((np.hypot(off[:, 0], off[:, 1]) < circles[:, 2]).sum())
    found += int(((boxes[:, :2] < high) & (boxes[:, 2:] > low)).all(axis=1).sum())
    # A line meets the box where its stretches within the width and within the height have a common part.
    start, step = lines[:, 0], lines[:, 1] - lines[:, 0]
    step = np.where(np.abs(step) < 1e-12, 1e-12, step)
    one, other = (low - start) / step, (high - start) / step
    enters = np.maximum(np.minimum(one, other).max(axis=1, initial=-np.inf), 0.0)
    leaves = np.minimum(np.maximum(one, other).min(axis=1, initial=np.inf), 1.0)
    return found + int((enters <= leaves).sum())
