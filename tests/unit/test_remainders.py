"""What is left of a sheet, by hand-worked sizes."""

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.remains import around, fallen_piece, largest_box, lying, straight_pieces, without
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Keep
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.remainders import remainders

from ..drawn_by_hand import WORDS

BOARD = Board("card", "Card", 0.56, 200.0, 140.0)
BOARDS = {"card": BOARD}
SMALL = (40.0, 25.0)
SHEET = rectangle(0.0, 0.0, 200.0, 140.0)


def layer(shape, part="top"):
    return Layer(part, "A", 1, "card", 0.0, 0.56, (shape,), (shape,))


def left_of(*shapes, keep=None, sheet=None, **settings):
    """What is left of a sheet of 200 x 140 mm with these shapes where they are."""
    layers = [layer(shape, f"p{n}") for n, shape in enumerate(shapes)]
    placements = tuple(Placement(x.part, 1, 0.0, 0.0) for x in layers)
    made = sheet or Sheet("sheet-1", "card", 200.0, 140.0, placements)
    return remainders((made,), layers, BOARDS, keep or Keep(), WORDS, **settings)


def bounds(remainder):
    x, y = remainder.at
    w, h = remainder.offcut.outline.bounds[2:]
    return (x, y, x + w, y + h)


def test_an_empty_sheet_is_one_offcut():
    (only,) = left_of()
    assert bounds(only) == (0.0, 0.0, 200.0, 140.0)
    assert (only.offcut.name, only.offcut.board, only.offcut.grain) == ("K1", "card", "x")


def test_a_strip_beside_a_part_keeps_the_spacing_from_it_and_reaches_the_edges():
    (only,) = left_of(rectangle(5.0, 5.0, 120.0, 135.0), spacing=1.5)
    assert bounds(only) == (121.5, 0.0, 200.0, 140.0)


def test_without_spacing_a_ruler_still_keeps_a_millimetre():
    (only,) = left_of(rectangle(0.0, 0.0, 120.0, 140.0), spacing=0.0)
    assert bounds(only) == (121.0, 0.0, 200.0, 140.0)


def test_cuts_lie_on_half_millimetres():
    (only,) = left_of(rectangle(0.0, 0.0, 120.3, 140.0), spacing=1.5)
    assert bounds(only)[0] == 122.0


def test_what_lies_round_a_corner_is_an_l():
    (only,) = left_of(rectangle(0.0, 0.0, 119.0, 79.0))
    outline = only.offcut.outline
    assert len(outline.exterior.coords) - 1 == 6
    assert outline.area == pytest.approx(200 * 140 - 120 * 80)
    assert bounds(only) == (0.0, 0.0, 200.0, 140.0)


def test_an_l_with_a_narrow_neck_is_no_l():
    # The strip at the right, 81 wide, meets the rest only along 10 mm.
    made = straight_pieces(
        SHEET.difference(rectangle(0.0, 0.0, 119.0, 79.0)).difference(rectangle(130.0, 78.0, 200.0, 80.0)),
        SMALL,
        SHEET,
    )
    assert [len(p.exterior.coords) - 1 for p in made] == [4, 4]


def test_what_is_too_small_is_not_kept_either_way_round():
    taken = rectangle(0.0, 0.0, 176.0, 140.0)
    assert left_of(taken) == ()
    (strip,) = left_of(taken, keep=Keep((23.0, 140.0)))
    assert bounds(strip) == (177.0, 0.0, 200.0, 140.0)
    assert left_of(taken, keep=Keep((23.0, 141.0))) == ()


def test_the_largest_rectangle_is_found_between_slanting_sides():
    triangle = flat([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)])
    box = largest_box(triangle, (10.0, 10.0), triangle.bounds)
    assert box[:2] == (0.0, 0.0)
    # The largest rectangle in a right triangle has half its area: 50 x 50 (Euclid, Elements VI.27).
    assert (box[2] - box[0]) * (box[3] - box[1]) == pytest.approx(2500.0, rel=0.02)


def frame():
    return flat(
        [(5, 5), (105, 5), (105, 105), (5, 105)],
        [[(20, 20), (20, 90), (90, 90), (90, 20)]],
    )


def test_a_drop_out_is_kept_as_it_falls():
    found = left_of(frame(), title="Stool")
    fallen = [r for r in found if r.fell_from]
    assert [r.fell_from for r in fallen] == ["A1"]
    assert fallen[0].offcut.outline.area == pytest.approx(69.8**2)
    assert fallen[0].at == pytest.approx((20.1, 20.1))
    assert fallen[0].offcut.origin == "Stool, sheet-1, out of A1"


def test_a_laser_leaves_a_drop_out_smaller_by_its_kerf():
    assert fallen_piece(rectangle(0, 0, 70, 70), 0.2).area == pytest.approx(69.6**2)


def test_drop_outs_have_a_size_of_their_own():
    assert [r.fell_from for r in left_of(frame(), keep=Keep(drop_outs=(71.0, 10.0))) if r.fell_from] == []
    assert [r.fell_from for r in left_of(frame(), keep=Keep(drop_outs=(69.0, 10.0))) if r.fell_from] == ["A1"]


def test_where_a_part_lies_in_an_opening_the_rest_of_it_is_parted():
    found = left_of(frame(), rectangle(21.0, 21.0, 50.0, 60.0))
    (fallen,) = [r for r in found if r.fell_from]
    assert bounds(fallen) == (20.0, 20.0, 90.0, 90.0)
    assert fallen.offcut.outline.area == pytest.approx(70 * 70 - 31 * 41)


def test_what_is_left_of_an_offcut_has_its_grain_and_stays_within_its_outline():
    outline = flat([(0, 0), (120, 0), (120, 60), (60, 120), (0, 120)])
    sheet = Sheet("sheet-1", "card", 120.0, 120.0, (Placement("p0", 1, 0.0, 0.0),), "K4", outline, "y")
    found = left_of(rectangle(0.0, 0.0, 60.0, 40.0), sheet=sheet, first=7)
    assert [r.offcut.name for r in found] == [f"K{7 + n}" for n in range(len(found))]
    assert {r.offcut.grain for r in found} == {"y"}
    for one in found:
        assert outline.buffer(1e-6).contains(rectangle(*bounds(one)).intersection(outline))


def test_the_biggest_is_named_first():
    taken = rectangle(80.0, 0.0, 120.0, 140.0)
    found = left_of(taken)
    assert [bounds(r)[0] for r in found] == [0.0, 121.0]
    assert [r.offcut.outline.area for r in found] == sorted(
        (r.offcut.outline.area for r in found), reverse=True
    )


def test_openings_of_parts_are_not_free():
    assert without(SHEET, (frame(),), 1.0).area == pytest.approx(200 * 140 - 102**2)


def test_a_piece_is_measured_whichever_way_it_is_turned():
    tilted = flat([(0.0, 0.0), (12.0, 9.0), (9.0, 13.0), (-3.0, 4.0)])
    assert around(tilted) == pytest.approx((15.0, 5.0))
    assert lying(tilted).bounds == pytest.approx((0.0, 0.0, 15.0, 5.0))
