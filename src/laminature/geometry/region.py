"""A region of board: one outline and its openings, as exact curves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from laminature.errors import GeometryError
from laminature.geometry.flat import Array, Flat, flat
from laminature.geometry.outline_edges import edges
from laminature.geometry.path import Path, Point, circle, polyline


@dataclass(frozen=True)
class Region:
    """An outline and its openings, closed paths in mm in the part's own plane."""

    outline: Path
    openings: tuple[Path, ...] = ()

    @cached_property
    def flat(self) -> Flat:
        """The region as a polygon, curves flattened at 0.002 mm.

        Raises GeometryError where the outline crosses itself or an opening leaves it.
        """
        return flat(self.outline.flattened, [o.flattened for o in self.openings])

    @cached_property
    def edges(self) -> tuple[Array, Array]:
        """Starts and ends of all straight edges of ``flat``, openings too: two arrays (m, 2), mm."""
        return edges(self.flat)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least and greatest x and y, mm: (x0, y0, x1, y1)."""
        x0, y0, x1, y1 = self.flat.bounds
        return (x0, y0, x1, y1)


def box(x0: float, y0: float, x1: float, y1: float) -> Region:
    """An upright rectangle. Raises GeometryError unless x0 < x1 and y0 < y1."""
    if not (x0 < x1 and y0 < y1):
        raise GeometryError(f"a rectangle of {x1 - x0:g} × {y1 - y0:g} mm has no area")
    return Region(polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))


def disc(radius: float, centre: Point = (0.0, 0.0)) -> Region:
    """A round region. Raises GeometryError unless the radius is above zero."""
    if not radius > 0.0:
        raise GeometryError(f"a circle of radius {radius:g} mm has no area")
    return Region(circle(radius, centre))


def regular(sides: int, across_corners: float, turn: float = 0.0) -> Region:
    """A regular polygon about the origin.

    ``across_corners`` is the diameter of the circle through its corners, mm; ``turn``
    the direction of its first corner in degrees. Raises GeometryError for fewer than three sides.
    """
    if sides < 3:
        raise GeometryError(f"a polygon of {sides} sides is no outline")
    r = across_corners / 2.0
    at = [math.radians(turn + 360.0 * i / sides) for i in range(sides)]
    return Region(polyline([(r * math.cos(a), r * math.sin(a)) for a in at]))


def shape(points: Sequence[Point], openings: Sequence[Sequence[Point]] = ()) -> Region:
    """A region of straight edges."""
    return Region(polyline(points), tuple(polyline(o) for o in openings))
