"""Layers come to lie on sheets: every one once, apart, inside the margin, by its grain."""

import math
from dataclasses import replace

import pytest

from laminature.errors import Cancelled, GeometryError
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.nearness import long_axis
from laminature.geometry.region import disc
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.sheets.check import faults, placed
from laminature.sheets.nesting import lay_out

CARD = Board("card", "white card", 0.5, 200.0, 150.0, grain="x")
THIN = Board("thin", "thin card", 0.25, 100.0, 100.0, grain="y")
BOARDS = {"card": CARD, "thin": THIN}


def layer(part, shape, index=1, **changes):
    made = Layer(part, part.upper(), index, "card", 0.0, 0.5, (shape,), (shape,))
    return replace(made, **changes)


def only(sheets):
    (sheet,) = sheets
    return sheet.placements


def test_nothing_to_lay_out_needs_no_sheet():
    assert lay_out([], BOARDS, 1.5, 5.0) == ((), ())


def test_one_shape_lies_in_the_corner_of_the_margin():
    sheets, findings = lay_out([layer("a", rectangle(7, -3, 37, 17))], BOARDS, 1.5, 5.0)
    assert not findings
    (sheet,) = sheets
    assert (sheet.name, sheet.board, sheet.width, sheet.height) == ("sheet-1", "card", 200.0, 150.0)
    assert placed(layer("a", rectangle(7, -3, 37, 17)), sheet.placements[0]).bounds[:2] == (5.0, 5.0)


def test_the_same_layers_give_the_same_sheets():
    layers = [layer(f"p{k}", rectangle(0, 0, 20 + k % 7, 10 + k % 5)) for k in range(40)]
    assert repr(lay_out(layers, BOARDS, 1.5, 5.0)) == repr(lay_out(layers, BOARDS, 1.5, 5.0))


def test_zero_spacing_and_zero_margin_fill_a_sheet_to_the_last_corner():
    layers = [layer(f"p{k}", rectangle(0, 0, 50, 50), grain="free") for k in range(12)]
    sheets, findings = lay_out(layers, BOARDS, 0.0, 0.0)
    assert not findings
    assert [len(s.placements) for s in sheets] == [12]


def test_five_hundred_shapes_are_laid_out():
    layers = [layer(f"p{k}", rectangle(0, 0, 8 + k % 3, 6)) for k in range(500)]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    assert sum(len(s.placements) for s in sheets) == 500


def test_thin_slivers_at_zero_spacing_do_not_lie_on_each_other():
    layers = [layer(f"p{k}", rectangle(0, 0, 40, 0.3)) for k in range(20)]
    sheets, findings = lay_out(layers, BOARDS, 0.0, 0.0)
    assert not findings
    assert len(sheets) == 1


def test_shapes_are_laid_into_the_openings_of_others():
    frame = flat([(0, 0), (190, 0), (190, 140), (0, 140)], [[(10, 10), (180, 10), (180, 130), (10, 130)]])
    layers = [layer("frame", frame), layer("inside", rectangle(0, 0, 100, 80))]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    assert len(sheets) == 1


def test_a_part_larger_than_its_sheet_is_named_and_the_rest_still_laid_out():
    layers = [layer("giant", rectangle(0, 0, 195, 145)), layer("small", rectangle(0, 0, 20, 20))]
    sheets, (finding,) = lay_out(layers, BOARDS, 1.5, 5.0)
    assert (finding.code, finding.grade, finding.part) == ("part-too-large", "stop", "giant")
    assert "195.0 × 145.0 mm" in finding.message
    assert "190.0 × 140.0 mm" in finding.message
    assert finding.remedy
    assert [p.part for p in only(sheets)] == ["small"]


def test_one_finding_stands_for_all_layers_of_a_part_that_is_too_large():
    layers = [layer("giant", rectangle(0, 0, 300, 20 + k), index=k + 1) for k in range(4)]
    assert [f.code for f in lay_out(layers, BOARDS, 1.5, 5.0)[1]] == ["part-too-large"]


def test_what_only_its_grain_keeps_off_the_sheet_is_told_so():
    board = replace(CARD, sheet_width=100.0)
    tall = layer("tall", rectangle(0, 0, 20, 130), grain="along")
    sheets, (finding,) = lay_out([tall], {"card": board}, 1.5, 5.0)
    assert not sheets
    assert 'grain = "free"' in finding.remedy
    sheets, findings = lay_out([replace(tall, grain="free")], {"card": board}, 1.5, 5.0)
    assert not findings
    assert len(sheets) == 1


def test_margins_that_leave_no_room_are_named():
    sheets, (finding,) = lay_out([layer("a", rectangle(0, 0, 5, 5))], BOARDS, 1.5, 80.0)
    assert not sheets
    assert "margins of 80 mm" in finding.message


def test_boards_never_share_a_sheet_and_sheets_are_numbered_through():
    layers = [
        layer("a", rectangle(0, 0, 150, 100)),
        layer("b", rectangle(0, 0, 60, 60), board="thin"),
        layer("c", rectangle(0, 0, 150, 100)),
    ]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    assert [(s.name, s.board) for s in sheets] == [
        ("sheet-1", "card"),
        ("sheet-2", "card"),
        ("sheet-3", "thin"),
    ]


def test_a_layer_that_fell_apart_keeps_all_its_pieces():
    two = (rectangle(0, 0, 30, 10), rectangle(0, 20, 10, 25))
    sheets, findings = lay_out([layer("a", two[0], cut=two)], BOARDS, 1.5, 5.0)
    assert not findings
    assert [p.piece for p in only(sheets)] == [0, 1]


def test_a_mirrored_layer_is_placed_mirrored():
    hook = flat([(0, 0), (30, 0), (30, 10), (10, 10), (10, 25), (0, 25)])
    upright, mirrored = layer("a", hook), layer("b", hook, mirrored=True)
    sheets, findings = lay_out([upright, mirrored], BOARDS, 1.5, 5.0)
    assert not findings
    assert [p.mirrored for p in only(sheets)] == [False, True]
    at = only(sheets)[1]
    x, y = placed(mirrored, at).exterior.coords[0]
    assert math.dist((x, y), (at.x, at.y)) < 1e-9


def test_alike_layers_of_a_part_all_lie_the_same_way():
    layers = [layer("a", rectangle(0, 0, 130 - k, 30), index=k + 1) for k in range(5)]
    layers += [layer("b", rectangle(0, 0, 60, 25 - k), index=k + 1) for k in range(5)]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    for part in "ab":
        turns = {p.turn % 180.0 for s in sheets for p in s.placements if p.part == part}
        assert len(turns) == 1


def test_a_layer_that_fits_both_ways_does_not_decide_against_one_that_fits_only_one():
    short_and_thick = layer("a", rectangle(0, 0, 130, 130), index=1)
    long_and_thin = layer("a", rectangle(0, 0, 5, 180), index=2)
    sheets, findings = lay_out([short_and_thick, long_and_thin], BOARDS, 1.5, 5.0)
    assert not findings
    assert {p.turn % 180.0 for s in sheets for p in s.placements} == {90.0}


@pytest.mark.parametrize(("board", "direction"), [("card", 0.0), ("thin", 90.0)])
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("slant", [0.0, 30.0, 90.0, 117.0])
def test_slender_parts_lie_along_the_grain(board, direction, mirrored, slant):
    a = math.radians(slant)
    along, across = (80 * math.cos(a), 80 * math.sin(a)), (-6 * math.sin(a), 6 * math.cos(a))
    leg = flat([(0, 0), along, (along[0] + across[0], along[1] + across[1]), across])
    one = layer("leg", leg, board=board, grain="along", mirrored=mirrored)
    sheets, findings = lay_out([one], BOARDS, 1.5, 5.0)
    assert not findings
    axis = long_axis(placed(one, only(sheets)[0]))
    assert axis == pytest.approx(direction, abs=1e-6)


@pytest.mark.parametrize(("count", "across"), [(3, {2}), (4, {2, 3}), (5, {2, 4}), (6, {2, 5})], ids=str)
def test_crossed_layers_are_balanced_about_the_middle(count, across):
    layers = [layer("a", rectangle(0, 0, 40, 30), index=k + 1, grain="crossed") for k in range(count)]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    turn = {p.layer: p.turn % 180.0 for s in sheets for p in s.placements}
    assert {k for k in turn if turn[k] != turn[1]} == across


def test_layers_on_two_boards_agree_about_the_grain_of_each():
    layers = [
        layer("a", rectangle(0, 0, 60, 20), index=1),
        layer("a", rectangle(0, 0, 60, 20), index=2, board="thin"),
    ]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    on = {s.board: s.placements[0].turn % 180.0 for s in sheets}
    assert (on["thin"] - on["card"]) % 180.0 == 90.0


def test_progress_grows_to_one_and_may_cancel():
    told = []
    layers = [layer(f"p{k}", rectangle(0, 0, 20, 10)) for k in range(5)]
    lay_out(layers, BOARDS, 1.5, 5.0, lambda share, words: told.append((share, words)))
    assert [share for share, _ in told] == sorted(share for share, _ in told)
    assert told[-1][0] == 1.0

    def stop(share, words):
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        lay_out(layers, BOARDS, 1.5, 5.0, stop)


def test_an_outline_that_crosses_itself_is_refused_by_name():
    bow = type(rectangle(0, 0, 1, 1))([(0, 0), (10, 10), (10, 0), (0, 10)])
    with pytest.raises(GeometryError, match="BOW1 of bow"):
        lay_out([layer("bow", bow)], BOARDS, 1.5, 5.0)


@pytest.mark.filterwarnings("ignore:invalid value")
@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([(0, 0), (10, 0), (20, 0)], "encloses nothing"),
        ([(0, 0), (10, 0), (float("nan"), 10)], "has corners that are not numbers"),
        ([(0, 0), (10, 0), (10, 10), (5, -5), (0, 10)], "crosses or touches itself"),
        ([(0, 0), (10, 0), (10, float("inf"))], "has corners that are not numbers"),
    ],
)
def test_an_outline_that_is_none_is_refused_by_name(outline, words):
    bad = type(rectangle(0, 0, 1, 1))(outline)
    with pytest.raises(GeometryError, match=f"BAD1 of bad cannot be cut: its outline {words}"):
        lay_out([layer("good", rectangle(0, 0, 5, 5)), layer("bad", bad)], BOARDS, 1.5, 5.0)


def test_an_empty_polygon_is_refused_by_name():
    with pytest.raises(GeometryError, match="BAD1 of bad"):
        lay_out([layer("bad", type(rectangle(0, 0, 1, 1))())], BOARDS, 1.5, 5.0)


@pytest.mark.parametrize(
    ("spacing", "margin"), [(-1.0, 5.0), (1.5, float("inf")), (1.5, -5.0), (float("nan"), 5.0)]
)
def test_a_negative_spacing_or_margin_is_refused(spacing, margin):
    with pytest.raises(GeometryError):
        lay_out([layer("a", rectangle(0, 0, 5, 5))], BOARDS, spacing, margin)


# The exact check, asked about layouts that were spoilt on purpose.


def spoilt(**changes):
    layers = [layer("a", rectangle(0, 0, 30, 20)), layer("b", disc(10.0).flat)]
    (sheet,), findings = lay_out(layers, BOARDS, 1.5, 5.0)
    assert not findings
    first, *others = sheet.placements
    return layers, replace(sheet, placements=(replace(first, **changes), *others))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"x": 4.9}, "beyond the margin"),
        ({"x": 5.2}, "not 1.5 mm"),
        ({"mirrored": True, "x": 100.0}, "mirrored wrongly"),
        ({"part": "nobody"}, "0 times instead of 1"),
        ({"part": "b"}, "2 times instead of 1"),
    ],
)
def test_the_check_finds_what_was_spoilt(changes, words):
    layers, sheet = spoilt(**changes)
    found = faults([sheet], layers, BOARDS, 1.5, 5.0)
    assert any(words in f.message for f in found)
    assert all(f.code == "layout-fault" and f.grade == "stop" for f in found)


def test_the_check_finds_a_layer_on_the_wrong_board():
    layers, sheet = spoilt()
    wrong = replace(sheet, board="thin")
    assert any("wants card" in f.message for f in faults([wrong], layers, BOARDS, 1.5, 5.0))
