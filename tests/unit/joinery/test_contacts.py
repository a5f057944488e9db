"""Every kind of contact is found, and nothing else."""

from dataclasses import replace

import numpy as np
import pytest

from laminature.geometry.region import shape
from laminature.joinery.contacts import CAPTURE, find_contacts

from .panels import board, plate


def topped(*top):
    """A board 40 mm wide whose upper edge is given from right to left."""
    return replace(board(), outline=shape([(-20.0, 0.0), (20.0, 0.0), *top]))


def kinds(*parts):
    return [(c.kind, c.receiver, c.entering) for c in find_contacts(parts)]


def test_an_edge_that_ends_on_a_face():
    (c,) = find_contacts((plate(), board()))
    assert (c.kind, c.receiver, c.entering) == ("edge-on-face", "plate", "board")
    assert np.allclose(c.entering_way, (0, 0, 1))
    assert c.angle == pytest.approx(90.0)
    assert c.runs[0].length == pytest.approx(40.0)


def test_the_order_of_the_parts_does_not_change_who_enters():
    assert kinds(board(), plate()) == [("edge-on-face", "plate", "board")]


def test_an_edge_at_the_border_of_the_other_is_a_corner():
    assert kinds(plate(depth=40.0), board(y=19.0)) == [("corner", "plate", "board")]


def test_a_board_that_ends_inside_a_plate():
    (c,) = find_contacts((plate(), board(height=31.0)))
    assert c.kind == "inside"


def test_boards_that_pass_through_each_other_cross():
    (c,) = find_contacts((board("a"), board("b", turn=90.0)))
    assert c.kind == "crossing"
    assert c.runs[0].length == pytest.approx(30.0)


@pytest.mark.parametrize("turn", [60.0, 45.0, 20.0])
def test_crossings_know_their_angle(turn):
    (c,) = find_contacts((board("a"), board("b", turn=turn)))
    assert (c.kind, c.angle) == ("crossing", pytest.approx(turn))


def test_plates_that_lie_on_each_other_are_glued_faces():
    assert kinds(plate("a", z=30.0), plate("b", z=32.0)) == [("faces", "a", "b")]


def test_plates_side_by_side_in_one_plane_touch_edge_to_edge():
    left, right = plate("a", width=20.0), plate("b", width=20.0)
    right = replace(right, pose=right.pose.moved(20.0))
    assert kinds(left, right) == [("faces", "a", "b")]


@pytest.mark.parametrize("gap", [0.05, 0.3, 0.7])
def test_a_board_just_short_of_a_plate_is_a_near_miss_with_its_gap(gap):
    (c,) = find_contacts((plate(z=30.0 + gap), board()))
    assert c.kind == "near-miss"
    assert c.gap == pytest.approx(gap, abs=1e-6)


def test_what_is_further_off_than_the_capture_is_nothing():
    assert kinds(plate(z=30.0 + CAPTURE + 0.1), board()) == []


def test_loose_groups_are_never_joined():
    assert kinds(plate(group="lid"), board()) == []


def test_a_leaning_board_touches_with_its_mid_plane():
    (c,) = find_contacts((plate(), board(lean=15.0)))
    assert (c.kind, c.angle) == ("edge-on-face", pytest.approx(75.0))


def test_lines_run_away_from_the_viewer_else_to_the_right_else_upwards():
    (across,) = find_contacts((plate(), board()))
    (deep,) = find_contacts((plate(depth=60), board(turn=90.0)))
    (up,) = find_contacts((board("a"), board("b", turn=90.0)))
    assert np.allclose(across.along, (1, 0, 0))
    assert np.allclose(deep.along, (0, 1, 0))
    assert np.allclose(up.along, (0, 0, 1))


def test_two_feet_are_two_runs_of_one_contact():
    feet = topped((20, 30), (10, 30), (10, 20), (-10, 20), (-10, 30), (-20, 30))
    (c,) = find_contacts((plate(), feet))
    assert [(r.start, r.end) for r in c.runs] == [pytest.approx((-20, -10)), pytest.approx((10, 20))]


def test_a_shallow_hollow_between_two_feet_is_no_near_miss():
    feet = topped((20, 30), (10, 30), (10, 29.5), (-10, 29.5), (-10, 30), (-20, 30))
    assert kinds(plate(), feet) == [("edge-on-face", "plate", "board")]


def test_a_rounded_corner_is_no_near_miss():
    a = np.linspace(0.0, np.pi / 2, 30)
    right = list(zip(17 + 3 * np.cos(a), 27 + 3 * np.sin(a), strict=True))
    left = [(-x, y) for x, y in reversed(right)]
    assert kinds(plate(), topped(*right, *left)) == [("edge-on-face", "plate", "board")]


def test_an_edge_that_touches_with_one_end_only_is_a_near_miss_too():
    slope = topped((20, 30), (-20, 29))
    found = {c.kind: c for c in find_contacts((plate(), slope))}
    assert set(found) == {"edge-on-face", "near-miss"}
    # Half-way along what floats, from where 0.75 mm are missing to where 0.02 mm are.
    assert found["near-miss"].gap == pytest.approx((CAPTURE + 0.02) / 2, abs=1e-6)


def test_a_leaning_board_touches_with_the_nearest_corner_of_its_edge_too():
    leaning = board(lean=20.0)
    corner = leaning.thickness / 2 * np.sin(np.radians(20.0))
    lowered = leaning.placed(leaning.pose.moved(dz=-corner))
    assert kinds(plate(), lowered) == [("edge-on-face", "plate", "board")]
    (c,) = find_contacts((plate(), leaning.placed(leaning.pose.moved(dz=-corner - 0.3))))
    assert (c.kind, c.gap) == ("near-miss", pytest.approx(0.3, abs=1e-6))


def test_plates_a_little_apart_are_a_near_miss_with_its_gap():
    (c,) = find_contacts((plate("a", z=30.0), plate("b", z=32.3)))
    assert (c.kind, c.gap) == ("near-miss", pytest.approx(0.3))
