"""Buttons on a lattice: diamonds, squares, or a single row, laid out from the centre lines outwards.

The field, the outline without its margin, is shared into whole diamonds (or squares) so that their
size comes nearest to the one wanted. A lattice that fills the bounds of a round or many-sided
field may leave its border bare in places, so there lattices that do not fill the bounds are tried as
well, and all are weighed by

    ln²(width got / wanted) + ln²(height got / wanted) + BARE · mean of max(0, d - 1/2)²

where d is the distance from a place on the field's border to its nearest button, in spacings: where
the border carries buttons it is at most 1/2. On a seat that is wider at the front than at the back (or the
other way round) the lattice fans out with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from laminature.geometry.flat import Shape, border_points, chords, grown
from laminature.geometry.path import Array, Point
from laminature.upholstery.layout import (
    MOST_BUTTONS,
    ON_BORDER,
    Layout,
    counts_near,
    inside,
    nearest_count,
    too_many,
)
from laminature.upholstery.symmetry import Symmetry

#: How much a bare place on the border weighs against a spacing that is off.
BARE = 5.0
#: A field that takes less of its bounds than this is no rectangle, even with its corners rounded.
FULL = 0.9
#: Sizes tried, as shares of the wanted one, where the field is no rectangle.
SIZES = (0.85, 0.9, 0.95, 1.0, 1.05, 1.1, 1.15)
#: Widths of a field that tapers evenly differ by less than this from those of a trapezium, as a share.
EVEN = 0.01
#: More than this the field's sides do not lean, as a share of its width to either side.
TAPER = 0.4
#: No more places on the border than this are looked at.
MOST_PLACES = 240


@dataclass(frozen=True)
class _Grid:
    """Columns 0 to ``m`` and rows 0 to ``n``, their steps, and how far the whole is moved up, mm.

    On every other place, those with an even sum of column and row where ``parity`` is 0, with an
    odd one where it is 1; on all places where it is None.
    """

    m: int
    n: int
    steps: tuple[float, float]
    parity: int | None = None
    up: float = 0.0

    @property
    def spacing(self) -> tuple[float, float]:
        """The size of a diamond or a square."""
        by = 1.0 if self.parity is None else 2.0
        return (by * self.steps[0], by * self.steps[1])


def diamonds(
    field: Shape, outline: Symmetry, wanted: tuple[float, float], rows: int | None, columns: int | None
) -> Layout:
    """Diamonds of about ``wanted`` mm (across, up) in the field.

    Every second place of a lattice of half diamonds holds a button, so that rows stand half a step off
    their neighbours. ``rows`` counts rows of buttons, ``columns`` the buttons of the fuller rows.
    """
    width, height = _frame(field, outline).size
    m0 = None if columns is None else 2 * (columns - 1)
    n0 = None if rows is None else rows - 1
    half = (wanted[0] / 2.0, wanted[1] / 2.0)
    grids: list[_Grid] = []
    for m in _counts(m0, width / half[0], outline.sides):
        for n in _counts(n0, height / half[1], outline.ends):
            if m == 0 or n == 0:
                straight = _Grid(m // 2, n if m0 == 0 and n0 is not None else n // 2, (0.0, 0.0))
                grids.append(_fitted(straight, width, height, wanted))
            else:
                grids += [_fitted(_Grid(m, n, (0, 0), parity), width, height, half) for parity in (0, 1)]
    if m0 is None and n0 is None:
        grids += _loose(field, outline, half, (0, 1))
    return _best(field, outline, wanted, grids)


def squares(
    field: Shape, outline: Symmetry, wanted: tuple[float, float], rows: int | None, columns: int | None
) -> Layout:
    """Rows and columns of buttons about ``wanted`` mm apart (across, up) in the field."""
    width, height = _frame(field, outline).size
    m0 = None if columns is None else columns - 1
    n0 = None if rows is None else rows - 1
    grids = [
        _fitted(_Grid(m, n, (0.0, 0.0)), width, height, wanted)
        for m in _counts(m0, width / wanted[0], False)
        for n in _counts(n0, height / wanted[1], False)
    ]
    if m0 is None and n0 is None:
        grids += _loose(field, outline, wanted, (None,))
    return _best(field, outline, wanted, grids)


def single_row(field: Shape, outline: Symmetry, wanted: tuple[float, float], count: int | None) -> Layout:
    """One row of buttons on the centre line along the longer side of the field."""
    x0, y0, x1, y1 = field.bounds
    along = 1 if y1 - y0 > x1 - x0 else 0
    cx, cy = outline.middle
    ends = ((cx, y0 - 1.0), (cx, y1 + 1.0)) if along else ((x0 - 1.0, cy), (x1 + 1.0, cy))
    lines = chords(field, *ends)
    if not lines:
        return Layout(np.zeros((0, 2)), (), wanted)
    start, end = max(lines, key=lambda line: (math.dist(*line), -abs(line[0][along])))
    length = math.dist(start, end)
    least = 0 if length < 0.75 * wanted[along] else 1
    steps = nearest_count(length / wanted[along]) if count is None else count - 1
    steps = 0 if count is None and least == 0 else steps
    if steps > MOST_BUTTONS:
        raise too_many()
    shares = (np.arange(steps + 1) / steps if steps else np.array([0.5]))[:, None]
    points = np.array(start) * (1.0 - shares) + np.array(end) * shares
    got = list(wanted)
    got[along] = length / steps if steps else wanted[along]
    return Layout(points, tuple((k, k + 1) for k in range(steps)), (got[0], got[1]))


@dataclass(frozen=True)
class _Frame:
    """Where a lattice lies: its middle, its size (that half-way up), and how much wider it is at the top.

    At the top a tapering lattice is 1 + ``taper`` times as wide as half-way, at the bottom 1 - ``taper``.
    """

    middle: Point
    size: tuple[float, float]
    taper: float = 0.0


def _frame(field: Shape, outline: Symmetry) -> _Frame:
    x0, y0, x1, y1 = field.bounds
    # A flattened curve is not quite symmetric: what is the same on both sides counts.
    cx = outline.middle[0] if outline.sides else (x0 + x1) / 2.0
    cy = outline.middle[1] if outline.ends else (y0 + y1) / 2.0
    width, height = 2.0 * min(cx - x0, x1 - cx), 2.0 * min(cy - y0, y1 - cy)
    widths = [_width(field, cy + share * height) for share in (-0.3, 0.0, 0.3)]
    if outline.sides and not outline.ends and min(widths) > 0.0:
        lower, middle, upper = widths
        taper = (upper - lower) / 0.6 / 2.0 / middle
        even = abs(lower + upper - 2.0 * middle) < EVEN * middle
        if even and 1e-3 < abs(taper) < TAPER and field.area > FULL * middle * height:
            return _Frame((cx, cy), (middle, height), taper)
    return _Frame((cx, cy), (width, height))


def _width(field: Shape, y: float) -> float:
    """How wide the field is at a height, where it is in one piece there; else 0."""
    x0, _, x1, _ = field.bounds
    found = chords(field, (x0 - 1.0, y), (x1 + 1.0, y))
    return math.dist(*found[0]) if len(found) == 1 else 0.0


def _counts(given: int | None, wanted: float, even: bool) -> list[int]:
    return counts_near(wanted, even=even) if given is None else [given]


def _fitted(grid: _Grid, width: float, height: float, steps: tuple[float, float]) -> _Grid:
    """The grid with steps that fill the field; a direction with no step keeps the one wanted."""
    across = width / grid.m if grid.m else steps[0]
    up = height / grid.n if grid.n else steps[1]
    return _Grid(grid.m, grid.n, (across, up), grid.parity)


def _loose(
    field: Shape, outline: Symmetry, steps: tuple[float, float], parities: tuple[int | None, ...]
) -> Iterator[_Grid]:
    """Grids that need not fill the bounds, for a field that does not fill them either."""
    width, height = _frame(field, outline).size
    if field.area > FULL * width * height:
        return
    for size in SIZES:
        sx, sy = steps[0] * size, steps[1] * size
        for parity in parities:
            for m in _most(width / sx, parity is not None and outline.sides):
                for n in _most(height / sy, parity is not None and outline.ends):
                    spare = (height - n * sy) / 2.0
                    for up in (0.0,) if outline.ends else (0.0, -spare, spare):
                        yield _Grid(m, n, (sx, sy), parity, up)


def _most(steps: float, even: bool) -> list[int]:
    m = math.floor(steps + 1e-9)
    if even:
        return [m - m % 2]
    return [m, m - 1] if m > 0 else [m]


def _best(field: Shape, outline: Symmetry, wanted: tuple[float, float], grids: list[_Grid]) -> Layout:
    border = border_points(field, 0.25 * min(wanted))
    border = border[:: len(border) // MOST_PLACES + 1]
    roomy, frame = grown(field, ON_BORDER), _frame(field, outline)
    best, least = Layout(np.zeros((0, 2)), (), wanted), math.inf
    for grid in grids:
        if not min(grid.spacing) > 0.0 or grid.m * grid.n > 4 * MOST_BUTTONS:
            continue
        made = _placed(grid, frame, roomy, outline)
        if len(made.points) == 0:
            continue
        weight = round(_weight(grid, made.points, border, wanted), 9)
        if weight < least:
            best, least = made, weight
    if least == math.inf and grids and all(g.m * g.n > 4 * MOST_BUTTONS for g in grids):
        raise too_many()
    if len(best.points) > MOST_BUTTONS:
        raise too_many()
    return best


def _placed(grid: _Grid, frame: _Frame, roomy: Shape, outline: Symmetry) -> Layout:
    i, j = (a.ravel() for a in np.meshgrid(np.arange(grid.m + 1), np.arange(grid.n + 1)))
    if grid.parity is not None:
        kept = (i + j) % 2 == grid.parity
        i, j = i[kept], j[kept]
    across = (i - grid.m / 2.0) * grid.steps[0]
    up = (j - grid.n / 2.0) * grid.steps[1] + grid.up
    across = across * (1.0 + frame.taper * 2.0 * up / frame.size[1])
    points = np.column_stack([frame.middle[0] + across, frame.middle[1] + up])
    held = inside(roomy, points, outline)
    at = {(int(a), int(b)): k for k, (a, b) in enumerate(zip(i[held], j[held], strict=True))}
    ways = ((1, 0), (0, 1)) if grid.parity is None else ((-1, 1), (1, 1))
    links = tuple((k, at[a + u, b + v]) for (a, b), k in at.items() for u, v in ways if (a + u, b + v) in at)
    return Layout(points[held], links, grid.spacing)


def _weight(grid: _Grid, points: Array, border: Array, wanted: tuple[float, float]) -> float:
    got = np.array(grid.spacing)
    apart = (border[:, None, :] - points[None, :, :]) / got
    away = np.sqrt(np.min(np.sum(apart * apart, axis=2), axis=1))
    bare = float(np.mean(np.maximum(0.0, away - 0.5) ** 2))
    off = sum(math.log(g / w) ** 2 for g, w in zip(grid.spacing, wanted, strict=True))
    return off + BARE * bare
