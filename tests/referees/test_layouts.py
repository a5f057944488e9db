"""Layouts against arrangements whose answer is known from elsewhere.

* Perfect squared square of side 112: A. J. W. Duijvestijn, "Simple perfect squared square of
  lowest order", Journal of Combinatorial Theory B 25 (1978) 240-243. Perfect rectangle 33 × 32:
  Z. Moroń, 1925. Both are written in the order in which Bouwkamp's code lists them: each group
  fills the lowest gap from its left end.
* No arrangement of equal circles in the plane is denser than π/√12 (A. Thue 1910, L. Fejes Tóth 1940).
* The smallest square around five equal circles has a side of 2 + 2√2 radii
  (J. Schaer, "The densest packing of 9 circles in a square", Canadian Mathematical Bulletin 8 (1965)
  and the work named there; given here from memory).
"""

import math
from itertools import combinations

import pytest

from laminature.geometry.flat import rectangle
from laminature.geometry.region import disc
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.check import faults
from laminature.sheets.nesting import lay_out

SQUARE_112 = (112, 112, [50, 35, 27, 8, 19, 15, 17, 11, 6, 24, 29, 25, 9, 2, 7, 18, 16, 42, 4, 37, 33])
RECTANGLE_33 = (33, 32, [18, 15, 7, 8, 14, 4, 10, 1, 9])
PERFECT = pytest.mark.parametrize(("width", "height", "sides"), [SQUARE_112, RECTANGLE_33])


def board(width, height):
    return {"card": Board("card", "card", 0.5, float(width), float(height), "none")}


def squares(sides):
    shapes = [rectangle(0.0, 0.0, float(s), float(s)) for s in sides]
    return [
        Layer(f"s{s}", f"S{s}-", 1, "card", 0.0, 0.5, (f,), (f,)) for s, f in zip(sides, shapes, strict=True)
    ]


def perfect_sheet(width, height, sides):
    """Follow the code: put each square into the lowest gap, at its left end."""
    skyline = [0] * width
    placements = []
    for side in sides:
        low = min(skyline)
        x = skyline.index(low)
        assert all(h == low for h in skyline[x : x + side]), "the code does not fit"
        skyline[x : x + side] = [low + side] * side
        placements.append(Placement(f"s{side}", 1, float(x), float(low)))
    assert skyline == [height] * width, "the code does not fill the rectangle"
    return Sheet("sheet-1", "card", float(width), float(height), tuple(placements))


@PERFECT
def test_the_check_accepts_a_perfect_arrangement_and_nothing_tighter(width, height, sides):
    sheet = perfect_sheet(width, height, sides)
    layers = squares(sides)
    assert not faults([sheet], layers, board(width, height), 0.0, 0.0)
    assert faults([sheet], layers, board(width, height), 0.001, 0.0)
    assert faults([sheet], layers, board(width, height), 0.0, 0.001)


@PERFECT
def test_laid_out_squares_never_overlap_and_no_area_is_lost(width, height, sides):
    sheets, findings = lay_out(squares(sides), board(width, height), 0.0, 0.0)
    assert not findings
    assert len(sheets) <= 2
    side = {f"s{s}": s for s in sides}
    assert sum(side[p.part] ** 2 for s in sheets for p in s.placements) == width * height
    for sheet in sheets:
        for a, b in combinations(sheet.placements, 2):
            apart_x = max(a.x - (b.x + side[b.part]), b.x - (a.x + side[a.part]))
            apart_y = max(a.y - (b.y + side[b.part]), b.y - (a.y + side[a.part]))
            assert max(apart_x, apart_y) >= -1e-6


def circles(count, radius):
    shape = disc(radius).flat
    return [Layer(f"c{k}", f"C{k}-", 1, "card", 0.0, 0.5, (shape,), (shape,)) for k in range(count)]


@pytest.mark.parametrize("spacing", [0.0, 1.5])
def test_circles_keep_their_distance_and_are_no_denser_than_can_be(spacing):
    radius = 9.0
    sheets, findings = lay_out(circles(60, radius), board(100, 80), spacing, 0.0)
    assert not findings
    reach = radius + spacing / 2.0
    for sheet in sheets:
        for a, b in combinations(sheet.placements, 2):
            # The circle's polygon has its corners on the circle and its edges up to 0.002 mm inside.
            assert math.dist((a.x, a.y), (b.x, b.y)) >= 2.0 * reach - 2 * 0.002
        used = len(sheet.placements) * math.pi * reach**2
        assert used / ((100 + spacing) * (80 + spacing)) <= math.pi / math.sqrt(12.0)


def test_circles_touch_where_they_must_and_five_never_fit_into_less_than_their_smallest_square():
    radius = 10.0
    assert len(lay_out(circles(3, radius), board(6 * radius, 2 * radius), 0.0, 0.0)[0]) == 1
    side = (2.0 + 2.0 * math.sqrt(2.0)) * radius - 0.1
    assert len(lay_out(circles(5, radius), board(side, side), 0.0, 0.0)[0]) == 2
