"""Arrows along the way that a part moves in."""

from __future__ import annotations

import math

from laminature.drawings.page import Page
from laminature.geometry.flat import Flat, grown, pieces
from laminature.geometry.path import Point, polyline
from laminature.geometry.region import Region, shape
from laminature.model.drawing import Fill

#: Half the widths of an arrow's shaft and head, and the head's length, mm on the page.
SHAFT, HEAD, TIP = 0.8, 2.1, 3.4
#: Bare paper round it, mm.
HALO = 0.6


def arrow(page: Page, start: Point, end: Point) -> None:
    """A broad arrow on the page from ``start`` to ``end``, over all lines, with bare paper round it."""
    long = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    tip = min(TIP, long)

    def at(along: float, across: float) -> Point:
        return (start[0] + along * ux - across * uy, start[1] + along * uy + across * ux)

    corners = [(0.0, SHAFT), (0.0, -SHAFT), (long - tip, -SHAFT), (long - tip, -HEAD), (long, 0.0)]
    corners += [(long - tip, HEAD), (long - tip, SHAFT)]
    made = shape([at(*c) for c in corners])
    for flat in pieces(grown(made.flat, HALO, 0.05, "round")):
        page.fills.append(Fill(_region(flat), "paper", over=True))
    page.fills.append(Fill(made, "arrow", over=True))


def _region(flat: Flat) -> Region:
    return Region(polyline(flat.exterior.coords[:-1]))
