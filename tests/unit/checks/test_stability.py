"""Standing level, tipping, and the margin in degrees."""

import math

import numpy as np
import pytest

from laminature.checks.stability import centre_of_mass, standing
from laminature.geometry.pose import Pose
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.part import Part
from laminature.model.stack import stack

from .by_hand import BOARD, THICK, checked, part, upright


def table(leg_at, lengths=(30, 30, 30, 30)):
    """A top of 40 × 40 mm, 30 mm up, on four square legs; ``leg_at`` is their distance from its middle."""
    legs = []
    for n, (x, y) in enumerate([(-1, -1), (1, -1), (1, 1), (-1, 1)]):
        post = box(x * leg_at - 2, y * leg_at - 2, x * leg_at + 2, y * leg_at + 2)
        # A post as a stack of its own: 4 × 4 mm, as high as the leg is long.
        board = Board("post", "Post", lengths[n], 300, 200)
        made = part(f"leg-{n}", post, Pose((0.0, 0.0, 30.0 - lengths[n])), 1)
        legs.append(Part(made.name, made.title, made.outline, stack(board, 1), made.pose))
    top = part("top", box(-20, -20, 20, 20), Pose((0.0, 0.0, 30.0)))
    posts = Board("post", "Post", 30, 300, 200)
    return checked(top, *legs, stands=True, boards=[BOARD, posts])


def test_a_table_with_wide_feet_stands_and_says_how_far_it_may_be_tilted():
    given = table(15)
    (found,) = standing(given)
    assert (found.code, found.grade) == ("stands", "note")
    _, centre = centre_of_mass(given)
    assert f"{math.degrees(math.atan(17 / centre[2])):.1f}°" in found.message


def test_narrow_feet_tip_easily():
    (found,) = standing(table(1))
    assert (found.code, found.grade) == ("tips-easily", "care")


def test_a_short_leg_leaves_three_and_still_stands():
    (found,) = standing(table(15, (30, 30, 30, 29)))
    assert found.grade in ("note", "care")


def test_two_short_legs_do_not_stand_level():
    (found,) = standing(table(15, (30, 30, 28, 28)))
    # Feet are 4 mm wide, so two legs still make a footprint: the weight lies outside it.
    assert (found.code, found.grade) == ("tips", "stop")
    # The outer edges of the long legs' inner sides to the short legs' outer ones.
    lean = float(found.message.split("leaning ")[1].split("°")[0])
    assert 3.0 < lean < 5.0


def test_a_board_on_its_edge_has_no_three_feet():
    ball = part("keel", box(0, 0, 40, 30), upright(0, 0, 0))
    rocking = ball.outline.flat.difference(box(-1, -1, 41, 3).flat).union(
        ball.outline.flat.intersection(box(19.99, 0, 20.01, 30).flat)
    )
    (found,) = standing(checked(ball, carved={"keel": rocking}, stands=True))
    assert (found.code, found.grade) == ("not-level", "stop")
    assert "only balances" in found.message


def test_feet_of_two_heights_lean_by_what_they_differ():
    # A bench of two boards on edge, 40 mm apart, one of them 1 mm short, both thinner than a touch is wide.
    paper = Board("paper", "Paper", 0.04, 300.0, 200.0)
    sides = [
        Part(name, name, box(0, low, 60, 30), stack(paper, 1), upright(0, y, 0))
        for name, low, y in (("front", 0, 0.02), ("back", 1, 40.02))
    ]
    (found,) = standing(checked(*sides, stands=True, boards=[paper]))
    assert (found.code, found.grade) == ("not-level", "stop")
    assert f"leaning {math.degrees(math.atan(1 / 40)):.1f}°" in found.message


def test_a_piece_that_leans_over_its_feet_tips():
    foot, arm = part("foot", box(0, 0, 10, 10)), part("arm", box(0, 0, 60, 10), Pose((0.0, 0.0, THICK)))
    (found,) = standing(checked(foot, arm, stands=True))
    assert (found.code, found.grade) == ("tips", "stop")


def test_what_hangs_on_a_wall_is_not_asked():
    assert standing(checked(part("shelf", pose=upright(0, 0, 0)), stands=False)) == ()


def test_mass_and_centre_follow_density_and_place():
    heavy = Board("heavy", "Heavy card", BOARD.caliper, 300, 200, density=1.3)
    one = part("one", box(0, 0, 10, 10))
    two = Part("two", "Two", one.outline, stack(heavy, 4), Pose((30.0, 0.0, 0.0)))
    mass, centre = centre_of_mass(checked(one, two, boards=[BOARD, heavy]))
    each = 100 * THICK * 0.65 / 1000
    assert mass == pytest.approx(3 * each)
    np.testing.assert_allclose(centre, [5 + 30 * 2 / 3, 5, THICK / 2])
