"""Where a flat region is thinner, or an opening in it narrower, than a width.

A region is *opened*: shrunk by half the width and grown back. What does not come back is
thin, or it is the tip of a corner. A tip is told from a web by how it hangs on the rest: a
web is held at two or more places, a whole thin region at none; what is held at one place
only counts when it is a strip at least as long as the width that does not run to a point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from laminature.geometry.flat import Flat
from laminature.geometry.path import Point

#: Webs that fall short of the width by less than this are taken as sound, mm: it is the budget of
#: the flattened curves and of the coarse arcs used in shrinking and growing.
SLACK = 0.02
#: A strip fills this share of its length times its foot; a pointed tip at most a half.
STRIP = 0.62
#: Segments per quarter turn in shrinking and growing; their arcs err by 0.4 % of the radius.
ARC = 9


@dataclass(frozen=True)
class Thin:
    """A thin place: about ``width`` mm there, at ``point`` in the region's plane."""

    point: Point
    width: float


def thin_webs(shapes: Sequence[Flat], width: float) -> list[tuple[Thin, ...]]:
    """For each of ``shapes`` the webs thinner than ``width`` mm, thinnest first."""
    found: list[tuple[Thin, ...]] = [()] * len(shapes)
    if not shapes or not width > 2 * SLACK:
        return found
    radius = (width - SLACK) / 2
    plain = shapely.simplify(np.asarray(shapes, dtype=object), SLACK / 4)
    core = shapely.buffer(plain, -radius, quad_segs=ARC)
    # Grown a little further than it was shrunk, so that rounding leaves no film along the edges.
    back = shapely.buffer(core, radius + SLACK / 2, quad_segs=ARC)
    rest = shapely.difference(plain, back)
    parts, owner = shapely.get_parts(rest, return_index=True)
    # The tip of a square corner has (1 - pi/4) r², and most of what is left are such tips. Where
    # shrinking cut the region apart or opened a ring, the web itself may be smaller than that.
    severed = _wholeness(core) != _wholeness(plain)
    big = shapely.area(parts) > np.where(severed[owner], 0.01, 0.25) * radius * radius
    for n in np.union1d(owner[big], np.nonzero(severed)[0]):
        places = [_web(p, back[n], width) for p in parts[big & (owner == n)]]
        thin = [_measured(p, back[n], plain[n]) for p in places if p is not None]
        if severed[n] and not thin:
            thin = _necks(plain[n], core[n], width - SLACK)
        found[n] = tuple(sorted(thin, key=lambda t: (t.width, t.point)))
    return found


def _wholeness(regions: NDArray[np.object_]) -> NDArray[np.int64]:
    """Pieces less openings of each region: changes when a web is severed."""
    parts, owner = shapely.get_parts(regions, return_index=True)
    each = 1 - shapely.get_num_interior_rings(parts)
    return np.bincount(owner, weights=each, minlength=len(regions)).astype(np.int64)


def _web(part: Flat, back: Flat, width: float) -> Flat | None:
    """``part`` where it is a web, None where it is the tip of a corner."""
    held = shapely.line_merge(shapely.intersection(part.exterior, shapely.buffer(back, SLACK / 4)))
    seams = [line for line in shapely.get_parts(held) if line.length > SLACK]
    if len(seams) != 1:
        return part
    points = shapely.get_coordinates(part)
    length = float(shapely.distance(seams[0], shapely.points(points)).max())
    ends = shapely.get_coordinates(seams[0])[[0, -1]]
    foot = math.dist(*ends)
    if length < width or part.area < STRIP * length * foot:
        return None
    return part


def _necks(whole: Flat, core: BaseGeometry, width: float) -> list[Thin]:
    """Where two corners come so near that shrinking parts them, though growing back fills the gap again."""
    rings = [whole.exterior, *whole.interiors]
    near = [(a, b) for a, b in combinations(rings, 2) if a.distance(b) < width]
    near += list(combinations(shapely.get_parts(core), 2))
    found = []
    for a, b in near:
        (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(a, b))
        middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
        across = 2.0 * float(whole.boundary.distance(middle))
        if across < width and whole.contains(middle):
            found.append(Thin((float(middle.x), float(middle.y)), across))
    return found


def _measured(part: Flat, back: BaseGeometry, whole: Flat) -> Thin:
    """Where the web is thinnest, between its two sides; a strip that ends freely at its middle."""
    border = shapely.difference(part.boundary, shapely.buffer(back, SLACK / 4))
    sides = [line for line in shapely.get_parts(shapely.line_merge(border)) if line.length > SLACK]
    across = [shapely.shortest_line(a, b) for a, b in combinations(sides, 2)]
    centre = shapely.point_on_surface(part)
    for line in sorted(across, key=lambda found: found.length):
        middle = line.interpolate(0.5, normalized=True)
        if 2.0 * whole.boundary.distance(middle) > 0.8 * line.length > 0.0:
            # Where it is as thin half-way along, that is the better place to name.
            alike = shapely.dwithin(centre, whole.boundary, line.length / 2 + SLACK)
            at = centre if alike else middle
            return Thin((float(at.x), float(at.y)), float(line.length))
    x, y = shapely.get_coordinates(shapely.maximum_inscribed_circle(part, tolerance=0.005))[0]
    return Thin((float(x), float(y)), 2.0 * float(whole.boundary.distance(shapely.Point(x, y))))


def narrow_openings(shapes: Sequence[Flat], width: float) -> list[tuple[Thin, ...]]:
    """For each of ``shapes`` the openings that no circle ``width`` mm across fits into, narrowest first."""
    found: list[tuple[Thin, ...]] = [()] * len(shapes)
    array = np.asarray(shapes, dtype=object)
    counts = shapely.get_num_interior_rings(array) if len(shapes) else np.zeros(0, dtype=int)
    if not counts.sum() or not width > 2 * SLACK:
        return found
    owner = np.repeat(np.arange(len(shapes)), counts)
    holes = shapely.polygons(np.array([r for s in shapes for r in s.interiors], dtype=object))
    core = shapely.buffer(holes, -(width - SLACK) / 2, quad_segs=ARC)
    narrow = shapely.is_empty(core)
    for n in np.unique(owner[narrow]):
        thin = [_clear_width(hole) for hole in holes[narrow & (owner == n)]]
        found[n] = tuple(sorted(thin, key=lambda t: (t.width, t.point)))
    return found


def _clear_width(hole: Flat) -> Thin:
    line = shapely.get_coordinates(shapely.maximum_inscribed_circle(hole, tolerance=0.005))
    return Thin((float(line[0, 0]), float(line[0, 1])), 2.0 * math.dist(line[0], line[1]))
