"""Held layers have tighter joints, each clearance where the layers that wander are the held ones."""

from dataclasses import replace

import pytest

from laminature.joinery.fits import fit_among, fit_between
from laminature.model.fit import HAND_STACKED, PINNED
from laminature.model.gluing import Gluing
from laminature.model.joint import JointRule

from .panels import board, joined, plate

HELD = Gluing("pins")


def three(fit):
    return fit.across, fit.along, fit.end


def test_by_hand_nothing_changes():
    assert fit_between(HAND_STACKED, plate(), board()) is HAND_STACKED


def test_both_held_is_the_pinned_fit():
    fit = fit_between(HAND_STACKED, plate(gluing=HELD), board(gluing=HELD))
    assert fit == PINNED


def test_the_walls_of_a_slot_are_the_receivers_and_the_end_of_a_tab_the_others():
    into = fit_between(HAND_STACKED, plate(gluing=HELD), board())
    assert three(into) == (PINNED.across, HAND_STACKED.along, HAND_STACKED.end)
    out = fit_between(HAND_STACKED, plate(), board(gluing=HELD))
    assert three(out) == (HAND_STACKED.across, HAND_STACKED.along, PINNED.end)
    assert into.name == out.name == "hand-stacked, partly pinned"


def test_parts_that_cross_are_each_cut_so_all_have_to_be_held():
    assert fit_among(HAND_STACKED, (plate(gluing=HELD), board())) is HAND_STACKED
    assert fit_among(HAND_STACKED, (plate(gluing=HELD), board(gluing=HELD))) == PINNED


def test_what_hardening_and_coats_add_stays_and_a_tighter_fit_is_never_loosened():
    coated = replace(HAND_STACKED, across=0.02, hardened=0.03, coats=0.01)
    fit = fit_between(coated, plate(gluing=HELD), board(gluing=HELD))
    assert (fit.across, fit.hardened, fit.coats) == (0.02, 0.03, 0.01)


@pytest.mark.parametrize("way", ["pins", "keys", "carrier"])
def test_joints_are_cut_by_it(way):
    held = Gluing(way)
    (hand,), _ = joined(plate(), board(), fit=HAND_STACKED)
    (joint,), _ = joined(plate(gluing=held), board(gluing=held), fit=HAND_STACKED)
    assert (hand.fit, joint.fit) == (HAND_STACKED, PINNED)


def test_a_rule_for_the_joint_wins():
    rules = [JointRule(("*", "*"), fit=HAND_STACKED)]
    (joint,), _ = joined(plate(gluing=HELD), board(gluing=HELD), rules=rules, fit=HAND_STACKED)
    assert joint.fit is HAND_STACKED
