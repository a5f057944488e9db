"""Sewing the buttons on: their order, the thread, and where to begin with a new length of it.

Each button takes the thread twice through panel and crown (trade rule: twice the depth, from memory)
and a knot about its washer; between buttons the thread runs along the back. Every length of thread
has a tail of 120 mm at its beginning and its end, to hold and to thread (from memory). A
needleful is no longer than is comfortable to draw through.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from laminature.geometry.path import Point
from laminature.model.cushion import Buttoning, Stitching
from laminature.upholstery.order import sewing_order, travel
from laminature.upholstery.seams import seam_stitches

#: A tail at either end of a thread, mm (from memory).
TAIL = 120.0
#: Thread in the knot about a washer, mm (common practice, no source).
KNOT = 10.0
#: The longest thread that is comfortable to sew with at this size, mm (common practice, no source).
NEEDLEFUL = 450.0


def make_stitching(
    buttoning: Buttoning,
    bead: float,
    depth: float,
    *,
    longest: float = NEEDLEFUL,
    tail: float = TAIL,
    knot: float = KNOT,
) -> Stitching:
    """Order and thread of a cushion's buttons; ``depth`` is panel and crown together, mm.

    For channels the order holds the numbers of the seams, from the middle outwards, and every seam has its
    own thread, however long.
    """
    if buttoning.seams:
        return _seams(buttoning, depth, tail, knot)
    order = sewing_order(buttoning.points, buttoning.rings)
    ways = [math.dist(buttoning.points[a], buttoning.points[b]) for a, b in itertools.pairwise(order)]
    each = [2.0 * depth + knot] * len(order)
    return Stitching(
        order=order,
        needlefuls=needlefuls(each, ways, longest, 2.0 * tail),
        bead=bead,
        travel=travel(buttoning.points, order),
    )


def needlefuls(
    each: Sequence[float], ways: Sequence[float], longest: float, tails: float
) -> tuple[tuple[int, int, float], ...]:
    """Runs of stops that one length of thread serves: ``(first, after last, length)``.

    ``each`` is the thread that every stop takes, ``ways`` the thread between a stop and the next, and
    ``tails`` what every length has besides, mm. No length is longer than ``longest``, but for a
    single stop that takes more alone. Of all ways to part them this has the fewest lengths, then
    the least thread: it restarts where the way is long.
    """
    n = len(each)
    best: list[tuple[int, float]] = [(0, 0.0)]
    came: list[int] = [0]
    for end in range(1, n + 1):
        found: tuple[int, float] | None = None
        start_of = end - 1
        length = tails
        for start in range(end - 1, -1, -1):
            length += each[start] + (ways[start] if start < end - 1 else 0.0)
            if length > longest and start < end - 1:
                break
            lengths, thread = best[start]
            made = (lengths + 1, thread + length)
            if found is None or made < (found[0], found[1] - 1e-9):
                found, start_of = made, start
        best.append(found if found is not None else (0, 0.0))
        came.append(start_of)
    parts: list[tuple[int, int, float]] = []
    end = n
    while end > 0:
        start = came[end]
        length = tails + sum(each[start:end]) + sum(ways[start : end - 1])
        parts.append((start, end, length))
        end = start
    return tuple(reversed(parts))


def _seams(buttoning: Buttoning, depth: float, tail: float, knot: float) -> Stitching:
    """Seams one after the other from the middle outwards, each with its own thread."""
    middles = [((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in buttoning.seams]
    centre = (sum(x for x, _ in middles) / len(middles), sum(y for _, y in middles) / len(middles))
    order = sorted(range(len(middles)), key=lambda k: (round(math.dist(middles[k], centre), 4), middles[k]))
    each = [_seam_thread(seam_stitches(buttoning.seams[k]), depth, knot) for k in order]
    return Stitching(
        order=tuple(order),
        needlefuls=tuple((k, k + 1, length + 2.0 * tail) for k, length in enumerate(each)),
        bead=0.0,
        travel=0.0,
    )


def _seam_thread(stitches: Sequence[Point], depth: float, knot: float) -> float:
    """Running stitches: through the cushion at every place, along it between, a knot at both ends."""
    return len(stitches) * depth + sum(math.dist(a, b) for a, b in itertools.pairwise(stitches)) + 2 * knot
