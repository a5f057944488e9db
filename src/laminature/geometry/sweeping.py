"""Which solids meet which when they are moved away along a straight line.

Seen along the way d, a solid A that moves meets B if and only if some line along d runs through both and
A's lowest point on it lies below B's highest. Lowest points lie on facets that look against d,
highest ones on facets that look along it; over the polygon in which the shadows of two facets
overlap, the difference of their depths is linear, so that its corners decide. Nothing is sampled: the answer
is exact for flattened outlines, for any way, however far.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.facets import Facets, across, facets
from laminature.geometry.pose import Vector
from laminature.geometry.solid import Solid

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Numbers = NDArray[np.intp]
#: Solids may rub on each other by this much, mm: above the rounding of coordinates, below every clearance.
TOUCH = 1e-4
#: Pairs of facets that are looked at in the first round, for each pair of solids.
FIRST = 4


def meets(solids: Sequence[Solid], way: Vector) -> Bools:
    """Whether solid i, moved along ``way`` without end, meets solid j: shape (n, n), i down, j across.

    ``way`` is a unit vector in the piece's frame. Solids that only touch, within 1e-4 mm, do not meet.
    """
    count = len(solids)
    found = np.zeros((count, count), dtype=bool)
    lower, upper = facets(solids, across(way))
    one, two, shared = _near(lower, upper)
    # Pairs of solids that meet show it where their facets share most: those are looked at first.
    pair = lower.owner[one] * count + upper.owner[two]
    order = np.lexsort((-shared, pair))
    one, two, pair = one[order], two[order], pair[order]
    rank = np.arange(len(pair)) - np.searchsorted(pair, pair)
    looked, more = 0, FIRST
    flat = found.reshape(-1)
    while len(pair):
        now = rank < looked + more
        hit = _overtaken(lower.kept(one[now]), upper.kept(two[now]))
        flat[pair[now][hit]] = True
        left = ~now & ~flat[pair]
        one, two, pair, rank = one[left], two[left], pair[left], rank[left]
        looked, more = looked + more, 4 * more
    return found


def span(solids: Sequence[Solid], way: Vector) -> tuple[float, float]:
    """From where to where the solids reach along ``way``, a unit vector in the piece's frame, mm."""
    d = np.asarray(way)
    ends = [s.points @ d for s in solids]
    return min(float(e.min()) for e in ends), max(float(e.max()) for e in ends)


def _near(lower: Facets, upper: Facets) -> tuple[Numbers, Numbers, Array]:
    """Pairs of facets of two solids, the first perhaps below the second, and the area their boxes share."""
    tree = shapely.STRtree(shapely.box(*upper.box.T))
    one, two = tree.query(shapely.box(*lower.box.T))
    keep = (lower.owner[one] != upper.owner[two]) & (upper.high[two] - lower.low[one] > TOUCH)
    one, two = one[keep], two[keep]
    a, b = lower.box[one], upper.box[two]
    near, far = np.maximum(a[:, :2], b[:, :2]), np.minimum(a[:, 2:], b[:, 2:])
    wide = (far - near > TOUCH).all(axis=1)
    one, two, near, far = one[wide], two[wide], near[wide], far[wide]
    # Over the box that they share, depths are bounded by its corners.
    x, y = np.stack([near, far], axis=2).transpose(1, 0, 2)
    x, y = x[:, [0, 1, 1, 0]], y[:, [0, 0, 1, 1]]
    lowest = np.maximum(_depths(lower, one, x, y).min(axis=1), lower.low[one])
    highest = np.minimum(_depths(upper, two, x, y).max(axis=1), upper.high[two])
    below = highest - lowest > TOUCH
    return one[below], two[below], (far - near)[below].prod(axis=1)


def _depths(of: Facets, which: Numbers, x: Array, y: Array) -> Array:
    """The depths of some facets' planes at four places each."""
    plane = of.plane[which]
    found: Array = x * plane[:, :1] + y * plane[:, 1:2] + plane[:, 2:]
    return found


def _overtaken(a: Facets, b: Facets) -> Bools:
    """Where facets ``a`` lie below facets ``b`` somewhere in the shadow that they share."""
    shared = shapely.intersection(a.shape, b.shape)
    hit = np.zeros(len(shared), dtype=bool)
    (at,) = np.nonzero(2.0 * shapely.area(shared) > TOUCH * shapely.length(shared))
    points, of = shapely.get_coordinates(shared[at], return_index=True)
    x, y, one = (b.plane - a.plane)[at][of].T
    hit[at[of[points[:, 0] * x + points[:, 1] * y + one > TOUCH]]] = True
    return hit
