"""Where the buttons go on the flat cloth: as far apart as the cloth is long between them.

The cloth runs up from one button, over the batting and down to the next, so marks on it lie wider
than the holes of the guide. A crown is no flat thing: the lengths asked for seldom agree
exactly, and the marks meet them as well as can be (least squares, all lengths counting the same).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import splu

from laminature.model.cushion import Buttoning, Surface
from laminature.upholstery.heights import arc_lengths

Array = NDArray[np.float64]
Pairs = NDArray[np.int64]
#: Buttons nearer to a common line than this stand in one row or column, mm.
IN_LINE = 1e-4
#: How little the marks cling to an evenly stretched guide where no length says otherwise.
CLING = 1e-3
#: Steps of the least squares; each about squares the error that is left.
STEPS = 12


def cloth_bounds(spacing: float, depth: float) -> tuple[float, float]:
    """Least and most cloth between two buttons ``spacing`` apart and ``depth`` below the crown, any one unit.

    The least is a tent's two slopes, the most goes straight up, across and straight down: trade
    rules lie between them.
    """
    return 2.0 * math.hypot(spacing / 2.0, depth), spacing + 2.0 * depth


def spans(buttoning: Buttoning) -> Pairs:
    """Pairs of next buttons along rows and along columns, across the pillows, (n, 2)."""
    points = np.array(buttoning.points).reshape(-1, 2)
    found: list[tuple[int, int]] = []
    for axis in (0, 1):
        line = _lines(points[:, 1 - axis])
        order = np.lexsort((points[:, axis], line))
        found.extend((int(a), int(b)) for a, b in pairwise(order) if line[a] == line[b])
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def neighbours(points: Array) -> Pairs:
    """Pairs of points with no other within the circle on their way (the Gabriel graph), (n, 2)."""
    square = ((points[:, None, :] - points) ** 2).sum(axis=2)
    count = len(points)
    found = [
        (i, j)
        for i in range(count)
        for j in range(i + 1, count)
        if not (square[i] + square[j] < square[i, j] * (1.0 - 1e-9)).any()
    ]
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def placed_marks(buttoning: Buttoning, surface: Surface) -> tuple[Array, Array]:
    """Places of the buttons on the flat cloth (n, 2), mm, and the cloth's length along each link, mm.

    Rows and columns of a grid stay straight, so that they can be drawn with a ruler. No two linked
    marks lie nearer to each other than their buttons. The middle of the panel stays the origin.
    """
    points = np.array(buttoning.points, dtype=float).reshape(-1, 2)
    links = np.array(buttoning.links, dtype=np.int64).reshape(-1, 2)
    lengths = arc_lengths(surface, points[links[:, 0]], points[links[:, 1]])
    grid = buttoning.pattern in ("diamond", "square", "row")
    pairs, wanted = links, lengths
    if not len(links):
        pairs = neighbours(points)
        wanted = arc_lengths(surface, points[pairs[:, 0]], points[pairs[:, 1]])
    elif grid:
        across = spans(buttoning)
        known = {tuple(sorted(pair)) for pair in links.tolist()}
        across = np.array([p for p in across.tolist() if tuple(sorted(p)) not in known], dtype=np.int64)
        across = across.reshape(-1, 2)
        pairs = np.concatenate([links, across])
        wanted = np.concatenate([lengths, arc_lengths(surface, points[across[:, 0]], points[across[:, 1]])])
    if len(points) == 0:
        return points, lengths
    marks = spread(points, pairs, wanted, grid)
    return marks, lengths


def spread(points: Array, pairs: Pairs, wanted: Array, grid: bool) -> Array:
    """Places (n, 2) on the flat whose distances along ``pairs`` come nearest to ``wanted``, mm.

    They start from ``points``, stretched; with ``grid``, points of one row or column stay in line.
    No pair ends nearer than it was. The outcome is mirrored where points and lengths are.
    """
    if not len(pairs):
        return points.copy()
    # Moved by whole lines: one number for each column's x and for each row's y.
    lines = [_lines(points[:, axis]) if grid else np.arange(len(points)) for axis in (0, 1)]
    counts = [int(line.max()) + 1 for line in lines]
    who = np.arange(len(points))
    basis = [
        sparse.csr_matrix((np.ones(len(points)), (who, line)), shape=(len(points), count))
        for line, count in zip(lines, counts, strict=True)
    ]
    step = points[pairs[:, 1]] - points[pairs[:, 0]]
    start = points * _stretch(step, wanted)
    ease = [np.array([start[lines[k] == n, k].mean() for n in range(counts[k])]) for k in (0, 1)]
    at = [e.copy() for e in ease]
    pick = sparse.csr_matrix(
        (
            np.concatenate([np.ones(len(pairs)), -np.ones(len(pairs))]),
            (np.tile(np.arange(len(pairs)), 2), np.concatenate([pairs[:, 1], pairs[:, 0]])),
        ),
        shape=(len(pairs), len(points)),
    )
    moves = [pick @ b for b in basis]
    for _ in range(STEPS):
        way = np.column_stack([moves[k] @ at[k] for k in (0, 1)])
        long = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)
        slope = sparse.hstack([sparse.diags(way[:, k] / long) @ moves[k] for k in (0, 1)]).tocsr()
        miss = wanted - long
        normal = slope.T @ slope + CLING**2 * sparse.eye(sum(counts))
        pull = slope.T @ miss + CLING**2 * np.concatenate([ease[k] - at[k] for k in (0, 1)])
        change = splu(sparse.csc_matrix(normal)).solve(pull)
        at = [at[0] + change[: counts[0]], at[1] + change[counts[0] :]]
    marks = np.column_stack([at[k][lines[k]] for k in (0, 1)])
    got = np.hypot(*(marks[pairs[:, 1]] - marks[pairs[:, 0]]).T)
    tight = float(np.max(np.hypot(*step.T) / np.maximum(got, 1e-9)))
    return marks * max(1.0, tight)


def _stretch(step: Array, wanted: Array) -> Array:
    """How much wider all is, across and up, by least squares on squared lengths; never below 1."""
    square = step**2
    if np.linalg.matrix_rank(square, tol=1e-6 * float(square.max())) == 2:
        found, *_ = np.linalg.lstsq(square, wanted**2, rcond=None)
        if (found >= 1.0).all():
            each: Array = np.sqrt(found)
            return each
    even = math.sqrt(float((wanted**2).sum() / max(float(square.sum()), 1e-12)))
    return np.full(2, max(even, 1.0))


def _lines(values: Array) -> Pairs:
    """Numbers of the lines that values lie on, from the least."""
    order = np.argsort(values, kind="stable")
    new = np.concatenate([[False], np.diff(values[order]) > IN_LINE])
    line = np.empty(len(values), dtype=np.int64)
    line[order] = np.cumsum(new)
    return line
