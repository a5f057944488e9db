"""The cloth as it is marked and cut: marks, folds, the panel's edge, the cut line, the size to buy.

From the outermost marks the cloth runs over the batting's shoulder to the panel's edge, round the panel's
thickness and under it. All of that is laid flat here, its middle the origin, the warp along y.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from laminature.errors import GeometryError
from laminature.geometry.fitting import borders
from laminature.geometry.flat import grown, pieces
from laminature.geometry.path import Point
from laminature.geometry.region import Region
from laminature.model.cushion import Buttoning, Cloth, Manner, Surface
from laminature.upholstery.folds import Use, corner_folds, edge_folds, pleats
from laminature.upholstery.heights import arc_lengths
from laminature.upholstery.marks import placed_marks, spread
from laminature.upholstery.rim import Rim, rim

Array = NDArray[np.float64]
#: Cloth bought beyond the cut line on each side, mm, and what sizes are rounded up to (no source).
SPARE, ROUND = 5.0, 5.0
#: How near the drawn edge and cut line keep to those found, mm; the cut line is that much farther out.
DRAWN = 0.05
#: Cloth that one dart takes up, mm, and how far it stays from the turn of the panel (no source).
DART, SHORT_OF = 3.0, 1.5
#: An edge that turns less than this between two corners needs no darts, degrees.
CURVED = 10.0


def solve_cloth(
    outline: Region,
    buttoning: Buttoning,
    surface: Surface,
    manner: Manner,
    wrap: float,
    turn_under: float,
    use: Use = "seat",
) -> Cloth:
    """The cloth for a panel of this ``outline``, mm.

    ``wrap`` is the thickness of board that the cloth goes round, ``turn_under`` what is glued to the back.
    ``use`` says which way pleats open. Raises GeometryError for a wrap or turn-under below zero.
    """
    if not (wrap >= 0.0 and turn_under >= 0.0):
        raise GeometryError(f"a wrap of {wrap:g} and a turn-under of {turn_under:g} mm cannot be cut")
    marks, lengths = placed_marks(buttoning, surface)
    seams = _seams(buttoning, surface)
    x0, y0, x1, y1 = outline.bounds
    anchors, anchored = _anchors(buttoning, marks, seams, ((x0 + x1) / 2, (y0 + y1) / 2))
    around = rim(outline, surface, anchors, anchored)
    x0, y0, x1, y1 = around.shape.bounds
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    marks, anchored, around = marks - middle, anchored - middle, around.moved(-middle)
    whole = pieces(grown(around.shape, wrap + turn_under + 2.0 * DRAWN))[0]
    x0, y0, x1, y1 = whole.bounds
    folds = (
        (*pleats(buttoning, marks, surface), *edge_folds(anchors, anchored, around))
        if manner == "deep" and buttoning.points
        else ()
    )
    return Cloth(
        marks=tuple(_point(m) for m in marks),
        edge=borders(around.shape, tolerance=DRAWN).outline,
        cut=borders(whole, tolerance=DRAWN).outline,
        folds=folds,
        corners=corner_folds(around, wrap + turn_under, use),
        buy=(_bought(x1 - x0), _bought(y1 - y0)),
        lengths=tuple(float(v) for v in lengths),
        seams=tuple((_point(a - middle), _point(b - middle)) for a, b in seams[1]),
        darts=_darts(around, wrap, turn_under),
    )


def _anchors(
    buttoning: Buttoning, marks: Array, seams: tuple[Array, Array], middle: Point
) -> tuple[Array, Array]:
    """Places of the panel whose places on the cloth are known: buttons, ends of seams, else the middle."""
    if len(marks):
        return np.array(buttoning.points), marks
    if len(seams[0]):
        return seams[0].reshape(-1, 2), seams[1].reshape(-1, 2)
    return np.array([middle]), np.array([middle])


def _seams(buttoning: Buttoning, surface: Surface) -> tuple[Array, Array]:
    """The seams on the panel, in order across, and on the flat cloth, both (n, 2, 2), mm.

    Two next seams are as far apart as the cloth is long from the middle of one to that of the other; each is
    as long as the cloth along it.
    """
    seams = np.array(buttoning.seams, dtype=float).reshape(-1, 2, 2)
    if not len(seams):
        return seams, seams
    along = seams[0, 1] - seams[0, 0]
    backwards = ((seams[:, 1] - seams[:, 0]) @ along) < 0.0
    seams = np.where(backwards[:, None, None], seams[:, ::-1], seams)
    middle = seams.mean(axis=1)
    seams = seams[np.argsort(middle @ np.array([-along[1], along[0]]), kind="stable")]
    middle = seams.mean(axis=1)
    ends = seams.reshape(-1, 2)
    number = np.arange(len(seams))
    own = np.column_stack([2 * number, 2 * number + 1])
    # Cloth from middle to middle over the way there holds for their ends too, staggered or not.
    gain = arc_lengths(surface, middle[:-1], middle[1:]) / np.hypot(*np.diff(middle, axis=0).T)
    pairs = [own]
    wanted = [arc_lengths(surface, seams[:, 0], seams[:, 1])]
    for side in (0, 1):
        step = ends[2 * number[1:] + side] - ends[2 * number[:-1] + side]
        pairs.append(np.column_stack([2 * number[:-1] + side, 2 * number[1:] + side]))
        wanted.append(gain * np.hypot(step[:, 0], step[:, 1]))
    return seams, spread(ends, np.concatenate(pairs), np.concatenate(wanted), True).reshape(-1, 2, 2)


def _darts(around: Rim, wrap: float, turn_under: float) -> tuple[tuple[Point, Point], ...]:
    """Slits through the turn-under where the edge is curved, and at corners that go inwards."""
    if turn_under < 2.0 * SHORT_OF:
        return ()
    reach, tip = wrap + turn_under, wrap + SHORT_OF
    out = around.outwards + np.roll(around.outwards, 1, axis=0)
    out /= np.maximum(np.hypot(out[:, 0], out[:, 1]), 1e-9)[:, None]
    bays = np.flatnonzero(around.corner & (around.turn < 0.0)).tolist()
    places = [(around.cloth[k], out[k]) for k in bays]
    corners = np.flatnonzero(around.corner).tolist()
    size = len(around.cloth)
    runs = [(a, (b - a) % size or size) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    for start, steps in runs or [(0, size)]:
        who = (start + np.arange(1 if runs else 0, steps)) % size
        passed = np.cumsum(np.abs(around.turn[who]))
        total = math.radians(float(passed[-1])) if len(passed) else 0.0
        count = math.ceil(total * reach / DART - 1e-9) if total > math.radians(CURVED) else 0
        if not runs:
            count += -count % 4
        at = (np.arange(count) + 0.5) / max(count, 1) * (passed[-1] if len(passed) else 0.0)
        for k in np.searchsorted(passed, at - 1e-9).tolist():
            places.append((around.cloth[who[k]], out[who[k]]))
    return tuple((_point(at + reach * way), _point(at + tip * way)) for at, way in places)


def _bought(size: float) -> float:
    return math.ceil((size + 2.0 * SPARE) / ROUND - 1e-9) * ROUND


def _point(p: Array) -> Point:
    return float(p[0]), float(p[1])
