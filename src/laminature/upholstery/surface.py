"""The cloth over the crown, drawn down by buttons or held along seams: a height field.

Over the free crown, a super-ellipse, lies a sheet on springy batting. Buttons are discs, because a sheet
held at points has no answer; docs/upholstery-surface.md says why, and how each number was chosen.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from laminature.errors import GeometryError
from laminature.geometry.path import Point
from laminature.geometry.region import Region
from laminature.model.cushion import Buttoning, Manner, Surface
from laminature.upholstery.heights import bilinear, raised
from laminature.upholstery.outermost import way_to, ways_out
from laminature.upholstery.sheet import HAIR, STEPS, Sheet, String, sheet, solve, with_discs, with_lines

Array = NDArray[np.float64]
#: Cells across a bead: fewer, and the button is no disc.
CELLS_ACROSS_BEAD = 3
#: Cells across a cushion that has no buttons.
CELLS_ACROSS = 64
#: Cells between two seams of channels.
CELLS_BETWEEN_SEAMS = 14
#: A button drawn down by less is not drawn down, mm.
NO_DENT = 1e-4
#: How far a dent reaches, as a share of the depth to which the button is drawn (see docs).
REACH: dict[Manner, float] = {"pulled-in": 1.5, "deep": 0.35}
#: In deep buttoning and channels: at most and at least these shares of the way to the nearest.
REACH_MOST, REACH_LEAST = 0.2, 0.14
#: A pleat fades over this share of its length: half way it is a fifth as deep as at the buttons.
PLEAT_FADES = 0.22


def solve_surface(
    outline: Region,
    buttoning: Buttoning,
    crown: float,
    dip: float,
    bead: float,
    swell: float,
    manner: Manner,
    cell: float | None = None,
) -> Surface:
    """The cloth's heights over a panel of this ``outline``, all lengths in mm, actual size.

    ``crown`` is the height of the batting in the middle, ``swell`` the exponent of its super-ellipse,
    ``dip`` the share of the crown's height by which a button is drawn down where it sits, ``bead``
    the button's diameter. ``cell`` is the grid's step; None chooses one that gives a bead at least three
    cells. Raises GeometryError for a crown below zero, a dip outside 0 … 1 or a swell below 1.
    """
    if not (crown >= 0.0 and 0.0 <= dip <= 1.0 and swell >= 1.0 and math.isfinite(crown + swell)):
        raise GeometryError(
            f"a crown of {crown:g} mm, a dip of {dip:g} and a swell of {swell:g} make no cushion"
        )
    if buttoning.points and not bead > 0.0:
        raise GeometryError("buttons need beads with a diameter above zero")
    step = cell if cell is not None else chosen_cell(outline, buttoning, bead)
    ground = sheet(outline, step)
    share = _continued(_share(ground), ground)
    free = raised(share, crown, swell)
    drop = np.zeros_like(free)
    buttons, depths = np.zeros((0, 2)), np.zeros(0)
    depth = dip * crown
    if depth > NO_DENT and (buttoning.points or buttoning.seams):
        # A dent narrower than a cell would only be seen as one.
        reach = max(_reach(buttoning, depth, manner), step / 2)
        held, strings = ground, []
        if buttoning.seams:

            def lowered(x: Array, y: Array) -> Array:
                return dip * raised(_read(ground, share, x, y), crown, swell)

            held = with_lines(held, buttoning.seams, lowered)
        if buttoning.points:
            buttons = np.array(buttoning.points)
            depths = dip * raised(_read(ground, share, buttons[:, 0], buttons[:, 1]), crown, swell)
            held = with_discs(held, buttoning.points, bead / 2, depths.tolist())
        if manner == "deep":
            strings = _strings(outline, buttoning, depths.tolist(), bead / 2, reach)
        drop = solve(held, stiffness=1.0 / reach**2, strings=strings)
    # The panel stops the cloth below, and pleats do not lift it above the crown.
    heights = np.where(ground.inside, np.clip(free - drop, 0.0, free), np.nan)
    carried = _carried(drop, ground, buttons, bead / 2, depths)
    return Surface(ground.x, ground.y, heights, step, share, carried, crown, swell, buttons, bead / 2, depths)


def pleat_lines(outline: Region, buttoning: Buttoning) -> list[tuple[Point, Point]]:
    """Where pleats of deep buttoning lie on the panel: along links, and from the outermost buttons out."""
    points = buttoning.points
    lines = [(points[i], points[j]) for i, j in buttoning.links]
    return lines + [(points[k], end) for k, end in _ways_to_edge(outline, buttoning)]


def _ways_to_edge(outline: Region, buttoning: Buttoning) -> list[tuple[int, Point]]:
    """The outermost buttons, and where the ways out from them meet the edge."""
    points = np.array(buttoning.points).reshape(-1, 2)
    ring = np.asarray(outline.flat.exterior.coords)[:-1]
    ends = [(k, way_to(points[k], way, ring)) for k, way, _ in ways_out(points)]
    return [(k, (float(end[0]), float(end[1]))) for k, end in ends if end is not None]


def _strings(
    outline: Region, buttoning: Buttoning, depths: list[float], radius: float, reach: float
) -> list[String]:
    """The pleats as strings, from the rim of one button to that of another or to the edge."""
    points = buttoning.points
    ways = [(i, points[j], radius, depths[j]) for i, j in buttoning.links]
    ways += [(k, end, 0.0, 0.0) for k, end in _ways_to_edge(outline, buttoning)]
    found = []
    for k, end, short, held in ways:
        (x, y), long = points[k], math.dist(points[k], end)
        if long <= radius + short + 1e-6:
            continue
        dx, dy = (end[0] - x) / long, (end[1] - y) / long
        a, b = (x + radius * dx, y + radius * dy), (end[0] - short * dx, end[1] - short * dy)
        found.append(String(a, b, _pull(long, reach), (depths[k], held)))
    return found


def _pull(length: float, reach: float) -> float:
    """Tension of a string over the sheet's, mm, so that its valley fades over a share of its length.

    The sheet pulls a line that is sunk by w up with 2 w / reach, so a string of tension t fades over
    √(t · reach / 2).
    """
    return 2.0 * (PLEAT_FADES * length) ** 2 / reach


def _reach(buttoning: Buttoning, depth: float, manner: Manner) -> float:
    """The length, mm, over which a dent fades: by then it is a third or so of its depth.

    Taut cloth takes its surroundings down with it. Between pleats and seams it has fullness and rises at
    once, but neither so steeply nor so far off that pillows would not look like pillows.
    """
    middles = sorted(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in buttoning.seams)
    full = manner == "deep" or bool(middles)
    reach = REACH["deep" if full else manner] * depth
    ways = [math.dist(buttoning.points[i], buttoning.points[j]) for i, j in buttoning.links]
    ways += [math.dist(a, b) for a, b in pairwise(middles)]
    nearest = min((way for way in ways if way > 0.0), default=0.0)
    if full and nearest > 0.0:
        reach = min(max(reach, REACH_LEAST * nearest), REACH_MOST * nearest)
    return reach


def chosen_cell(outline: Region, buttoning: Buttoning, bead: float) -> float:
    """A grid step, mm: a bead, the room between seams and the whole cushion get enough cells."""
    x0, y0, x1, y1 = outline.bounds
    wanted = [min(x1 - x0, y1 - y0) / CELLS_ACROSS, max(x1 - x0, y1 - y0) / 240]
    step = max(wanted)
    if buttoning.points:
        step = min(step, bead / CELLS_ACROSS_BEAD)
    if buttoning.seams and max(buttoning.spacing) > 0.0:
        step = min(step, max(buttoning.spacing) / CELLS_BETWEEN_SEAMS)
    return step


def _share(ground: Sheet) -> Array:
    """The sheet under even pressure, 1 at its highest point (found between nodes)."""
    lifted = solve(ground, load=1.0)
    j, i = np.unravel_index(int(np.argmax(lifted)), lifted.shape)
    top = float(lifted[j, i])
    if top <= 0.0:
        return lifted
    peak = top
    for before, after in (
        (lifted[j, i - 1], lifted[j, i + 1]),
        (lifted[j - 1, i], lifted[j + 1, i]),
    ):
        bend = 2.0 * top - before - after
        if bend > 0.0:
            peak += float(after - before) ** 2 / (8.0 * bend)
    return lifted / peak


def _continued(values: Array, ground: Sheet) -> Array:
    """The same, carried on in straight lines through 0 at the edge to the two nodes next outside."""
    out, known = values.copy(), ground.inside.copy()
    for ring in range(2):
        total, count = np.zeros_like(out), np.zeros(out.shape)
        for k, (down, across) in enumerate(STEPS):
            one, two = (np.roll(out, (n * down, n * across), (0, 1)) for n in (1, 2))
            there = np.roll(known, (down, across), (0, 1)) & np.roll(known, (2 * down, 2 * across), (0, 1))
            there &= ~known
            reach = np.roll(ground.reach[k], (down, across), (0, 1))
            # From the nearer of two nodes, unless it is so near that its own value is all error.
            first = np.where(reach > 0.5, -one * (1.0 - reach) / reach, -two * (1.0 - reach) / (1.0 + reach))
            carried = first if ring == 0 else 2.0 * one - two
            total[there] += carried[there]
            count[there] += 1
        new = count > 0
        out[new] = np.minimum(total[new] / count[new], 0.0)
        known |= new
    return out


def _carried(drop: Array, ground: Sheet, buttons: Array, radius: float, depths: Array) -> Array:
    """The drop carried on under each button as it runs towards it, for reading between nodes at its rim.

    Near a disc a sheet runs as the logarithm of the distance, so it goes on as that, to a steep point.
    """
    out = drop.copy()
    beyond = radius + 1.5 * ground.cell
    n = int(radius / ground.cell) + 2
    for (x, y), depth in zip(buttons.tolist(), depths.tolist(), strict=True):
        i, j = round((x - ground.x[0]) / ground.cell), round((y - ground.y[0]) / ground.cell)
        window = (slice(max(j - n, 0), j + n + 1), slice(max(i - n, 0), i + n + 1))
        across, up = np.meshgrid(ground.x[window[1]] - x, ground.y[window[0]] - y)
        far = np.hypot(across, up)
        disc = far <= radius + HAIR
        scale = beyond / np.maximum(far[disc], 1e-9)
        rim = _read(ground, drop, x + across[disc] * scale, y + up[disc] * scale)
        slope = (depth - rim) / math.log(beyond / radius)
        patch = out[window]
        patch[disc] = depth + slope * np.log(radius / np.maximum(far[disc], 0.35 * radius))
    return out


def _read(ground: Sheet, values: Array, x: Array, y: Array) -> Array:
    return bilinear(ground.x, ground.y, ground.cell, values, x, y)
