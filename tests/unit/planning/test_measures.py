"""What is measured, on shapes whose areas one can work out."""

import math

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.region import disc
from laminature.planning.measures import band, edges, measured, slots, width

from ...planned import EXAMPLES, built
from ..joinery.panels import board, joined

RING = flat(
    [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)],
    [[(4.0, 4.0), (4.0, 26.0), (36.0, 26.0), (36.0, 4.0)]],
)


def test_the_band_of_a_rectangle():
    assert band((rectangle(0.0, 0.0, 40.0, 30.0),), 3.0) == pytest.approx(40 * 30 - 34 * 24)


def test_a_narrow_strip_is_all_band():
    assert band((rectangle(0.0, 0.0, 40.0, 5.0),), 3.0) == pytest.approx(200.0)


def test_a_band_runs_along_openings_too():
    assert band((RING,), 1.0) == pytest.approx(40 * 30 - 32 * 22 - (38 * 28 - 34 * 24))


def test_width_of_strips_squares_rings_and_discs():
    assert width((rectangle(0.0, 0.0, 100.0, 6.0),)) == pytest.approx(6.0)
    assert width((rectangle(0.0, 0.0, 20.0, 20.0),)) == pytest.approx(20.0)
    assert width((RING,)) == pytest.approx(4.0, rel=0.05)
    assert width((disc(10.0).flat,)) == pytest.approx(10.0 * math.pi / 2.0, rel=0.01)


def test_only_outer_edges_are_sanded():
    assert edges((RING,)) == pytest.approx(140.0)


def test_keys_spares_and_frames_are_no_stacks():
    b = built("slat-chair")
    assert {layer.role for layer in b.cut_layers} == {"layer"}
    names = [s.name for s in measured(b.piece, b.joints, b.cut_layers, b.cushions)]
    assert sorted(names) == sorted(p.name for p in b.piece.parts)


def test_cushions_bring_panels_and_washers():
    b = built("lookout-stool")
    soft = [s for s in measured(b.piece, b.joints, b.cut_layers, b.cushions) if s.cushion]
    washers = [s for s in soft if s.small]
    assert len(washers) == len(b.cushions[0].buttoning.points)
    assert {s.name for s in soft} - {s.name for s in washers} == {
        "cushion-guide",
        "cushion-relief",
        "cushion-backing",
    }
    assert all(s.shown == s.bare == 0.0 for s in soft)


@pytest.mark.parametrize("name", EXAMPLES)
def test_slots_to_ease_are_those_that_joints_cut(name):
    """What passes through a window of another part is cut nowhere itself, and nothing of it is eased."""
    for joint in built(name).joints:
        cut = {p.part for p in joint.patches if p.action == "cut"}
        assert set(slots(joint)) <= cut, joint.name


def test_a_rail_through_a_window_is_not_eased():
    tall, small = board("tall", height=60.0), board("small", height=10.0, turn=90.0, z=20.0)
    (joint,) = joined(tall, small)[0]
    assert joint.contact.kind == "passing"
    assert slots(joint) == {"tall": 1}


def test_both_parts_of_a_halving_are_eased():
    (joint,) = joined(board("one"), board("two", turn=90.0))[0]
    assert slots(joint) == {"one": 1, "two": 1}
