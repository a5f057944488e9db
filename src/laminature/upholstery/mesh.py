"""A covered cushion as triangles with smooth shading, for pictures and the GLB.

Points lie close where the cloth bends: round each bead, beside pleats and seams, on the shoulder along the
edge; far apart where it is smooth. z = 0 is the panel's upper face, the board lies below.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay, cKDTree

from laminature.geometry.path import Point
from laminature.geometry.region import Region
from laminature.model.cushion import Buttoning, CushionMesh, Manner, Shell, Surface, Upholstery
from laminature.upholstery.heights import inside, raised, smooth_fields
from laminature.upholstery.rim import outline_walked
from laminature.upholstery.skin import ball, between, empty, joined, smooth_normals, tube
from laminature.upholstery.surface import pleat_lines

Array = NDArray[np.float64]
Faces = NDArray[np.int64]
#: Triangles of the cloth between its features, about, whatever its size.
WANTED = 6000
#: Rings on the shoulder: way in from the edge, as shares of the shoulder.
SHOULDER = (0.0, 0.01, 0.04, 0.1, 0.2, 0.36, 0.6, 1.0)
#: Which of them, with the last, the shape of the shoulder is read from.
MIDWAY = 6
#: Rings round a bead: radii over the bead's, and points on each.
ROUND, ON_RING = (0.5, 1.0, 1.3, 1.7, 2.3), 24
#: With more beads than this, and more lines, all is drawn coarser, so that triangles do not grow as they do.
FEW_BEADS, FEW_LINES = 16, 50
#: Rows beside a pleat or seam, mm.
BESIDE = (0.0, 0.2, 0.55, 1.1)
#: Corners are drawn out to at most this many times the distance by which an edge is moved.
MITRE = 3.0
#: A bead's height over its width, and how far its middle lies above the cloth, over its width.
SQUAT, PROUD = 0.7, 0.12


def cushion_mesh(
    outline: Region,
    buttoning: Buttoning,
    surface: Surface,
    manner: Manner,
    thickness: float,
    bead: float,
    cord: float = 0.0,
) -> CushionMesh:
    """The skins of a cushion on a panel of this ``outline`` and ``thickness``, mm.

    ``bead`` is the beads' diameter; ``cord`` that of the covered piping round the edge, 0 for none.
    """
    grain = math.sqrt(2.0 * float(outline.flat.area) / WANTED)
    ring = outline_walked(outline, max(grain, 0.4))
    out = _outwards(ring)
    beads = [ball(_seat(surface, p, bead), bead / 2, SQUAT) for p in buttoning.points]
    piping = empty()
    if cord > 0.0:
        line = np.column_stack([ring + cord / 2 * out, np.zeros(len(ring))])
        piping = tube(line, out, cord / 2)
    lines = [*buttoning.seams]
    if manner == "deep":
        lines += pleat_lines(outline, buttoning)
    cloth = _cloth(ring, out, buttoning, lines, surface, thickness, bead, grain)
    return CushionMesh(cloth, joined(beads), piping)


def mesh_of(made: Upholstery) -> CushionMesh:
    """The skins of a cushion that was solved, in its own frame."""
    envelope = made.envelope
    cord = 0.0
    if made.piping is not None:
        cord = made.piping.cord
    thickness = envelope.height - made.batting.crown
    return cushion_mesh(
        made.outline, made.buttoning, made.surface, made.manner, thickness, made.stitching.bead, cord
    )


def _cloth(
    ring: Array,
    out: Array,
    buttoning: Buttoning,
    lines: list[tuple[Point, Point]],
    surface: Surface,
    thickness: float,
    bead: float,
    grain: float,
) -> Shell:
    """The face over the crown, the sides down to the panel's lower face, and the underside."""
    shoulder = min(1.2 * grain + 0.2 * surface.crown, _narrowest(ring, out))
    rings = [ring - shoulder * s * out for s in SHOULDER]
    inner = rings[-1]
    count = len(ring)
    filled = _filling(inner, buttoning, lines, surface, bead, grain)
    plan = np.concatenate([*rings, filled])
    top = np.column_stack([plan, _raised(surface, plan, rings)])
    last = (len(rings) - 1) * count
    patch = np.arange(last, len(plan))
    faces = [between(len(rings), count), patch[_triangles(plan[patch], count)]]
    over = np.concatenate(faces)
    normals = smooth_normals(top, over)
    level = np.column_stack([out, np.zeros(count)])
    level /= np.linalg.norm(level, axis=1)[:, None]
    # At the edge the cloth turns down the side without a crease.
    normals[:count] = level
    low = np.column_stack([ring, np.full(count, -thickness)])
    start = len(top)
    side = between(2, count)
    side = np.where(side < count, start + count + side, start + side - count)
    under = start + 2 * count + _triangles(ring, count)[:, ::-1]
    down = np.tile([0.0, 0.0, -1.0], (count, 1))
    return Shell(
        np.concatenate([top, top[:count], low, low]),
        np.concatenate([normals, level, level, down]),
        np.concatenate([over, side, under]),
    )


def _raised(surface: Surface, plan: Array, rings: list[Array]) -> Array:
    """Heights at ``plan``, whose first points are those of ``rings`` on the shoulder, from the edge inwards.

    There the height goes up too steeply for the grid: the share is drawn as a parabola through the
    edge and two rings that lie well inside.
    """
    share, drop = smooth_fields(surface, plan)
    count = len(rings[0])
    middle, inner = (share[k * count : (k + 1) * count] for k in (MIDWAY, len(rings) - 1))
    t = SHOULDER[MIDWAY]
    bend = (middle / t - inner) / (1.0 - t)
    for k, way in enumerate(SHOULDER):
        share[k * count : (k + 1) * count] = way * (inner + bend * (1.0 - way))
    free = raised(np.maximum(share, 0.0), surface.crown, surface.swell)
    return np.clip(free - drop, 0.0, free)


def _filling(
    inner: Array,
    buttoning: Buttoning,
    lines: list[tuple[Point, Point]],
    surface: Surface,
    bead: float,
    grain: float,
) -> Array:
    """Points within the ring ``inner``, the important ones first, each clear of those before it."""
    kept = inner
    groups: list[tuple[Array, float]] = []
    coarse = max(1.0, (len(buttoning.points) / FEW_BEADS) ** 0.5, (len(lines) / FEW_LINES) ** 0.5)
    for n, share in enumerate(ROUND):
        steps = max(10, round(ON_RING / coarse)) // (2 if share < 1.0 else 1)
        turn = 2.0 * np.pi * (np.arange(steps) + 0.5 * (n % 2)) / steps
        circle = share * bead / 2 * np.column_stack([np.cos(turn), np.sin(turn)])
        if buttoning.points:
            spots = (np.array(buttoning.points)[:, None, :] + circle).reshape(-1, 2)
            groups.append((spots, 0.1 * bead))
    for n, beside in enumerate(BESIDE):
        step = max(0.35, grain * (0.4 + 0.15 * n)) * coarse
        rows = [_row(a, b, side * beside, step) for a, b in lines for side in (1, -1)[: 1 + (n > 0)]]
        if rows:
            groups.append((np.concatenate(rows), min((0.16 + 0.1 * n) * coarse, 0.5 * grain)))
    groups.append((_lattice(inner, grain), 0.62 * grain))
    for spots, apart in groups:
        clear = inside(surface, spots) & (cKDTree(kept).query(spots)[0] > apart)
        kept = np.concatenate([kept, spots[clear][_within(spots[clear], inner)]])
    return kept[len(inner) :]


def _row(start: Point, end: Point, beside: float, step: float) -> Array:
    """Points along a line, ``beside`` mm to its left."""
    a, b = np.array(start), np.array(end)
    way = b - a
    long = float(np.hypot(way[0], way[1]))
    if long < 1e-9:
        return np.zeros((0, 2))
    n = max(1, round(long / step))
    share = (np.arange(n) + 0.5) / n
    normal = np.array([-way[1], way[0]]) / long
    row: Array = a + share[:, None] * way + beside * normal
    return row


def _lattice(inner: Array, grain: float) -> Array:
    """A triangular lattice of points over a ring, mirrored about its middle both ways."""
    (x0, y0), (x1, y1) = inner.min(axis=0), inner.max(axis=0)
    high = grain * math.sqrt(3.0) / 2.0
    columns, rows = math.ceil((x1 - x0) / 2 / grain) + 1, math.ceil((y1 - y0) / 2 / high)
    spots = [
        ((x0 + x1) / 2 + grain * (i + 0.5 * (j % 2)), (y0 + y1) / 2 + high * j)
        for j in range(-rows, rows + 1)
        for i in range(-columns - (j % 2), columns + 1)
    ]
    return np.array(spots)


def _triangles(points: Array, ring: int) -> Faces:
    """Triangles over ``points``, whose first ``ring`` are a closed line that they stay within."""
    found: Faces = Delaunay(points).simplices.astype(np.int64)
    a, b, c = (points[found[:, k]] for k in range(3))
    twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    found[twice < 0.0] = found[twice < 0.0][:, ::-1]
    held = _within((a + b + c) / 3.0, points[:ring]) & (np.abs(twice) > 1e-9)
    kept: Faces = found[held]
    return kept


def _within(points: Array, ring: Array) -> NDArray[np.bool_]:
    """Which points lie within a closed line: an odd number of its edges cross the ray to their right."""
    a, b = ring, np.roll(ring, -1, axis=0)
    odd = np.zeros(len(points), dtype=bool)
    for (ax, ay), (bx, by) in zip(a.tolist(), b.tolist(), strict=True):
        if ay == by:
            continue
        crossed = (points[:, 1] >= min(ay, by)) & (points[:, 1] < max(ay, by))
        odd ^= crossed & (points[:, 0] < ax + (points[:, 1] - ay) * (bx - ax) / (by - ay))
    return odd


def _outwards(ring: Array) -> Array:
    """Vectors out of the outline at its points, between those of both edges there; longer at mitres.

    Moved by them, both edges move by the same 1 mm, but at corners so sharp that the mitre is cut short.
    """
    step = np.roll(ring, -1, axis=0) - ring
    step /= np.hypot(step[:, 0], step[:, 1])[:, None]
    mean = step + np.roll(step, 1, axis=0)
    out = np.column_stack([mean[:, 1], -mean[:, 0]])
    # The sum of two unit vectors is 2 cos(half the turn) long, and the mitre 1 / cos.
    mitred: Array = 2.0 * out / np.maximum((out**2).sum(axis=1), 4.0 / MITRE**2)[:, None]
    return mitred


def _narrowest(ring: Array, out: Array) -> float:
    """How far all points can be moved in before neighbours pass each other, mm, with room to spare."""
    step, turn = np.roll(ring, -1, axis=0) - ring, np.roll(out, -1, axis=0) - out
    closing = (step * turn).sum(axis=1) / (step**2).sum(axis=1)
    size = float(np.ptp(ring, axis=0).min())
    return float(min(0.2 * size, 0.6 / max(float(closing.max()), 1e-9)))


def _seat(surface: Surface, point: Point, bead: float) -> Array:
    """Where a bead's middle lies: on the cloth, a little proud of it."""
    share, drop = smooth_fields(surface, np.array([point]))
    height = float(raised(share, surface.crown, surface.swell)[0] - drop[0])
    return np.array([point[0], point[1], height + PROUD * bead])
