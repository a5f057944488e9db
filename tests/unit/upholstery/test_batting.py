"""Layers of batting follow a super-ellipse, as far as there is room."""

import itertools
import math

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.geometry.path import Arc, circle
from laminature.geometry.region import Region, box, disc, shape
from laminature.upholstery.batting import crown_height, insets, make_batting


def test_an_exponent_of_one_is_a_straight_slope():
    assert insets(4, 8.0, 1.0) == pytest.approx((1.0, 3.0, 5.0, 7.0))


def test_an_exponent_of_two_is_a_quarter_of_an_ellipse():
    found = insets(2, 10.0, 2.0)
    assert found == pytest.approx(tuple(10 * (1 - math.sqrt(1 - q * q)) for q in (0.25, 0.75)))


def test_each_layer_reaches_to_where_the_crown_passes_its_middle():
    for k, s in enumerate(insets(4, 15.0, 2.5)):
        if k:
            assert float(crown_height(np.array(s), 15.0, 4.0, 2.5)) == pytest.approx(k + 0.5)


def test_a_very_full_crown_still_steps_in_so_that_layers_can_be_told_apart():
    found = insets(4, 15.0, 40.0)
    assert all(b - a >= 0.2 - 1e-9 for a, b in itertools.pairwise(found))


def test_the_crown_is_level_beyond_the_radius():
    heights = crown_height(np.array([0.0, 5.0, 50.0]), 5.0, 3.0, 2.5)
    assert heights == pytest.approx([0.0, 3.0, 3.0])


def test_the_usual_four_layers():
    made, found = make_batting(box(-30, -15, 30, 15))
    assert len(made.outlines) == 4
    assert made.numbers == (1, 2, 3, 4)
    assert (made.thickness, made.crown) == (1.0, 4.0)
    assert made.outlines[0] == box(-30, -15, 30, 15)
    half = 15.0 - insets(4, 15.0, 2.5)[3]
    assert made.outlines[3].bounds == pytest.approx((-15 - half, -half, 15 + half, half), abs=0.01)
    assert found == ()


def test_arcs_stay_arcs():
    made, _ = make_batting(disc(20))
    assert all(isinstance(s, Arc) for r in made.outlines for s in r.outline)


def test_a_narrow_cushion_has_room_for_fewer_layers_and_says_so():
    made, found = make_batting(box(-30, -2.2, 30, 2.2))
    assert [f.code for f in found] == ["crown-too-high"]
    assert 0 < len(made.outlines) < 4
    assert made.crown == len(made.outlines) * 1.0
    assert f"batting_layers = {len(made.outlines)}" in found[0].remedy


def test_a_sliver_has_room_for_none():
    made, found = make_batting(box(-30, -1, 30, 1))
    assert (made.outlines, made.crown) == ((), 0.0)
    assert [f.code for f in found] == ["crown-too-high"]


def test_a_waist_parts_an_upper_layer_in_two_of_one_number():
    waisted = shape([(-30, -10), (0, -6), (30, -10), (30, 10), (0, 6), (-30, 10)])
    made, _ = make_batting(waisted)
    assert made.numbers[0] == 1
    assert made.numbers.count(4) == 1
    tighter = shape([(-30, -10), (0, -3), (30, -10), (30, 10), (0, 3), (-30, 10)])
    made, _ = make_batting(tighter)
    assert made.numbers.count(4) == 2


def test_a_hole_in_the_panel_is_left_free():
    ring = Region(circle(20.0), (circle(6.0),))
    made, _ = make_batting(ring)
    assert all(len(r.openings) == 1 for r in made.outlines)
    assert made.outlines[3].openings[0].flattened[:, 0].max() > 6.5


def test_no_layers_and_no_thickness_are_no_batting():
    assert make_batting(disc(20), layers=0)[0].outlines == ()
    assert make_batting(disc(20), thickness=0.0)[0].crown == 0.0


@pytest.mark.parametrize(("name", "value"), [("thickness", -1.0), ("thickness", math.nan), ("swell", 0.9)])
def test_what_is_no_measure_is_refused(name, value):
    with pytest.raises(FormError):
        make_batting(disc(20), **{name: value})
