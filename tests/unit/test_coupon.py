"""The coupon holds what is measured, and its notes say where the results go."""

from itertools import pairwise

import pytest

from laminature.errors import FormError
from laminature.geometry.flat import rectangle
from laminature.model.board import Board
from laminature.model.fit import HAND_STACKED, LEAST, PINNED
from laminature.model.stack import thickness
from laminature.sheets.check import faults
from laminature.sheets.coupon import comb_layers, coupon_sheets, slot_widths
from laminature.sheets.numerals import numerals, numerals_width

from ..drawn_by_hand import WORDS

BOARD = Board("chipboard-22", "22-point chipboard", 0.5588, 305.0, 229.0)
THIN = Board("card-10", "10-point card", 0.254, 305.0, 229.0)


def parts(layers):
    found = {}
    for layer in layers:
        found.setdefault(layer.part, []).append(layer)
    return found


@pytest.mark.parametrize("board", [BOARD, THIN])
@pytest.mark.parametrize("cutter", ["knife", "laser"])
def test_the_coupon_is_a_sound_layout_with_labels_of_its_own(board, cutter):
    layers, sheets, _ = coupon_sheets(board, cutter, HAND_STACKED, WORDS)
    assert not faults(sheets, layers, {board.name: board}, 1.5, 5.0)
    labels = [layer.label for layer in layers]
    assert len(set(labels)) == len(labels)
    assert {layer.board for layer in layers} == {board.name}


def test_there_are_strips_for_stacks_of_two_to_five_layers():
    found = parts(coupon_sheets(BOARD, "knife", HAND_STACKED, WORDS)[0])
    assert [len(found[f"strip-{n}"]) for n in (2, 3, 4, 5)] == [2, 3, 4, 5]
    assert found["strip-4"][-1].upper == pytest.approx(4 * 0.5588)


def test_the_combs_slots_are_as_wide_as_the_numbers_say():
    comb = parts(coupon_sheets(BOARD, "knife", HAND_STACKED, WORDS)[0])["comb"]
    shape = comb[-1].cut[0]
    slots = rectangle(*shape.bounds).difference(shape)
    drawn = sorted(g.bounds[2] - g.bounds[0] for g in slots.geoms)
    assert drawn == pytest.approx(slot_widths(4 * 0.5588, HAND_STACKED), abs=1e-9)
    assert [bool(layer.marks) for layer in comb] == [False, False, False, True]
    for stroke in comb[-1].marks:
        assert shape.contains(rectangle(*_around(stroke.flattened)))


def _around(points):
    return (*(points.min(axis=0) - 0.05), *(points.max(axis=0) + 0.05))


@pytest.mark.parametrize("fit", [HAND_STACKED, PINNED])
def test_slots_step_by_four_hundredths_around_the_fit(fit):
    widths = slot_widths(2.2352, fit)
    steps = [b - a for a, b in pairwise(widths)]
    assert steps == pytest.approx([0.04] * 8)
    assert widths[0] >= 2.2352 + 2 * LEAST
    assert widths[0] <= 2.2352 + 2 * fit.side <= widths[-1]
    assert all(round(w * 100) / 100 == w for w in widths)


def test_thin_board_gets_a_comb_that_the_cutter_can_still_cut():
    count = comb_layers(THIN, "knife")
    assert thickness(THIN, count) >= THIN.opening_knife > thickness(THIN, count - 1)
    assert comb_layers(BOARD, "knife") == 4


def test_square_and_opening_for_the_kerf_are_twenty_millimetres():
    found = parts(coupon_sheets(BOARD, "laser", HAND_STACKED, WORDS)[0])
    assert found["square"][0].cut[0].bounds == (0.0, 0.0, 20.0, 20.0)
    x0, y0, x1, y1 = found["frame"][0].cut[0].interiors[0].bounds
    assert (x1 - x0, y1 - y0) == (20.0, 20.0)


def test_the_notes_say_where_each_result_goes():
    notes = coupon_sheets(BOARD, "knife", HAND_STACKED, WORDS)[2]
    for words in ("[boards.chipboard-22]", "measured = {", "across =", "kerf =", "22-point chipboard"):
        assert words in notes


def test_a_sheet_too_small_for_the_coupon_is_refused():
    small = Board("scrap", "a scrap", 0.5, 60.0, 60.0)
    with pytest.raises(FormError, match="coupon"):
        coupon_sheets(small, "knife", HAND_STACKED, WORDS)


def test_numbers_are_centred_and_as_high_as_asked():
    strokes = numerals("2.36", 10.0, 5.0, 2.4)
    xs = [x for s in strokes for x, _ in s.flattened]
    ys = [y for s in strokes for _, y in s.flattened]
    assert (min(ys), max(ys)) == (5.0, pytest.approx(7.4))
    assert (min(xs) + max(xs)) / 2 == pytest.approx(10.0)
    assert max(xs) - min(xs) == pytest.approx(numerals_width("2.36", 2.4))


def test_no_two_digits_look_alike():
    looks = {tuple(sorted(map(repr, numerals(d, 0.0, 0.0, 2.0)))) for d in "0123456789"}
    assert len(looks) == 10
