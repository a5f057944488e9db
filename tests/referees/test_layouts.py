"""Layouts against arrangements whose answer is known from elsewhere.

* Perfect squared square of side 112: A. J. W. Duijvestijn, "Simple perfect squared square of
  lowest order", Journal of Combinatorial Theory B 25 (1978) 240-243. Perfect rectangle 33 × 32:
  Z. Moroń, 1925. Both are written in the order in which Bouwkamp's code lists them: each group
  fills the lowest gap from its left end.
* No arrangement of equal circles in the plane is denser than π/√12 (A. Thue 1910, L. Fejes Tóth 1940).
* The smallest square around five equal circles has a side of 2 + 2√2 radii
  (J. Schaer, "The densest packing of 9 circles in a square", Canadian Mathematical Bulletin 8 (1965)
  and the work named there; given here from memory).
* Four L-shaped trominoes make a larger one, twice as long (S. W. Golomb, "Replicating figures in the
  plane", The Mathematical Gazette 48 (1964) 403-412).
"""

import math
from itertools import combinations

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.region import disc
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
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


@PERFECT
def test_a_perfect_arrangement_that_was_found_earlier_is_taken_over(width, height, sides):
    sheet = perfect_sheet(width, height, sides)
    again, findings = lay_out(squares(sides), board(width, height), 0.0, 0.0, start=[sheet])
    assert not findings
    assert again == (sheet,)


@PERFECT
def test_a_search_by_time_neither_loses_area_nor_overlaps(width, height, sides):
    sheets, findings = lay_out(squares(sides), board(width, height), 0.0, 0.0, seconds=2.0)
    assert not findings
    assert len(sheets) <= 2
    side = {f"s{s}": s for s in sides}
    assert sum(side[p.part] ** 2 for s in sheets for p in s.placements) == width * height


def tromino(size):
    return flat([(0, 0), (2 * size, 0), (2 * size, size), (size, size), (size, 2 * size), (0, 2 * size)])


def four_trominoes(size):
    """The larger tromino as an offcut, and how four small ones fill it."""
    layers = [
        Layer(f"t{k}", f"T{k}-", 1, "card", 0.0, 0.5, (tromino(size),), (tromino(size),)) for k in range(4)
    ]
    placements = (
        Placement("t0", 1, 0.0, 0.0),
        Placement("t1", 1, size, size),
        Placement("t2", 1, 4.0 * size, 0.0, 90.0),
        Placement("t3", 1, 0.0, 4.0 * size, 270.0),
    )
    whole = Offcut("O", "card", tromino(2.0 * size), "none")
    sheet = Sheet("sheet-1", "card", 4.0 * size, 4.0 * size, placements, "O", whole.outline, "none")
    return layers, whole, sheet


def test_the_check_accepts_a_full_offcut_of_odd_outline_and_nothing_tighter():
    layers, whole, sheet = four_trominoes(10.0)
    large = board(200, 200)
    assert not faults([sheet], layers, large, 0.0, 0.0, offcuts=[whole])
    assert faults([sheet], layers, large, 0.001, 0.0, offcuts=[whole])
    assert faults([sheet], layers, large, 0.0, 0.001, offcuts=[whole])
    smaller = Offcut("O", "card", tromino(19.999), "none")
    assert faults([sheet], layers, large, 0.0, 0.0, offcuts=[smaller])


def test_three_squares_fill_a_tromino():
    shapes = [rectangle(0.0, 0.0, 20.0, 20.0)] * 3
    layers = [Layer(f"s{k}", f"S{k}-", 1, "card", 0.0, 0.5, (f,), (f,)) for k, f in enumerate(shapes)]
    whole = Offcut("O", "card", tromino(20.0), "none")
    sheets, findings = lay_out(layers, board(200, 200), 0.0, 0.0, offcuts=[whole])
    assert not findings
    assert [s.offcut for s in sheets] == ["O"]
