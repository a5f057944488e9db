"""Buttons in rings about the middle, each ring a smaller copy of the field's border.

The middle is a button in the centre; on a long outline it is a row of them, so that the rings
keep one distance from each other all round: a border point q goes to c + t·(q - c), with c the point of that
row's line that is nearest to q. On a circle every ring holds a multiple of the innermost ring's
buttons. On an outline with corners every corner of every ring has a button and the sides between are
shared evenly, so that a regular polygon's rings hold multiples of its sides. On other smooth outlines the
buttons stand evenly along each ring, an even number from its top.
"""

from __future__ import annotations

import math

import numpy as np

from laminature.geometry.flat import Flat, border_points, grown, holds_points, tidy
from laminature.geometry.path import Array, Point
from laminature.upholstery.layout import MOST_BUTTONS, ON_BORDER, Layout, nearest_count, subset, too_many
from laminature.upholstery.symmetry import Symmetry

#: A border that turns more than this has a corner there, degrees; arcs of 0.1 mm radius turn 23 at a vertex.
CORNER = 30.0
#: Fewer buttons than this are no ring.
LEAST_RING = 4
#: A ring's number may differ by this factor from the one wanted so that it divides the outermost's.
NEAR = 1.5
#: Less than this share of a spacing is no step.
STEP = 0.75
#: Buttons of an inner ring that are nearest within this share are all neighbours of the outer one.
ALIKE = 1.02
#: Pieces into which the border is cut before it is drawn in, as a share of the spacing.
FINE = 0.05


def rings(
    field: Flat, outline: Symmetry, wanted: tuple[float, float], rows: int | None, columns: int | None
) -> tuple[Layout, tuple[int, ...]]:
    """Buttons in the middle and in rings about it, with the ring of each button.

    ``wanted`` is the spacing along and between the rings, mm. ``rows`` is the number of rings about the
    middle, ``columns`` the buttons of the outermost.
    """
    centre = np.array(outline.centre)
    half = (0.0, 0.0) if outline.turns not in {1, 2} else _half_row(field, wanted[0])
    core = _core(half, wanted[0]) + centre
    runs = [run - centre for run in _runs(field, outline.centre, FINE * wanted[0])]
    length = sum(_length(run) for run in runs)
    size = float(np.mean(_away(np.concatenate(runs), half)))
    count = (0 if size < STEP * wanted[1] else nearest_count(size / wanted[1])) if rows is None else rows
    along = wanted[0] if columns is None else length / columns
    if count * length / along / 2.0 > MOST_BUTTONS:
        raise too_many()
    drawn = [[_drawn_in(run, half, k / count) for run in runs] for k in range(1, count + 1)]
    sizes = _sizes([[_length(run) for run in ring] for ring in drawn], along, columns)
    points, links = [core], [(k, k + 1) for k in range(len(core) - 1)]
    for ring_runs, steps in zip(drawn, sizes, strict=True):
        ring = _shared(ring_runs, steps) + centre
        first = sum(len(p) for p in points)
        if len(ring) > 2:
            links += [(first + a, first + (a + 1) % len(ring)) for a in range(len(ring))]
        links += _spokes(ring, points[-1], first)
        points.append(ring)
    got = (length / len(points[-1]), size / count) if count else wanted
    every = np.concatenate(points)
    number = np.repeat(np.arange(len(points)), [len(p) for p in points])
    held = holds_points(grown(field, ON_BORDER), every)
    layout = subset(Layout(every, tuple(sorted(links)), got), held)
    return layout, tuple(int(r) for r in number[held])


def _half_row(field: Flat, along: float) -> Point:
    """Half the middle row as a step from the centre: where the field is clearly longer one way, that way."""
    x0, y0, x1, y1 = field.bounds
    spare = ((x1 - x0) - (y1 - y0)) / 2.0
    if 2.0 * abs(spare) < STEP * along:
        return (0.0, 0.0)
    return (spare, 0.0) if spare > 0.0 else (0.0, -spare)


def _core(half: Point, along: float) -> Array:
    length = 2.0 * math.hypot(*half)
    if length == 0.0:
        return np.zeros((1, 2))
    steps = nearest_count(length / along)
    return np.linspace(-np.array(half), np.array(half), steps + 1)


def _drawn_in(run: Array, half: Point, share: float) -> Array:
    """A run of the border at that share of the way from the middle row to the border."""
    reach = np.array(half)
    middle: Array = np.clip(run, -reach, reach)
    return middle + share * (run - middle)


def _away(points: Array, half: Point) -> Array:
    reach = np.array(half)
    return np.asarray(np.hypot(*(points - np.clip(points, -reach, reach)).T))


def _runs(field: Flat, centre: Point, fine: float) -> tuple[Array, ...]:
    """The field's border from corner to corner, or once round from its top."""
    ring = np.asarray(tidy(Flat(field.exterior)).exterior.coords)[:-1]
    step = np.roll(ring, -1, axis=0) - ring
    before = np.roll(step, 1, axis=0)
    cross = before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]
    turn = np.degrees(np.arctan2(cross, np.sum(before * step, axis=1)))
    corners = ring[np.abs(turn) > CORNER]
    ring = border_points(Flat(ring), fine)[:-1]
    if len(corners) < 2:
        return (_from_the_top(ring - np.array(centre)) + np.array(centre),)
    at = [int(np.argmin(np.hypot(*(ring - corner).T))) for corner in corners]
    closed = np.concatenate([ring, ring])
    at = sorted(at)
    return tuple(closed[a : b + 1] for a, b in zip(at, [*at[1:], at[0] + len(ring)], strict=True))


def _from_the_top(ring: Array) -> Array:
    """The ring as a closed run, begun where it crosses the upright centre line at the top."""
    after = np.roll(ring, -1, axis=0)
    crossing = np.flatnonzero((ring[:, 0] > 0.0) & (after[:, 0] <= 0.0))
    share = ring[crossing, 0] / (ring[crossing, 0] - after[crossing, 0])
    heights = ring[crossing, 1] + share * (after[crossing, 1] - ring[crossing, 1])
    k = int(np.argmax(heights))
    top = np.array([[0.0, heights[k]]])
    turned = np.roll(ring, -(int(crossing[k]) + 1), axis=0)
    return np.concatenate([top, turned, top])


def _sizes(lengths: list[list[float]], along: float, columns: int | None) -> list[list[int]]:
    """For each ring the number of steps on each of its runs."""
    if not lengths or len(lengths[0]) > 1:
        return [[nearest_count(run / along) for run in ring] for ring in lengths]
    whole = [ring[0] for ring in lengths]
    if columns is None:
        first = max(LEAST_RING, 2 * nearest_count(whole[0] / along / 2.0))
        return [[first * nearest_count(length / along / first)] for length in whole]
    first = _first_of(columns, whole[0] / along)
    return [[first * nearest_count(length / along / first)] for length in whole[:-1]] + [[columns]]


def _first_of(columns: int, wanted: float) -> int:
    """The innermost ring's buttons where the outermost has ``columns``: even where that is.

    The divisor of it that comes near to the number wanted; where there is none, that number.
    """
    by = 2 if columns % 2 == 0 else 1
    parts = [d for d in range(LEAST_RING - 1, columns + 1) if columns % d == 0 and d % by == 0]
    near = [d for d in parts if abs(math.log(d / wanted)) < math.log(NEAR)]
    if near:
        return min(near, key=lambda d: (abs(math.log(d / wanted)), d))
    return min(columns, max(LEAST_RING, by * nearest_count(wanted / by)))


def _shared(runs: list[Array], sizes: list[int]) -> Array:
    """The beginnings of even steps, as many as asked for on each run."""
    if sum(sizes) > MOST_BUTTONS:
        raise too_many()
    found = []
    for run, n in zip(runs, sizes, strict=True):
        way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(run, axis=0).T))])
        at = np.arange(n) / n * way[-1]
        found.append(np.column_stack([np.interp(at, way, run[:, 0]), np.interp(at, way, run[:, 1])]))
    return np.concatenate(found)


def _spokes(ring: Array, inner: Array, first: int) -> list[tuple[int, int]]:
    """Each button of a ring with the nearest of the ring within it."""
    apart = np.hypot(*(ring[:, None, :] - inner[None, :, :]).transpose(2, 0, 1))
    near = apart <= ALIKE * apart.min(axis=1, keepdims=True)
    begin = first - len(inner)
    return [(begin + int(b), first + int(a)) for a, b in zip(*np.nonzero(near), strict=True)]


def _length(run: Array) -> float:
    return float(np.hypot(*np.diff(run, axis=0).T).sum())
