"""Shapes slid to the left, each as far as the exact gap allows.

A search in single precision needs a little air around each shape, and finds a row that fits exactly only
where it has some to spare. What it spared is taken out here, in double precision: a row that fits
exactly then does, and one that does not still sticks out.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from laminature.geometry.flat import Flat
from laminature.geometry.nearness import clear_of
from laminature.sheets.shapes import shifted

#: Slides are found to this, mm.
FINEST = 1e-9
#: After a slide others may have room again: so often all are looked at.
SWEEPS = 3


def slid_left(flats: Sequence[Flat], width: float, gap: float) -> list[float]:
    """By how much each shape moves in x, mm, so that all lie between 0 and ``width`` if that can be.

    Nothing moves where all do already. ``gap`` mm are kept; shapes nearer than that stay where they are.
    """
    bounds = np.asarray([f.bounds for f in flats])
    start = max(0.0, -float(bounds[:, 0].min()))
    over = float(bounds[:, 2].max()) + start - width
    if start == 0.0 and over <= 0.0:
        return [0.0] * len(flats)
    moved = [shifted(f, start, 0.0) for f in flats]
    bounds[:, (0, 2)] += start
    by = np.full(len(flats), start)
    for _ in range(SWEEPS):
        for k in np.argsort(bounds[:, 0], kind="stable"):
            most = min(over, float(bounds[k, 0]))
            x0, y0, x1, y1 = bounds[k]
            near = (bounds[:, 0] < x1 + gap) & (bounds[:, 2] > x0 - most - gap)
            near &= (bounds[:, 1] < y1 + gap) & (bounds[:, 3] > y0 - gap)
            near[k] = False
            slide = _free(moved[k], [moved[n] for n in np.nonzero(near)[0]], most, gap)
            moved[k] = shifted(moved[k], -slide, 0.0)
            bounds[k, (0, 2)] -= slide
            by[k] -= slide
        if float(bounds[:, 2].max()) <= width:
            break
    return [float(v) for v in by]


def _free(flat: Flat, near: Sequence[Flat], most: float, gap: float) -> float:
    """How far ``flat`` can be slid to the left beside these, at most ``most``, mm."""
    kept, tried = 0.0, most
    while most - kept > FINEST:
        if clear_of(shifted(flat, -tried, 0.0), near, gap):
            kept = tried
        else:
            most = tried
        tried = (kept + most) / 2.0
    return kept
