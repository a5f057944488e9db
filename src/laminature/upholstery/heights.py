"""Reading a cushion's surface: heights between the grid's nodes, and lengths of cloth over it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.spatial import cKDTree

from laminature.geometry.path import Point
from laminature.model.cushion import Surface

Array = NDArray[np.float64]


def raised(share: Array, crown: float, swell: float) -> Array:
    """Height of the free crown, mm, where the sheet under even pressure has this share of its height.

    Over a disc, an ellipse or a strip the share is 1 − r², r the way from the middle to the edge; so
    the height is the super-ellipse crown · (1 − rⁿ)^(1/n) there, and its like over any other outline.
    """
    way = np.clip(1.0 - share, 0.0, 1.0) ** (swell / 2.0)
    lifted: Array = crown * (1.0 - way) ** (1.0 / swell)
    return lifted


def heights_at(surface: Surface, points: Array) -> Array:
    """Heights of the cloth, mm, at ``points`` (n, 2) of the panel's plane; 0 outside the cushion."""
    x, y = points[:, 0], points[:, 1]
    free = raised(_between(surface, surface.share, x, y), surface.crown, surface.swell)
    drop = _pressed(surface, points, _between(surface, surface.drop, x, y))
    return np.clip(free - drop, 0.0, free)


def smooth_fields(surface: Surface, points: Array) -> tuple[Array, Array]:
    """``share`` and ``drop`` at ``points`` without the grid's facets (cubic): for pictures, not lengths."""
    at = np.stack(
        [(points[:, 1] - surface.y[0]) / surface.cell, (points[:, 0] - surface.x[0]) / surface.cell]
    )
    share, drop = (
        ndimage.map_coordinates(values, at, order=3, mode="nearest")
        for values in (surface.share, surface.drop)
    )
    return share, _pressed(surface, points, np.maximum(drop, 0.0))


def inside(surface: Surface, points: Array) -> NDArray[np.bool_]:
    """Which of ``points`` (n, 2) lie within the cushion's outline, as nearly as the grid knows."""
    held: NDArray[np.bool_] = _between(surface, surface.share, points[:, 0], points[:, 1]) > 0.0
    return held


def free_at(surface: Surface, points: Array) -> Array:
    """Heights of the crown without any button, mm, at ``points`` (n, 2); 0 outside the cushion."""
    return raised(_between(surface, surface.share, points[:, 0], points[:, 1]), surface.crown, surface.swell)


def arc_length(
    surface: Surface, start: Point, end: Point, on_edge: tuple[bool, bool] = (False, False)
) -> float:
    """Length of the cloth over the straight line from ``start`` to ``end`` of the panel's plane, mm.

    ``on_edge`` says which of the two lie on the outline.
    """
    return float(arc_lengths(surface, np.array([start]), np.array([end]), on_edge)[0])


def arc_lengths(
    surface: Surface, starts: Array, ends: Array, on_edge: tuple[bool, bool] = (False, False)
) -> Array:
    """Lengths of the cloth over many straight lines, arrays (n, 2), mm.

    The polyline through heights at least three to a cell, closer near both ends, where edges are steep.
    ``on_edge`` says which ends lie on the outline, where the cloth comes down to the panel: so
    steeply that a hair's breadth matters.
    """
    span: Array = np.hypot(*(ends - starts).T)
    if not len(span):
        return span
    n = max(24, int(np.ceil(3.0 * float(span.max()) / surface.cell)))
    # Cosine spacing: a super-ellipse stands upright on its edge.
    share = (1.0 - np.cos(np.pi * np.arange(n + 1) / n)) / 2.0
    points = starts[:, None, :] + share[None, :, None] * (ends - starts)[:, None, :]
    height = heights_at(surface, points.reshape(-1, 2)).reshape(len(span), n + 1)
    for k, held in zip((0, -1), on_edge, strict=True):
        if held:
            height[:, k] = 0.0
    run = span[:, None] * np.diff(share)[None, :]
    length: Array = np.hypot(run, np.diff(height, axis=1)).sum(axis=1)
    return length


def _pressed(surface: Surface, points: Array, drop: Array) -> Array:
    """The drop at ``points``, under a button what its thread holds it at."""
    if not len(surface.buttons):
        return drop
    far, which = cKDTree(surface.buttons).query(points, distance_upper_bound=surface.radius)
    under = np.isfinite(far)
    pressed = drop.copy()
    pressed[under] = surface.depths[which[under]]
    return pressed


def _between(surface: Surface, values: Array, x: Array, y: Array) -> Array:
    return bilinear(surface.x, surface.y, surface.cell, values, x, y)


def bilinear(columns: Array, rows: Array, cell: float, values: Array, x: Array, y: Array) -> Array:
    """Values of a square grid between its nodes."""
    s = np.clip((x - columns[0]) / cell, 0.0, len(columns) - 1.000001)
    t = np.clip((y - rows[0]) / cell, 0.0, len(rows) - 1.000001)
    i, j = s.astype(np.int64), t.astype(np.int64)
    u, v = s - i, t - j
    found: Array = (1 - v) * ((1 - u) * values[j, i] + u * values[j, i + 1]) + v * (
        (1 - u) * values[j + 1, i] + u * values[j + 1, i + 1]
    )
    return found
