"""A sheet under tension on a square grid: held along curves, pressed, borne by springs, tied by strings.

What is solved is the minimum of the energy

    ½ ∫ |∇w|² + ½ stiffness ∫ w² − load ∫ w + Σ ½ tension ∫ (dw/ds)² along strings

with w given along the outline (0), round discs and along lines. Curves cut the grid's edges wherever
they like: a node next to a curve sees the value held there at its true distance (the symmetric
scheme of Gibou, Fedkiw, Cheng, Kang, "A second-order-accurate symmetric discretization of the Poisson
equation on irregular domains", Journal of Computational Physics 176, 2002). So the matrix is symmetric and
positive, and the solution converges with the square of the cell.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import splu

from laminature.geometry.path import Point
from laminature.geometry.region import Region

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Value = Callable[[Array, Array], Array]
#: A curve nearer to a node than this share of a cell holds the node itself.
NEAR = 1e-6
#: A node nearer to the outline than this share of a cell lies on it.
ON = 1e-5
#: The four neighbours of a node, as steps in (row, column).
STEPS = ((0, 1), (0, -1), (1, 0), (-1, 0))


@dataclass(frozen=True)
class Sheet:
    """A square grid over an outline with the places where it is held.

    ``x`` and ``y`` are the columns' and rows' places, mm; ``inside`` says which nodes lie within the
    outline. For each of :data:`STEPS`, ``reach`` is the way to the first curve as a share of the cell
    (1 where there is none nearer) and ``held`` the value there; ``fixed`` are nodes that have a value (NaN
    elsewhere).
    """

    x: Array
    y: Array
    cell: float
    inside: Mask
    reach: Array
    held: Array
    fixed: Array

    @property
    def free(self) -> Mask:
        """The nodes whose value is sought."""
        return self.inside & np.isnan(self.fixed)


def sheet(outline: Region, cell: float) -> Sheet:
    """A grid of step ``cell`` mm over ``outline``, its middle a node, held at 0 along the outline."""
    x0, y0, x1, y1 = outline.bounds
    columns, rows = (int(np.ceil((b - a) / 2 / cell)) + 2 for a, b in ((x0, x1), (y0, y1)))
    x: Array = (x0 + x1) / 2 + cell * np.arange(-columns, columns + 1.0)
    y: Array = (y0 + y1) / 2 + cell * np.arange(-rows, rows + 1.0)
    shape = (len(y), len(x))
    reach, held = np.ones((4, *shape)), np.zeros((4, *shape))
    starts, ends = outline.edges
    row, at = _crossings(starts, ends, y, once=True)
    inside = _within(row, (at - x[0]) / cell, shape)
    row, at = _crossings(starts, ends, y)
    _cut(reach[0:2], held[0:2], row, (at - x[0]) / cell, np.zeros(len(at)))
    column, at = _crossings(starts[:, ::-1], ends[:, ::-1], x)
    _cut(
        np.swapaxes(reach[2:4], 1, 2),
        np.swapaxes(held[2:4], 1, 2),
        column,
        (at - y[0]) / cell,
        np.zeros(len(at)),
    )
    # A node on the outline itself is held there, on whichever side it was counted.
    inside &= reach.min(axis=0) > ON
    return Sheet(x, y, cell, inside, reach, held, np.full(shape, np.nan))


#: Nodes this near to a disc's border lie on it, mm: rounding decides nothing, and mirrored discs hold alike.
HAIR = 1e-9


def with_discs(on: Sheet, centres: Sequence[Point], radius: float, values: Sequence[float]) -> Sheet:
    """The same sheet held at ``values`` all over discs of ``radius`` mm."""
    reach, held, fixed = on.reach.copy(), on.held.copy(), on.fixed.copy()
    mesh_x, mesh_y = np.meshgrid(on.x, on.y)
    for centre, value in zip(centres, values, strict=True):
        for k, (lines, along) in enumerate(((on.y, on.x), (on.x, on.y))):
            across = lines - centre[1 - k]
            hit = np.flatnonzero(np.abs(across) < radius - HAIR)
            half = np.sqrt(radius**2 - across[hit] ** 2)
            pair = slice(2 * k, 2 * k + 2)
            cuts, values_there = reach[pair], held[pair]
            if k:
                cuts, values_there = np.swapaxes(cuts, 1, 2), np.swapaxes(values_there, 1, 2)
            for side, way in ((0, -1.0), (1, 1.0)):
                at = (centre[k] + way * half - along[0]) / on.cell
                _cut(cuts, values_there, hit, at, np.full(len(hit), value), side)
        i, j = (round((centre[k] - (on.x, on.y)[k][0]) / on.cell) for k in (0, 1))
        n = int(radius / on.cell) + 2
        window = (slice(max(j - n, 0), j + n + 1), slice(max(i - n, 0), i + n + 1))
        disc = np.hypot(mesh_x[window] - centre[0], mesh_y[window] - centre[1]) <= radius + HAIR
        fixed[window][disc] = value
    return Sheet(on.x, on.y, on.cell, on.inside, reach, held, fixed)


def with_lines(on: Sheet, lines: Sequence[tuple[Point, Point]], value: Value) -> Sheet:
    """The same sheet held along straight ``lines`` at ``value(x, y)``."""
    reach, held = on.reach.copy(), on.held.copy()
    starts, ends = np.array([a for a, _ in lines]), np.array([b for _, b in lines])
    row, at = _crossings(starts, ends, on.y)
    _cut(reach[0:2], held[0:2], row, (at - on.x[0]) / on.cell, value(at, on.y[row]))
    column, at = _crossings(starts[:, ::-1], ends[:, ::-1], on.x)
    _cut(
        np.swapaxes(reach[2:4], 1, 2),
        np.swapaxes(held[2:4], 1, 2),
        column,
        (at - on.y[0]) / on.cell,
        value(on.x[column], at),
    )
    return Sheet(on.x, on.y, on.cell, on.inside, reach, held, on.fixed)


def _crossings(
    starts: Array, ends: Array, lines: Array, once: bool = False
) -> tuple[NDArray[np.int64], Array]:
    """Where edges cross the level lines y = ``lines``: the number of the line and x there.

    Both ends belong to an edge; with ``once`` only the lower one does, so that corners are counted once.
    """
    level = starts[:, 1] == ends[:, 1]
    starts, ends = starts[~level], ends[~level]
    low, high = np.minimum(starts[:, 1], ends[:, 1]), np.maximum(starts[:, 1], ends[:, 1])
    first, last = (
        np.searchsorted(lines, low, "left"),
        np.searchsorted(lines, high, "left" if once else "right"),
    )
    count = last - first
    edge = np.repeat(np.arange(len(starts)), count)
    line = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + first[edge]
    a, b = starts[edge], ends[edge]
    share = (lines[line] - a[:, 1]) / (b[:, 1] - a[:, 1])
    return line, a[:, 0] + share * (b[:, 0] - a[:, 0])


def _within(row: NDArray[np.int64], at: Array, shape: tuple[int, int]) -> Mask:
    """Nodes with an odd number of crossings to their left."""
    passed = np.zeros(shape, dtype=np.int64)
    np.add.at(passed, (row, np.ceil(at).astype(np.int64)), 1)
    odd: Mask = np.cumsum(passed, axis=1) % 2 == 1
    return odd


def _cut(
    reach: Array, held: Array, row: NDArray[np.int64], at: Array, value: Array, side: int | None = None
) -> None:
    """Note cuts ``at`` places along rows, for the node before (side 0), after (1) or both, in place."""
    node = np.floor(at).astype(np.int64)
    ok = (node >= 0) & (node + 1 < reach.shape[2])
    node, row, at, value = node[ok], row[ok], at[ok], value[ok]
    for k, column, way in ((0, node, at - node), (1, node + 1, node + 1 - at)):
        if side in (None, k):
            # The farthest first, so that the nearest cut of an edge stays.
            order = np.argsort(-way, kind="stable")
            r, c, w = row[order], column[order], np.maximum(way[order], NEAR)
            nearer = w < reach[k, r, c]
            reach[k, r[nearer], c[nearer]] = w[nearer]
            held[k, r[nearer], c[nearer]] = value[order][nearer]


@dataclass(frozen=True)
class String:
    """A taut string sewn into the sheet along a straight line: ``tension`` over that of the sheet, mm.

    ``held`` are the values that its two ends are held at.
    """

    start: Point
    end: Point
    tension: float
    held: tuple[float, float]


def solve(on: Sheet, load: float = 0.0, stiffness: float = 0.0, strings: Sequence[String] = ()) -> Array:
    """The sheet's values at all nodes, 0 outside the outline.

    ``load`` and ``stiffness`` are those over the sheet's tension: −Δw + stiffness · w = load.
    """
    free, shape = on.free, on.inside.shape
    number = np.full(shape, -1, dtype=np.int64)
    count = int(free.sum())
    number[free] = np.arange(count)
    known = np.where(np.isnan(on.fixed) | ~on.inside, 0.0, on.fixed)
    if count == 0:
        return known
    diagonal = np.full(count, stiffness * on.cell**2)
    right = np.full(count, load * on.cell**2)
    rows, columns = [], []
    inner = np.argwhere(free)
    for k, (down, across) in enumerate(STEPS):
        r, c = inner[:, 0] + down, inner[:, 1] + across
        reach, held = on.reach[k][free], on.held[k][free]
        joined = (reach == 1.0) & on.inside[r, c]
        diagonal += 1.0 / reach
        right += np.where(joined, known[r, c], held / reach)
        linked = np.flatnonzero(joined & (number[r, c] >= 0))
        rows.append(linked)
        columns.append(number[r[linked], c[linked]])
    row, column = np.concatenate(rows), np.concatenate(columns)
    matrix = sparse.csc_matrix((np.full(len(row), -1.0), (row, column)), shape=(count, count))
    matrix = matrix + sparse.diags(diagonal)
    if strings:
        tied, pull = _tied(on, strings, number, known)
        matrix, right = matrix + tied, right + pull
    factor = splu(
        sparse.csc_matrix(matrix),
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )
    known[free] = factor.solve(right)
    return known


def _tied(
    on: Sheet, strings: Sequence[String], number: NDArray[np.int64], known: Array
) -> tuple[sparse.spmatrix, Array]:
    """What strings add to the matrix and to the right-hand side."""
    points, ends, weights = [], [], []
    for string in strings:
        length = float(np.hypot(string.end[0] - string.start[0], string.end[1] - string.start[1]))
        n = max(2, int(np.ceil(length / on.cell)))
        share = np.linspace(0.0, 1.0, n + 1)[:, None]
        points.append(np.array(string.start) * (1 - share) + np.array(string.end) * share)
        # The sheet is read between the ends; these are known better than the grid around them knows.
        ends.append(np.array([string.held[0], *[np.nan] * (n - 1), string.held[1]]))
        # Over the joint between two strings lies no string.
        weights.append(np.array([*[np.sqrt(string.tension / (length / n))] * n, 0.0]))
    end, weight = np.concatenate(ends), sparse.diags(np.concatenate(weights)[:-1])
    read = sparse.diags(np.isnan(end).astype(float)) @ _blend(on, np.concatenate(points))
    given = np.nan_to_num(end)
    step = sparse.csr_matrix(weight @ (read[1:] - read[:-1]))
    pull = weight @ (given[1:] - given[:-1])
    free = number.ravel() >= 0
    mine, others = step[:, free], step[:, ~free]
    return mine.T @ mine, -np.asarray(mine.T @ (others @ known.ravel()[~free] + pull))


def _blend(on: Sheet, points: Array) -> sparse.csr_matrix:
    """The matrix that reads the sheet at ``points``, bilinear between nodes."""
    s, t = (points[:, 0] - on.x[0]) / on.cell, (points[:, 1] - on.y[0]) / on.cell
    i = np.clip(np.floor(s).astype(np.int64), 0, len(on.x) - 2)
    j = np.clip(np.floor(t).astype(np.int64), 0, len(on.y) - 2)
    u, v = s - i, t - j
    who = np.arange(len(points))
    wide = len(on.x)
    parts = [((1 - u) * (1 - v), 0, 0), (u * (1 - v), 1, 0), ((1 - u) * v, 0, 1), (u * v, 1, 1)]
    return sparse.csr_matrix(
        (
            np.concatenate([p for p, _, _ in parts]),
            (np.tile(who, 4), np.concatenate([(j + b) * wide + i + a for _, a, b in parts])),
        ),
        shape=(len(points), on.inside.size),
    )
