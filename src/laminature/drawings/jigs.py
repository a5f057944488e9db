"""Jigs at true size, one drawing each, to be cut from offcuts or by hand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, flat, mapped
from laminature.geometry.lettering import text_width
from laminature.geometry.pose import cos_sin
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.jig import Corner, Jig
from laminature.model.words import Words

Array = NDArray[np.float64]
#: Cut off a corner's point, so that glue squeezed out of the joint is not caught, mm.
POINT = 3.0
#: Border, height of capitals, and height of a line, mm.
BORDER, LETTERS, LINE = 6.0, 2.6, 4.4


def jig_shape(jig: Jig) -> Flat:
    """What is cut for a jig, mm. A corner's first arm lies along x, its point is at the origin."""
    if not isinstance(jig, Corner):
        return jig.shape
    (c, s), (first, second) = cos_sin(jig.angle), jig.arms
    return flat([(POINT, 0.0), (first, 0.0), (second * c, second * s), (POINT * c, POINT * s)])


def jig_drawings(jigs: Sequence[Jig], words: Words) -> tuple[Drawing, ...]:
    """One drawing for each jig, with what it is for."""
    return tuple(_drawn(jig, words) for jig in jigs)


def _drawn(jig: Jig, words: Words) -> Drawing:
    shape = jig_shape(jig)
    steps = words.some("at_step", len(jig.steps), steps=", ".join(str(n) for n in jig.steps))
    if isinstance(jig, Corner):
        about = words.of("jig_corner_about", angle=f"{jig.angle:g}")
    else:
        about = words.of("jig_place_about", part=jig.letters[0], onto=jig.letters[1])
    title = words.of("jig", number=str(jig.number))
    lines = (f"{title}, {steps}", about)
    x0, y0, x1, y1 = shape.bounds
    width = max(x1 - x0, *(text_width(line, LETTERS) for line in lines)) + 2 * BORDER
    height = y1 - y0 + len(lines) * LINE + 2 * BORDER
    shift = (BORDER - x0, BORDER + len(lines) * LINE - y0)
    region = borders(mapped(shape, ((1.0, 0.0), (0.0, 1.0)), shift), ())
    strokes = [Stroke("outline", region.outline, f"jig-{jig.number}")]
    strokes += [Stroke("opening", o, f"jig-{jig.number}-{n}") for n, o in enumerate(region.openings, start=1)]
    texts = [
        Text(line, BORDER, BORDER + (len(lines) - 1 - n) * LINE, LETTERS) for n, line in enumerate(lines)
    ]
    return Drawing(f"jig-{jig.number}", width, height, tuple(strokes), tuple(texts), title)
