"""The outermost buttons, and the ways from them straight out to the edge."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Point

Array = NDArray[np.float64]
#: Two rows of outermost buttons meet at a corner where the cosine of their turn is below this.
SQUARE = 0.3


def hull(points: Array) -> NDArray[np.int64]:
    """Numbers of the points on the border of the smallest convex region, walked to the left.

    Points that lie on its straight sides belong to it, for buttons of an outermost row all hold the cloth.
    """
    order = np.lexsort((points[:, 1], points[:, 0]))
    if len(order) < 3:
        return order
    size = float(np.ptp(points, axis=0).max())
    chains = []
    for run in (order, order[::-1]):
        chain: list[int] = []
        for k in run:
            while len(chain) > 1:
                a, b = points[chain[-1]] - points[chain[-2]], points[k] - points[chain[-1]]
                if a[0] * b[1] - a[1] * b[0] >= -1e-9 * size * size:
                    break
                chain.pop()
            chain.append(int(k))
        chains.append(chain)
    return np.array(chains[0][:-1] + chains[1][:-1], dtype=np.int64)


def ways_out(points: Array) -> list[tuple[int, Point, tuple[int, ...]]]:
    """Each outermost button, a unit vector straight out, and the outermost buttons next to it on that side.

    A button within a row looks out at right angles to it; one at a square corner both ways, along with
    either row; one where the border turns gently, half way between. Fewer than three buttons, or all in one
    row, have ways out on both sides of the row.
    """
    border = hull(points)
    if len(border) < 3 or _flat(points[border]):
        return _both_sides(points)
    step = np.roll(points[border], -1, axis=0) - points[border]
    out = np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None]
    found: list[tuple[int, Point, tuple[int, ...]]] = []
    for k in range(len(border)):
        here, before, after = (int(border[n % len(border)]) for n in (k, k - 1, k + 1))
        if float(out[k - 1] @ out[k]) > SQUARE:
            found.append((here, _unit(out[k - 1] + out[k]), (before, after)))
        else:
            found.append((here, _unit(out[k - 1]), (before,)))
            found.append((here, _unit(out[k]), (after,)))
    return found


def way_to(start: Array, way: Point, ring: Array) -> Array | None:
    """Where a ray from ``start`` first meets the closed line ``ring`` (n, 2); None where it never does."""
    a, step = ring, np.roll(ring, -1, axis=0) - ring
    cross = way[0] * step[:, 1] - way[1] * step[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        far = ((a[:, 0] - start[0]) * step[:, 1] - (a[:, 1] - start[1]) * step[:, 0]) / cross
        share = ((a[:, 0] - start[0]) * way[1] - (a[:, 1] - start[1]) * way[0]) / cross
    hits = far[(far > 1e-9) & (share >= -1e-9) & (share <= 1.0 + 1e-9)]
    return start + float(hits.min()) * np.array(way) if len(hits) else None


def _flat(border: Array) -> bool:
    """Whether all points of the border lie on one line."""
    far = border - border[0]
    longest = far[int(np.argmax((far**2).sum(axis=1)))]
    off = np.abs(far[:, 0] * longest[1] - far[:, 1] * longest[0])
    return bool((off <= 1e-6 * float(longest @ longest)).all())


def _both_sides(points: Array) -> list[tuple[int, Point, tuple[int, ...]]]:
    """Ways out from a single button or from a row."""
    if len(points) == 0:
        return []
    order = np.lexsort((points[:, 1], points[:, 0]))
    along = points[order[-1]] - points[order[0]]
    if float(np.hypot(along[0], along[1])) < 1e-9:
        ways = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
        return [(0, way, ()) for way in ways]
    x, y = _unit(along)
    found: list[tuple[int, Point, tuple[int, ...]]] = []
    for n, k in enumerate(order):
        near = tuple(int(order[m]) for m in (n - 1, n + 1) if 0 <= m < len(order))
        found += [(int(k), (y, -x), near), (int(k), (-y, x), near)]
    found.append((int(order[0]), (-x, -y), ()))
    found.append((int(order[-1]), (x, y), ()))
    return found


def _unit(way: Array) -> Point:
    long = float(np.hypot(way[0], way[1]))
    return float(way[0]) / long, float(way[1]) / long
