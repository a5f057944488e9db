"""Letters in circles round a drawing, each with a leader into what it names."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.hidden import Patch, Seen
from laminature.drawings.page import Page
from laminature.geometry.around import assigned, free_beside, places, target
from laminature.geometry.flat import Flat, Flats, Shape, minus, pieces
from laminature.geometry.path import circle, polyline
from laminature.geometry.region import Region
from laminature.model.drawing import Fill, Text

Array = NDArray[np.float64]

#: Height of capitals in circles, the circles' radius, and how far their middles stand from the figure, mm.
LETTERS = 2.4
RADIUS = 2.9
AWAY = 6.5
#: Air between a circle and the figure, mm.
CLEAR = 1.6
#: Circles are at least this far from each other, middle to middle, mm.
STEP = 7.5
#: Room that circles need on every side of a figure, mm.
BORDER = AWAY + RADIUS + 1.0
#: Leaders end in a dot of this radius, mm, within what they name (ISO 128-2, leader lines).
DOT = 0.45


def label(
    page: Page, seen: Seen, names: Mapping[str, Sequence[Patch]], points: Array, taken: Sequence[Shape] = ()
) -> None:
    """Put each label beside the figure with ``points`` (n, 2, in the plane of view), its leader into a patch.

    ``taken`` is where no label may stand, besides the figure. What is not seen gets none. Leaders never
    cross each other.
    """
    scale = page.factor
    figure = [*(p.area for p in seen.patches), seen.ways, *taken]
    free = free_beside(figure, points, (RADIUS + CLEAR) / scale, AWAY / scale)
    # A millimetre and a half of board on the page is enough for a dot to be read.
    least = (0.5 / scale) ** 2
    bare = {text: [a for p in mine for a in _minus(p.area, taken, least)] for text, mine in names.items()}
    areas = {text: found for text, found in bare.items() if found}
    ends = np.array([target(found, free, 1.5 / scale) for found in areas.values()]).reshape(-1, 2)
    if not areas:
        return
    step = STEP / scale
    spots = places(free, step)
    while len(spots) < len(ends):
        step *= 0.8
        spots = places(free, step)
    for text, end, spot in zip(areas, ends, assigned(ends, spots, RADIUS / scale), strict=True):
        balloon(page, text, page.at(spots[spot]), page.at(end))


def _minus(area: Flat, taken: Sequence[Shape], least: float) -> Flats:
    for one in taken:
        return tuple(p for part in pieces(minus(area, one), least) for p in _minus(part, taken[1:], least))
    return (area,)


def balloon(page: Page, text: str, at: tuple[float, float], end: tuple[float, float]) -> None:
    """One circle with its letter, and a leader to ``end``."""
    size = LETTERS if len(text) < 3 else LETTERS * 2.0 / len(text)
    page.stroke("dimension", circle(RADIUS, at))
    page.texts.append(Text(text, at[0], at[1] - size / 2.0, size, "middle"))
    long = math.dist(at, end)
    start = tuple(a + (e - a) * RADIUS / long for a, e in zip(at, end, strict=True))
    page.stroke("dimension", polyline([(start[0], start[1]), end], closed=False))
    page.fills.append(Fill(Region(circle(DOT, end)), "ink", over=True))
