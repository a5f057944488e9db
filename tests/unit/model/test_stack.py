"""Stacks: layers, real thickness, and mixes of two calipers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.model.board import Board
from laminature.model.stack import WORTH_MIXING, layers_for, mixed_stack, stack, stack_for, thickness

THIN = Board("thin", "Thin", 0.5588, 300, 300)
THICK = Board("thick", "Thick", 0.762, 300, 300)


def test_thickness_counts_layers_growth_glue_and_sanding():
    board = Board("b", "B", 0.5, 300, 300, growth=0.02, glue_line=0.03, face_sanding=0.1)
    # 4 · 0.5 · 1.02 + 3 · 0.03 − 0.1
    assert thickness(board, 4) == pytest.approx(2.03)


def test_a_measured_stack_beats_the_formula():
    board = Board("b", "B", 0.5, 300, 300, measured=((4, 2.31),))
    assert thickness(board, 4) == 2.31
    assert thickness(board, 3) == pytest.approx(1.5)


def test_the_nearest_number_of_layers_is_taken_and_a_tie_takes_fewer():
    board = Board("b", "B", 0.5, 300, 300)
    assert layers_for(board, 1.6) == 3
    assert layers_for(board, 1.75) == 3
    assert layers_for(board, 0.01) == 1


def test_slab_bounds_share_the_real_thickness_by_caliper():
    mix = mixed_stack(THICK, THIN, 1, 2)
    heights = mix.bounds
    assert heights[0] == 0.0
    assert heights[-1] == mix.thickness
    assert (heights[1] - heights[0]) / (heights[2] - heights[1]) == pytest.approx(0.762 / 0.5588)


def test_a_second_board_is_mixed_in_only_where_that_halves_a_large_error():
    assert stack_for(THIN, 4 * 0.5588, THICK).boards == ("thin",) * 4
    mix = stack_for(THIN, 2 * 0.5588 + 0.762, THICK)
    assert mix.boards == mix.boards[::-1]
    assert set(mix.boards) == {"thin", "thick"}


@given(st.floats(0.3, 12.0))
def test_a_mix_is_never_worse_and_always_symmetrical(wanted):
    plain, mix = stack(THIN, layers_for(THIN, wanted)), stack_for(THIN, wanted, THICK)
    off = abs(plain.thickness - wanted)
    assert mix.boards == mix.boards[::-1]
    if mix != plain:
        assert off > WORTH_MIXING
        assert abs(mix.thickness - wanted) <= off / 2 + 1e-9
