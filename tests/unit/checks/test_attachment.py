"""Near misses and parts that nothing holds."""

from laminature.checks.attachment import floating_parts
from laminature.geometry.pose import Pose

from .by_hand import checked, contact, joint, part

TOP, LEG, SHELF = part("top"), part("leg"), part("shelf")


def test_parts_tied_by_a_chain_of_contacts_are_held():
    given = checked(TOP, LEG, SHELF, contacts=[contact("top", "leg"), contact("shelf", "leg", "faces")])
    assert floating_parts(given) == ()


def test_a_part_that_touches_nothing_is_a_stop():
    (found,) = floating_parts(checked(TOP, LEG, SHELF, contacts=[contact("top", "leg")]))
    assert (found.code, found.grade, found.part) == ("part-not-attached", "stop", "shelf")


def test_a_near_miss_is_told_with_the_length_that_is_missing():
    miss = contact("top", "shelf", "near-miss", gap=0.12)
    (found,) = floating_parts(checked(TOP, SHELF, contacts=[miss]))
    assert found.code == "part-not-attached"
    assert "0.12 mm short of" in found.message


def test_a_near_miss_of_a_part_held_elsewhere_is_a_care():
    ties = [contact("top", "leg"), contact("leg", "shelf"), contact("top", "shelf", "near-miss", gap=0.4)]
    (found,) = floating_parts(checked(TOP, LEG, SHELF, contacts=ties))
    assert (found.code, found.grade, found.part) == ("near-miss", "care", "shelf")
    assert found.point == (15.0, 0.0, 0.0)


def test_a_lid_alone_in_its_group_is_held_by_nothing_on_purpose():
    assert floating_parts(checked(TOP, part("lid", pose=Pose((0.0, 0.0, 9.0)), group="lid"))) == ()


def test_a_contact_across_groups_holds_nothing():
    lid, knob = part("lid", group="lid"), part("knob", group="lid")
    (found,) = floating_parts(checked(TOP, lid, knob, contacts=[contact("top", "knob")]))
    assert found.part == "knob"


def test_a_joint_that_the_design_forbids_holds_nothing():
    tie = contact("top", "leg")
    assert floating_parts(checked(TOP, LEG, contacts=[tie], joints=[joint(tie)])) == ()
    (found,) = floating_parts(checked(TOP, LEG, contacts=[tie], joints=[joint(tie, "none")]))
    assert found.part == "leg"
