"""Folds of the cloth: pleats between buttons, from the outermost buttons to the edge, and at corners.

Pleats open towards whoever sits there: on a seat to the front, on a back downwards, so that dust falls out
(common practice, no source). Both are −y of a cushion's own frame.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Point
from laminature.model.cushion import Buttoning, Fold, Surface
from laminature.upholstery.heights import arc_lengths
from laminature.upholstery.outermost import way_to, ways_out
from laminature.upholstery.rim import Rim

Array = NDArray[np.float64]
#: What a cushion is for, which decides how corner folds lie.
Use = Literal["seat", "back"]
#: Two links nearer to parallel than this (sine of the angle) do not bound one pillow.
ALONG = 0.2


def pleats(buttoning: Buttoning, marks: Array, surface: Surface) -> tuple[Fold, ...]:
    """The pleats of deep buttoning, one along each link, on the flat cloth, mm.

    ``width`` is the cloth that disappears in the pleat: half a pillow's width on either side, as it
    is on the flat cloth, less the cloth's length across the two half pillows.
    """
    points = np.array(buttoning.points, dtype=float).reshape(-1, 2)
    links = np.array(buttoning.links, dtype=np.int64).reshape(-1, 2)
    if not len(links):
        return ()
    plain, wide = points[links[:, 1]] - points[links[:, 0]], marks[links[:, 1]] - marks[links[:, 0]]
    pitch, cloth = _across(links, plain), _across(links, wide)
    normal = np.column_stack([-plain[:, 1], plain[:, 0]]) / np.hypot(plain[:, 0], plain[:, 1])[:, None]
    middle = (points[links[:, 0]] + points[links[:, 1]]) / 2
    half = pitch[:, None] / 2 * normal
    over = arc_lengths(surface, middle - half, middle + half)
    width = np.maximum(cloth - over, 0.0)
    return tuple(_fold(marks[i], marks[j], float(w)) for (i, j), w in zip(links.tolist(), width, strict=True))


def edge_folds(points: Array, marks: Array, around: Rim) -> tuple[Fold, ...]:
    """The straight pleats from the outermost buttons to the edge, at right angles to their row, mm.

    Each takes up half of what the cloth has to spare towards either neighbour: the edge wants none of it.
    """
    found = []
    for k, way, beside in ways_out(points):
        spare = [np.hypot(*(marks[n] - marks[k])) - np.hypot(*(points[n] - points[k])) for n in beside]
        end = way_to(marks[k], way, around.cloth)
        width = float(sum(spare)) / 2.0
        if end is not None and width > 0.0:
            found.append(_fold(marks[k], end, width))
    return tuple(found)


def corner_folds(around: Rim, reach: float, use: Use) -> tuple[tuple[Point, Point], ...]:
    """Where the cloth is folded at each corner: from the panel's corner to the cut line, ``reach`` mm on.

    The line is the folded edge of the flap that lies outside. On a seat that is the front's (and the
    back's), so that the fold opens to the side; on a back the upper one, so that it opens downwards.
    """
    out = around.outwards
    found = []
    for k in np.flatnonzero(around.corner & (around.turn > 0.0)):
        flaps = (out[k - 1], out[k])
        first, second = (abs(float(f[1])) if use == "seat" else float(f[1]) for f in flaps)
        # Alike flaps: the one that comes first from the middle line, on both sides.
        tie = abs(first - second) < 1e-6
        upper = float(out[k - 1][0]) * float(around.cloth[k][0]) < float(out[k][0]) * float(
            around.cloth[k][0]
        )
        flap = flaps[0] if (upper if tie else first > second) else flaps[1]
        start = around.cloth[k]
        found.append((_point(start), _point(start + reach * flap)))
    return tuple(found)


def _across(links: NDArray[np.int64], ways: Array) -> Array:
    """For each link how wide the pillows beside it are, at right angles to it: the mean of its neighbours."""
    long = np.hypot(ways[:, 0], ways[:, 1])
    touch = (links[:, None, :, None] == links[None, :, None, :]).any(axis=(2, 3))
    cross = np.abs(ways[:, None, 0] * ways[None, :, 1] - ways[:, None, 1] * ways[None, :, 0])
    across = cross / long[:, None]
    counts = touch & (across > ALONG * long[None, :])
    number = counts.sum(axis=1)
    mean: Array = (across * counts).sum(axis=1) / np.maximum(number, 1)
    return mean


def _fold(start: Array, end: Array, width: float) -> Fold:
    way = (end - start) / max(float(np.hypot(*(end - start))), 1e-12)
    normal = np.array([-way[1], way[0]])
    middle = (start + end) / 2
    if abs(normal[1]) > 1e-6:
        normal = -normal * np.sign(normal[1])
    elif normal[0] * middle[0] < 0.0:
        # A fold straight up opens away from the middle line.
        normal = -normal
    return Fold(_point(start), _point(end), width, _point(normal))


def _point(p: Array) -> Point:
    return float(p[0]), float(p[1])
