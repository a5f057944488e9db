"""The panel against the knots: wide holes over them, so that the cushion does not rock."""

from __future__ import annotations

import math
from collections.abc import Sequence

from laminature.geometry.fitting import borders
from laminature.geometry.flat import CRUMB, Flat, grown, pieces, union
from laminature.geometry.nearness import too_close
from laminature.geometry.path import Path, Point
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region, disc
from laminature.geometry.thinness import thin_webs
from laminature.model.finding import Finding
from laminature.units import in_mm

#: Hole over a knot and its washer, diameter, mm (common practice, no source).
RELIEF = 4.0


def relief_panel(
    board: Region, knots: Sequence[Point], web: float, name: str
) -> tuple[Region, tuple[Finding, ...]]:
    """The board with a hole over each knot; ``web`` is the thinnest that the cutter leaves whole, mm.

    Holes with less than that between them run into one. A rim as wide always stays, and what lies
    within a ring of holes drops out with them.
    """
    if not knots:
        return board, ()
    circles = [disc(RELIEF / 2.0, p) for p in knots]
    rim = grown(board.flat, -web, corners="round")
    holes = [hole for shape in _run_together(knots, circles, web) for hole in pieces(shape.intersection(rim))]
    openings = [_border(Flat(hole.exterior), circles) for hole in sorted(holes, key=lambda h: h.bounds)]
    relief = Region(board.outline, (*board.openings, *openings))
    thin = thin_webs([relief.flat], web)[0]
    if not thin:
        return relief, ()
    said = f"The holes over the knots in the relief panel of {name} leave a web of {in_mm(thin[0].width)}."
    remedy = "Space the buttons wider, or file the knots flat and take a plain panel."
    return relief, (Finding("relief-web-weak", "care", said, remedy, name, point=(*thin[0].point, 0.0)),)


def _run_together(knots: Sequence[Point], circles: Sequence[Region], web: float) -> list[Flat]:
    """The holes, with a slot between the nearest knots of any two that would leave too weak a web."""
    groups = [([k], c.flat) for k, c in enumerate(circles)]
    while close := too_close([shape for _, shape in groups], web):
        owner = list(range(len(groups)))
        slots: list[list[Flat]] = [[shape] for _, shape in groups]
        for a, b, _ in close:
            i, j = min(
                ((i, j) for i in groups[a][0] for j in groups[b][0]),
                key=lambda pair: math.dist(knots[pair[0]], knots[pair[1]]),
            )
            slots[a].append(union([circles[i].flat, circles[j].flat]).convex_hull)
            one, other = sorted((owner[a], owner[b]))
            owner = [one if o == other else o for o in owner]
        groups = [
            (
                [i for g in members for i in groups[g][0]],
                Flat(pieces(union(s for g in members for s in slots[g]))[0].exterior),
            )
            for members in ([g for g, o in enumerate(owner) if o == first] for first in sorted(set(owner)))
        ]
    return [shape for _, shape in groups]


def _border(hole: Flat, circles: Sequence[Region]) -> Path:
    """The border of a hole, the circles it is made of exact again."""
    near = [c for c in circles if _meet(c.bounds, hole.bounds)]
    if len(near) == 1 and abs(float(hole.area) - float(near[0].flat.area)) < CRUMB:
        return near[0].outline
    return borders(hole, [Parallel(c) for c in near]).outline


def _meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
