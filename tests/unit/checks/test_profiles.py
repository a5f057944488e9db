"""Mouldings in thick layers: thinner board is offered."""

from laminature.checks.profiles import coarse_profiles
from laminature.model.board import Board
from laminature.model.part import EdgeProfile

from .by_hand import BOARD, checked, part

CARD = Board("card-10", "Card", 0.254, 300.0, 200.0)
ROUND = EdgeProfile("quarter round", (0.0, 0.1, 0.4, 1.0))


def test_steps_of_22_points_stand_for_nearly_7_mm_and_thinner_board_is_offered():
    (found,) = coarse_profiles(checked(part("top", profile=ROUND), boards=[BOARD, CARD], scale=12.0))
    assert (found.code, found.grade, found.part) == ("profile-coarse", "note", "top")
    # 22 points are 0.5588 mm, times 12.
    assert "6.7 mm" in found.message
    assert 'board = "card-10" (3.0 mm)' in found.remedy


def test_a_straight_edge_or_a_larger_scale_needs_no_word():
    straight = EdgeProfile("straight", (0.0,) * 4)
    assert coarse_profiles(checked(part("top", profile=straight), boards=[BOARD], scale=12.0)) == ()
    assert coarse_profiles(checked(part("top"), boards=[BOARD], scale=12.0)) == ()
    assert coarse_profiles(checked(part("top", profile=ROUND), boards=[BOARD], scale=6.0)) == ()
