"""What is left of a board: a few large pieces with simple outlines, for a knife and a ruler."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, islice

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from laminature.geometry.flat import Flat, Flats, Shape, flat, grown, mapped, pieces, tidy

Box = tuple[float, float, float, float]
#: Sides of cells in which rectangles are sought, mm: no finer than this, and no more than CELLS in a row.
CELL = 2.0
CELLS = 150
#: Cuts by hand lie on whole steps of this from the board's corner, mm: a ruler shows no finer ones.
STEP = 0.5
#: A board is parted into no more pieces than this.
MOST = 12
#: Sides that are this near are one, mm.
NEAR = 1e-6
#: A fallen piece's outline may be simplified by this, mm.
SIMPLER = 0.05


def straight_pieces(region: Shape, smallest: tuple[float, float], border: Flat) -> Flats:
    """The largest rectangles and L shapes in ``region``, biggest first; they never overlap.

    Each holds an upright rectangle of at least ``smallest`` mm (either way round); the arm of an L is nowhere
    narrower than the shorter side. Where a side does not lie on the bounds of ``border``, it lies on a step
    of 0.5 mm.
    """
    narrow = min(smallest)
    boxes = list(islice(_boxes(region, (narrow, narrow), border.bounds), MOST))
    large = [_large_enough(x1 - x0, y1 - y0, smallest) for x0, y0, x1, y1 in boxes]
    return tuple(sorted(_joined(boxes, large, narrow), key=lambda p: (-p.area, p.bounds)))


def largest_box(region: Shape, smallest: tuple[float, float], border: Box) -> Box | None:
    """About the largest upright rectangle in ``region`` of at least ``smallest`` mm; None if none was found.

    Sought in cells of 2 mm or more and then stretched to what stops it, so that it is exactly free.
    """
    return next(_boxes(region, smallest, border), None)


def _boxes(region: Shape, smallest: tuple[float, float], border: Box) -> Iterator[Box]:
    """One rectangle after the other, each about the largest in what the former ones leave."""
    if region.is_empty:
        return
    x0, y0, x1, y1 = region.bounds
    if not _large_enough(x1 - x0, y1 - y0, smallest):
        return
    cell = max(CELL, max(x1 - x0, y1 - y0) / CELLS)
    taken = shapely.box(x0, y0, x1, y1).difference(region)
    free = _free_cells(region, cell)
    # Stretching wins up to a cell and a half at each side, so that smaller ones are worth a look.
    short, long = (math.floor(side / cell) - 3 for side in sorted(smallest))
    while (cells := _largest_in(free, short, long)) is not None:
        i0, j0, i1, j1 = cells
        inner = (x0 + i0 * cell, y0 + j0 * cell, x0 + i1 * cell, y0 + j1 * cell)
        box = _on_steps(_stretched(inner, taken, region.bounds), border)
        if _large_enough(box[2] - box[0], box[3] - box[1], smallest):
            yield box
            taken = taken.union(shapely.box(*box))
            i0, j0 = (math.floor((box[k] - low) / cell + NEAR) for k, low in ((0, x0), (1, y0)))
            i1, j1 = (math.ceil((box[k] - low) / cell - NEAR) for k, low in ((2, x0), (3, y0)))
        free[max(j0, 0) : j1, max(i0, 0) : i1] = False


def fallen_piece(opening: Flat, clear: float) -> Flat | None:
    """A piece that falls out of ``opening``, a little smaller than it is: by ``clear`` mm, at least 0.1.

    Its outline has few points, rounded to 0.001 mm, and never leaves the opening. None for a crumb.
    """
    found = pieces(grown(opening, -max(clear, 2.0 * SIMPLER)))
    if not found:
        return None
    simple = found[0].simplify(SIMPLER)
    points = np.round(np.asarray(simple.exterior.coords)[:-1], 3)
    made = Polygon(points)
    if not made.is_valid or not opening.covers(made):
        made = found[0]
    return shapely.orient_polygons(made)


def shifted(shape: Flat, dx: float, dy: float) -> Flat:
    """The polygon moved by (dx, dy) mm, coordinates rounded to 1e-9 so that none is almost whole."""
    return shapely.transform(shape, lambda p: np.round(p + np.array((dx, dy)), 9) + 0.0)


def without(frame: Flat, taken: Flats, clear: float) -> Shape:
    """``frame`` less what lies nearer than ``clear`` mm to the outlines of ``taken``, their openings too."""
    if not taken:
        return frame
    filled = shapely.polygons([shapely.get_exterior_ring(t) for t in taken])
    return frame.difference(shapely.union_all(shapely.buffer(filled, clear, join_style="mitre")))


def openings_of(shape: Flat) -> Flats:
    """The openings of a polygon as polygons, from the lowest up."""
    rings = sorted(shape.interiors, key=lambda r: (round(r.bounds[1], 6), round(r.bounds[0], 6)))
    return tuple(flat(np.asarray(ring.coords)[:-1]) for ring in rings)


def around(shape: Flat) -> tuple[float, float]:
    """Long and short side of the smallest rectangle around a shape, whichever way that is turned, mm."""
    x1, y1 = lying(shape).bounds[2:]
    return x1, y1


def lying(shape: Flat) -> Flat:
    """The shape turned so that the smallest rectangle around it lies on its long side, from the origin."""
    corners = np.asarray(shapely.minimum_rotated_rectangle(shape).exterior.coords)
    sides = corners[1:3] - corners[:2]
    way = sides[int(np.argmax(np.hypot(sides[:, 0], sides[:, 1])))]
    c, s = way / np.hypot(*way)
    turned = mapped(shape, ((c, s), (-s, c)))
    return mapped(turned, ((1.0, 0.0), (0.0, 1.0)), (-turned.bounds[0], -turned.bounds[1]))


def _large_enough(width: float, height: float, smallest: tuple[float, float]) -> bool:
    return min(width, height) >= min(smallest) - NEAR and max(width, height) >= max(smallest) - NEAR


def _free_cells(region: Shape, cell: float) -> NDArray[np.bool_]:
    """Which cells of a grid over the region's bounds lie wholly in it; rows go up."""
    x0, y0, x1, y1 = region.bounds
    # A cell lies in the region where its middle keeps half a diagonal from the border.
    core = shapely.buffer(region, -0.71 * cell, quad_segs=8)
    if core.is_empty:
        return np.zeros((1, 1), dtype=bool)
    shapely.prepare(core)
    xs = x0 + cell * (np.arange(int((x1 - x0) / cell)) + 0.5)
    ys = y0 + cell * (np.arange(int((y1 - y0) / cell)) + 0.5)
    gx, gy = np.meshgrid(xs, ys)
    return np.asarray(shapely.contains_xy(core, gx, gy), dtype=bool)


def _largest_in(free: NDArray[np.bool_], short: int, long: int) -> tuple[int, int, int, int] | None:
    """The largest rectangle of free cells, as (column, row, column after, row after).

    Row by row, with the heights of free columns kept on a stack: each is opened and closed once.
    """
    best, area = None, 0
    heights = np.zeros(free.shape[1], dtype=int)
    for row in range(free.shape[0]):
        heights = (heights + 1) * free[row]
        if not heights.any():
            continue
        open_: list[tuple[int, int]] = []
        for column, height in enumerate([*heights.tolist(), 0]):
            start = column
            while open_ and open_[-1][1] > height:
                start, tall = open_.pop()
                wide = column - start
                if wide * tall > area and min(wide, tall) >= short and max(wide, tall) >= long:
                    best, area = (start, row + 1 - tall, column, row + 1), wide * tall
            if height and (not open_ or open_[-1][1] < height):
                open_.append((start, height))
    return best


def _stretched(box: Box, taken: Shape, bounds: Box) -> Box:
    """The box with each side moved outwards until something is in its way."""
    x0, y0, x1, y1 = box
    hit = _hit(taken, bounds[0], y0, x0, y1)
    x0 = bounds[0] if hit is None else max(bounds[0], hit[2])
    hit = _hit(taken, x1, y0, bounds[2], y1)
    x1 = bounds[2] if hit is None else min(bounds[2], hit[0])
    hit = _hit(taken, x0, bounds[1], x1, y0)
    y0 = bounds[1] if hit is None else max(bounds[1], hit[3])
    hit = _hit(taken, x0, y1, x1, bounds[3])
    y1 = bounds[3] if hit is None else min(bounds[3], hit[1])
    return x0, y0, x1, y1


def _hit(taken: Shape, x0: float, y0: float, x1: float, y1: float) -> Box | None:
    """The bounds of what is taken between two sides; what only touches the strip's long sides is not."""
    if x1 - x0 <= 2.0 * NEAR or y1 - y0 <= 2.0 * NEAR or taken.is_empty:
        return None
    common = shapely.clip_by_rect(taken, x0, y0, x1, y1)
    solid = [p for p in shapely.get_parts(common) if isinstance(p, Polygon) and p.area > 0.0]
    return tuple(shapely.total_bounds(solid).tolist()) if solid else None


def _on_steps(box: Box, border: Box) -> Box:
    """The box with its sides moved inwards to whole steps, but for sides on the border."""

    def up(value: float, edge: float) -> float:
        return edge if abs(value - edge) < NEAR else math.ceil((value - NEAR) / STEP) * STEP

    def down(value: float, edge: float) -> float:
        return edge if abs(value - edge) < NEAR else math.floor((value + NEAR) / STEP) * STEP

    return up(box[0], border[0]), up(box[1], border[1]), down(box[2], border[2]), down(box[3], border[3])


def _joined(boxes: Sequence[Box], large: Sequence[bool], neck: float) -> list[Flat]:
    """The ``large`` rectangles, each with the first other one that makes an L with it.

    Both meet along at least ``neck`` mm.
    """
    shapes = [shapely.box(*b, ccw=True) for b in boxes]
    out: list[Flat] = []
    used: set[int] = set()
    for i, j in combinations(range(len(shapes)), 2):
        if i in used or j in used or not (large[i] or large[j]):
            continue
        if shapes[i].intersection(shapes[j]).length < neck - NEAR:
            continue
        both = pieces(shapes[i].union(shapes[j]))
        if len(both) == 1 and not both[0].interiors:
            whole = tidy(both[0])
            if len(whole.exterior.coords) - 1 <= 6:
                used |= {i, j}
                out.append(whole)
    return out + [s for k, s in enumerate(shapes) if large[k] and k not in used]
