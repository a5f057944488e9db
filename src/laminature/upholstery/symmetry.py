"""How an outline may be mirrored and turned without changing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from laminature.geometry.flat import Flat, mapped
from laminature.geometry.path import Point

#: Two outlines are the same where they stand off each other by less than this on average, mm.
SAME = 0.005
#: A turn by less than a twelfth is not looked for; what has them all is round.
MOST_TURNS = 12


@dataclass(frozen=True)
class Symmetry:
    """``sides``: mirroring left to right changes nothing; ``ends``: nor front to back.

    ``turns`` is how many times the outline comes to lie on itself in a whole turn about ``centre``:
    1 for none, 0 for a circle. ``middle`` is the crossing of the centre lines, ``centre`` the centroid.
    """

    middle: Point
    centre: Point
    sides: bool
    ends: bool
    turns: int


def symmetry(shape: Flat) -> Symmetry:
    """The symmetry of a region about its upright and level centre lines and about its centroid."""
    x0, y0, x1, y1 = shape.bounds
    middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    centre = (float(shape.centroid.x), float(shape.centroid.y))
    sides = _same(shape, mapped(shape, ((-1.0, 0.0), (0.0, 1.0)), (2.0 * middle[0], 0.0)))
    ends = _same(shape, mapped(shape, ((1.0, 0.0), (0.0, -1.0)), (0.0, 2.0 * middle[1])))
    if sides:
        centre = (middle[0], centre[1])
    if ends:
        centre = (centre[0], middle[1])
    return Symmetry(middle, centre, sides, ends, _turns(shape, centre))


def _turns(shape: Flat, centre: Point) -> int:
    radius = max(math.dist(p, centre) for p in shape.exterior.coords)
    if not shape.interiors and math.pi * radius * radius - shape.area < SAME * math.tau * radius:
        return 0
    found = 1
    for n in range(2, MOST_TURNS + 1):
        c, s = math.cos(math.tau / n), math.sin(math.tau / n)
        shift = (centre[0] - c * centre[0] + s * centre[1], centre[1] - s * centre[0] - c * centre[1])
        if _same(shape, mapped(shape, ((c, -s), (s, c)), shift)):
            found = n
    return found


def _same(one: Flat, other: Flat) -> bool:
    return float(one.symmetric_difference(other).area) < SAME * float(one.length)
