"""A layer is the outline at its height, with its own tabs, less the others' slots."""

import itertools
import math

import pytest

from laminature.geometry.path import polyline
from laminature.geometry.region import box
from laminature.model.joint import JointRule
from laminature.model.part import EdgeProfile, Rim

from ..joinery.panels import FIT, LAYER, board, layers, plate

SANDING = 0.15
GLUE = [JointRule(("*", "*"), "glue")]


def test_heights_of_layers_share_out_the_real_thickness():
    made = layers(plate())
    assert [(x.lower, x.upper) for x in made.values()] == [(LAYER * k, LAYER * (k + 1)) for k in range(4)]


def test_a_part_that_nothing_meets_is_its_outline_grown_by_the_sanding_all_round():
    made = layers(plate(), sanding=SANDING)
    for x in made.values():
        assert x.regions[0].bounds == pytest.approx((-30, -20, 30, 20))
        assert x.cut[0].bounds == pytest.approx((-30.15, -20.15, 30.15, 20.15))


def test_without_sanding_a_layer_is_cut_as_it_will_be():
    for x in layers(plate(), board(), sanding=0.0).values():
        assert x.cut[0].equals(x.regions[0])


def test_slots_and_tabs_are_no_show_edges():
    made = layers(plate(), board(), rules=[JointRule(("*", "*"), count=1, width=10.0)], sanding=SANDING)
    (slot,) = made["plate", 1].cut[0].interiors
    x0, y0, x1, y1 = slot.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((10.0 + 2 * FIT.along, 4 * LAYER + 2 * FIT.across))
    tab = made["board", 1].cut[0].intersection(box(-25, 30.1, 25, 40).flat).bounds
    assert tab[2] - tab[0] == pytest.approx(10.0)


def test_only_the_stretch_that_is_joined_is_bare():
    # The plate covers the middle of the board's upper edge; what stands out on both sides is seen.
    made = layers(plate(width=20.0), board(), rules=GLUE, sanding=SANDING)
    edge = made["board", 1].cut[0]
    assert edge.intersection(box(-9, 29, 9, 32).flat).bounds[3] == pytest.approx(30.0)
    assert edge.intersection(box(12, 29, 25, 32).flat).bounds[3] == pytest.approx(30.0 + SANDING)


def test_a_moulding_sets_each_layer_in():
    made = layers(plate(profile=EdgeProfile("steps", (0.0, 0.4, 0.8, 1.2))), sanding=SANDING)
    for k, inset in enumerate((0.0, 0.4, 0.8, 1.2), start=1):
        assert made["plate", k].regions[0].bounds[2] == pytest.approx(30.0 - inset)
        assert made["plate", k].cut[0].bounds[2] == pytest.approx(30.0 + SANDING - inset)


def test_a_rims_layers_are_a_ring_that_is_sanded_inside_too():
    made = layers(plate(rim=Rim(2, box(-25, -15, 25, 15))), sanding=SANDING)
    for k in (1, 2):
        assert not made["plate", k].cut[0].interiors
    for k in (3, 4):
        assert made["plate", k].regions[0].area == pytest.approx(60 * 40 - 50 * 30)
        (opening,) = made["plate", k].cut[0].interiors
        assert opening.bounds == pytest.approx((-24.85, -14.85, 24.85, 14.85))


def test_a_layer_that_a_slot_cuts_in_two_is_told_as_two_regions():
    # A board through the whole depth of a narrow plate: nothing is left beside the slot's ends.
    made = layers(plate(depth=30.0), board(width=30.0, turn=90.0), rules=[JointRule(("*", "*"), "housing")])
    assert [len(made["plate", k].regions) for k in range(1, 5)] == [2, 2, 1, 1]


def test_marks_are_on_the_first_layer_of_a_stack_and_nowhere_on_a_single_one():
    gauge = (polyline([(0, 0), (5, 5)], closed=False),)
    made = layers(plate(marks=gauge))
    assert [x.marks for x in made.values()] == [gauge, (), (), ()]
    assert layers(plate(layers=1, marks=gauge))["plate", 1].marks == ()


def test_labels_go_on_faces_that_are_glued_over():
    faces = [(x.label_face, x.mirrored) for x in layers(plate()).values()]
    assert faces == [("upper", False)] * 3 + [("lower", True)]


def test_a_leaning_tab_has_its_end_stepped_and_stays_within_the_layers_passed():
    above = plate(show=frozenset({"upper"}))
    made = layers(above, board(lean=30.0), rules=[JointRule(("*", "*"), count=1)])
    tops = [made["board", k].regions[0].bounds[3] for k in range(1, 5)]
    step = LAYER * math.tan(math.radians(30.0))
    assert [abs(b - a) for a, b in itertools.pairwise(tops)] == pytest.approx([step] * 3)
