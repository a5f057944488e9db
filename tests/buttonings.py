"""Layouts of buttons made by hand, for tests of what is computed from them."""

import math

from laminature.model.cushion import Buttoning


def diamonds(columns: int, rows: int, across: float, up: float, shift=(0.0, 0.0)) -> Buttoning:
    """Rows of ``columns`` buttons and of one fewer by turns; ``across`` in a row, ``up`` in a column."""
    points, at = [], {}
    for row in range(rows):
        count = columns - row % 2
        for k in range(count):
            at[2 * k + row % 2, row] = len(points)
            points.append(
                (shift[0] + (k - (count - 1) / 2) * across, shift[1] + (row - (rows - 1) / 2) * up / 2)
            )
    links = [
        (i, at[column + step, row + 1])
        for (column, row), i in at.items()
        for step in (-1, 1)
        if (column + step, row + 1) in at
    ]
    rings = tuple(round(math.hypot(x - shift[0], y - shift[1]) / max(across, up)) for x, y in points)
    return Buttoning("diamond", tuple(points), tuple(links), rings, (across, up))


def squares(columns: int, rows: int, across: float, up: float) -> Buttoning:
    """Buttons in rows and columns, linked along both."""
    points = [
        ((i - (columns - 1) / 2) * across, (j - (rows - 1) / 2) * up)
        for j in range(rows)
        for i in range(columns)
    ]
    links = [(j * columns + i, j * columns + i + 1) for j in range(rows) for i in range(columns - 1)]
    links += [(j * columns + i, (j + 1) * columns + i) for j in range(rows - 1) for i in range(columns)]
    pattern = "row" if rows == 1 else "square"
    return Buttoning(pattern, tuple(points), tuple(links), (0,) * len(points), (across, up))


def circle(count: int, radius: float) -> Buttoning:
    """One button in the middle and ``count`` on a circle around it."""
    turn = [2.0 * math.pi * k / count for k in range(count)]
    points = [(0.0, 0.0), *((radius * math.cos(t), radius * math.sin(t)) for t in turn)]
    links = [(0, 1 + k) for k in range(count)] + [(1 + k, 1 + (k + 1) % count) for k in range(count)]
    return Buttoning("concentric", tuple(points), tuple(links), (0, *[1] * count), (radius, radius))


def channels(places: tuple[float, ...], half: float) -> Buttoning:
    """Seams from front to back at these x."""
    seams = tuple(((x, -half), (x, half)) for x in places)
    gap = places[1] - places[0] if len(places) > 1 else 0.0
    return Buttoning("channels", spacing=(gap, 0.0), seams=seams)


PLAIN = Buttoning("plain")
