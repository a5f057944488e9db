"""Joints that are weak, that show, or that cannot be put together."""

import pytest

from laminature.checks.joints import (
    blind_depths,
    common_entries,
    fingers_that_show,
    tab_widths,
    tabs_across_grain,
    tabs_near_edges,
)
from laminature.geometry.pose import turned
from laminature.geometry.region import box
from laminature.model.board import Board

from .by_hand import BOARD, THICK, checked, contact, joint, part, upright

SEAT = part("seat", box(0, 0, 60, 40))
LEG = part("leg", box(0, 0, 30, 20), upright(0, 20, THICK))
#: The leg's lower edge stands on the seat's upper face, along x at y = 20 - half the leg's thickness.
MEET = contact("seat", "leg", origin=(10.0, 20 - THICK / 2, THICK), entering_way=(0.0, 0.0, -1.0))


def seen(*joints, seat=SEAT, leg=LEG, **more):
    return checked(seat, leg, joints=joints, **more)


def test_joints_along_one_direction_go_together():
    one, two = joint(MEET, entries=((0, 0, -1), (1, 0, 0))), joint(MEET, entries=((0, 0.005, -1), (-1, 0, 0)))
    assert common_entries(seen(one, two)) == ()


def test_joints_that_want_different_directions_cannot_be_put_together():
    one, two = joint(MEET, entries=((0, 0, -1),)), joint(MEET, entries=((1, 0, 0),))
    (found,) = common_entries(seen(one, two))
    assert (found.code, found.grade) == ("no-common-entry", "stop")


def test_the_same_motion_seen_from_the_other_part_is_the_same():
    back = contact("leg", "seat", origin=(0.0, 0.0, 0.0))
    assert common_entries(seen(joint(MEET, entries=((0, 0, -1),)), joint(back, entries=((0, 0, 1),)))) == ()
    assert common_entries(seen(joint(MEET, entries=((0, 0, -1),)), joint(back, entries=((0, 0, -1),)))) != ()


def test_glue_asks_for_no_direction():
    assert common_entries(seen(joint(MEET, entries=((0, 0, -1),)), joint(MEET, "glue", entries=()))) == ()


@pytest.mark.parametrize(
    ("depth", "through", "grades"),
    [(3, False, []), (2, False, []), (1, False, ["care"]), (0, False, ["stop"]), (1, True, [])],
)
def test_a_blind_joint_wants_two_layers(depth, through, grades):
    found = blind_depths(seen(joint(MEET, depth=depth, through=through)))
    assert [f.grade for f in found] == grades
    assert all(f.part == "seat" and f.code == "blind-too-shallow" for f in found)


def test_a_tab_is_three_times_as_wide_as_it_projects():
    deep = 3 * BOARD.caliper
    assert tab_widths(seen(joint(MEET, tabs=((5.0, 5.0 + 3 * deep),)))) == ()
    (found,) = tab_widths(seen(joint(MEET, tabs=((5.0, 12.0), (15.0, 19.0)))))
    assert (found.code, found.part) == ("tab-narrow", "leg")
    assert "4.00 mm wide" in found.message
    assert f"{3 * deep:.2f} mm" in found.remedy
    assert found.point == pytest.approx((27.0, 20 - THICK / 2, THICK))


def test_a_tab_that_projects_further_is_wider():
    width = 3 * 3 * BOARD.caliper + 0.1
    assert tab_widths(seen(joint(MEET, tabs=((5.0, 5.0 + width),)))) == ()
    (found,) = tab_widths(seen(joint(MEET, tabs=((5.0, 5.0 + width),), projection=2.0)))
    assert "goes 2.00 mm into seat" in found.message


def test_a_housing_may_be_one_layer_deep():
    assert blind_depths(seen(joint(MEET, "housing", depth=1))) == ()


def test_a_tab_keeps_one_thickness_from_the_edge():
    assert tabs_near_edges(seen(joint(MEET))) == ()
    near = contact("seat", "leg", origin=(10.0, 2.0, THICK), entering_way=(0.0, 0.0, -1.0))
    (found,) = tabs_near_edges(seen(joint(near)))
    assert (found.code, found.part) == ("tab-near-edge", "seat")
    assert f"{2.0 - THICK / 2:.2f} mm from its edge" in found.message


def test_only_tabs_are_judged_by_their_width_and_place():
    near = contact("seat", "leg", "corner", origin=(10.0, 2.0, THICK), entering_way=(0.0, 0.0, -1.0))
    given = seen(joint(near, "fingers", tabs=((0.0, 1.0),)))
    assert tab_widths(given) == ()
    assert tabs_near_edges(given) == ()


def test_grain_along_a_shoulder_is_noted_where_the_part_fixes_it():
    fixed = part("leg", box(0, 0, 30, 20), LEG.pose, grain="along")
    (found,) = tabs_across_grain(seen(joint(MEET), joint(MEET), leg=fixed))
    assert (found.code, found.grade, found.part) == ("tab-across-grain", "note", "leg")


def test_grain_that_runs_out_of_the_shoulder_or_is_free_is_fine():
    tall = part("leg", box(0, 0, 20, 30), LEG.pose, grain="along")
    assert tabs_across_grain(seen(joint(MEET), leg=tall)) == ()
    assert tabs_across_grain(seen(joint(MEET))) == ()
    grey = Board("card", "Greyboard", 0.5588, 300, 200, grain="none")
    fixed = part("leg", box(0, 0, 30, 20), LEG.pose, grain="along")
    assert tabs_across_grain(seen(joint(MEET), leg=fixed, boards=[grey])) == ()


def test_fingers_are_noted_once_for_the_piece_where_a_face_shows():
    (found,) = fingers_that_show(seen(joint(MEET, "fingers"), joint(MEET, "fingers")))
    assert (found.code, found.grade) == ("fingers-show", "note")
    assert "2 corners, between leg and seat" in found.message
    hidden = [part("seat", show=frozenset()), part("leg", pose=LEG.pose, show=frozenset())]
    assert fingers_that_show(checked(*hidden, joints=[joint(MEET, "fingers")])) == ()
    assert fingers_that_show(seen(joint(MEET))) == ()


def test_a_tab_is_found_in_the_receivers_plane_wherever_the_piece_stands():
    outer = turned((1, 2, 3), 50, (4, 5, 6))
    near = (10.0, 2.0, THICK)
    turn = lambda v: tuple(float(x) for x in outer.matrix @ v)  # noqa: E731
    moved = contact(
        "seat",
        "leg",
        origin=tuple(float(x) for x in outer.to_piece(near)),
        along=turn((1, 0, 0)),
        entering_way=turn((0, 0, -1)),
    )
    here = tabs_near_edges(seen(joint(contact("seat", "leg", origin=near, entering_way=(0.0, 0.0, -1.0)))))
    there = tabs_near_edges(
        seen(joint(moved), seat=SEAT.placed(SEAT.pose.then(outer)), leg=LEG.placed(LEG.pose.then(outer)))
    )
    assert [f.message for f in there] == [f.message for f in here]
