"""Where tabs and fingers go along a line."""

import itertools

import pytest

from laminature.joinery.tabs import finger_cells, shared_cells, tab_cells

#: Inset from the ends and projection of the tabs, mm.
INSET, OUT = 2.0, 1.5


def widths(cells):
    return [hi - lo for lo, hi in cells]


@pytest.mark.parametrize(("length", "count"), [(8.6, 1), (20.0, 1), (40.0, 2), (90.0, 4)])
def test_about_one_tab_for_each_28_mm_and_always_one(length, count):
    cells = tab_cells(((0.0, length),), INSET, OUT, None, None)
    assert len(cells) == count
    assert all(3 * OUT - 1e-9 <= w <= 14.0 + 1e-9 for w in widths(cells))
    assert cells[0][0] >= INSET
    assert cells[-1][1] <= length - INSET


def test_tabs_lie_alike_from_both_ends():
    cells = tab_cells(((0.0, 75.0),), INSET, OUT, None, None)
    assert [pytest.approx((75.0 - hi, 75.0 - lo)) for lo, hi in reversed(cells)] == list(cells)


def test_where_three_times_the_projection_finds_no_room_there_is_no_tab():
    assert tab_cells(((0.0, 8.4),), INSET, OUT, None, None) == ()
    assert len(tab_cells(((0.0, 8.4), (20.0, 40.0)), INSET, OUT, None, None)) == 1


def test_count_is_for_all_stretches_together_and_the_longest_is_served_first():
    cells = tab_cells(((0.0, 20.0), (30.0, 80.0)), INSET, OUT, 3, None)
    assert [lo > 30.0 for lo, _ in cells] == [False, True, True]
    assert [lo > 30.0 for lo, _ in tab_cells(((0.0, 20.0), (30.0, 80.0)), INSET, OUT, 1, None)] == [True]


def test_a_width_that_is_asked_for_is_kept():
    assert widths(tab_cells(((0.0, 60.0),), INSET, OUT, 2, 6.0)) == pytest.approx([6.0, 6.0])


@pytest.mark.parametrize("parts", [2, 3])
def test_neighbours_that_share_a_line_take_turns_and_keep_a_web(parts):
    web = 1.6
    given = [
        (cell, turn)
        for turn in range(parts)
        for cell in shared_cells(((0.0, 80.0),), INSET, OUT, (turn, parts), web)
    ]
    given.sort()
    turns = [turn for _, turn in given]
    assert turns == [i % parts for i in range(len(turns))]
    assert len(turns) > parts
    gaps = [after[0][0] - before[0][1] for before, after in itertools.pairwise(given)]
    assert gaps == pytest.approx([web] * len(gaps))
    assert given[0][0][0] == pytest.approx(INSET)
    assert given[-1][0][1] == pytest.approx(80.0 - INSET)


def test_nothing_is_shared_where_the_line_is_shorter_than_its_margins():
    assert shared_cells((), INSET, OUT, (0, 2), 1.6) == ()
    assert shared_cells(((0.0, 1.0),), INSET, OUT, (0, 2), 1.6) == ()


def test_fingers_are_every_second_of_an_odd_number_of_cells():
    assert finger_cells((0.0, 35.0), OUT, 3, None) == (
        pytest.approx((5, 10)),
        pytest.approx((15, 20)),
        pytest.approx((25, 30)),
    )
    # 45 mm hold nine cells of 5 mm, and four of them are the entering part's.
    assert widths(finger_cells((0.0, 45.0), OUT, None, 5.0)) == pytest.approx([5.0] * 4)


def test_the_shortest_corner_still_has_one_finger_and_two_ends():
    assert finger_cells((0.0, 3.0), OUT, None, None) == (pytest.approx((1, 2)),)
