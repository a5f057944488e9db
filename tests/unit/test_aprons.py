"""Aprons: panels on two feet, their lower edge a named curve of exact lines, arcs and cubics."""

import itertools
import math

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.forms.aprons import APRONS, apron_panel
from laminature.forms.values import Sizes
from laminature.geometry.path import Arc, Cubic, Line

SIZES = Sizes(12.0, {})


def cut(curve, length=96.0, height=30.0, foot=8.0, rise=8.0):
    return apron_panel(length, height, foot, rise, curve, opening=2.0, sizes=SIZES)


@pytest.mark.parametrize("curve", APRONS)
def test_every_apron_stands_on_two_feet_and_rises_as_asked(curve):
    panel = cut(curve)
    assert panel.bounds == pytest.approx((-48.0, 0.0, 48.0, 30.0))
    on_floor = sorted(x for x, y in panel.outline.flattened if y == 0.0)
    assert on_floor == pytest.approx([-48.0, -40.0, 40.0, 48.0])
    between = [y for x, y in panel.outline.flattened if -40.0 <= x <= 40.0]
    assert max(between) == pytest.approx(8.0, abs=1e-9)


@pytest.mark.parametrize("curve", APRONS)
def test_every_apron_is_the_same_seen_from_behind_and_ends_where_it_began(curve):
    panel = cut(curve)
    there = sorted(panel.outline.flattened.tolist())
    behind = sorted([-x, y] for x, y in there)
    assert np.array(behind) == pytest.approx(np.array(there), abs=1e-9)
    for a, b in itertools.pairwise((*panel.outline.segments, panel.outline.segments[0])):
        assert a.end == pytest.approx(b.start, abs=1e-9)
    assert panel.flat.exterior.is_ccw


def test_a_bracket_is_two_exact_quarter_circles():
    arcs = [s for s in cut("bracket").outline if isinstance(s, Arc)]
    assert [a.radius for a in arcs] == pytest.approx([4.0, 4.0])
    assert [a.sweep for a in arcs] == pytest.approx([-90.0, -90.0])


def test_an_arch_is_one_exact_arc_through_heels_and_crown():
    (arc,) = [s for s in cut("arched").outline if isinstance(s, Arc)]
    # heel 0.4 x 8 = 3.2, sag 4.8 over half a span of 40: r = (1600 + 23.04) / 9.6
    assert arc.radius == pytest.approx(1623.04 / 9.6)
    assert math.dist(arc.centre, (0.0, 8.0)) == pytest.approx(arc.radius)


def test_an_ogee_turns_smoothly_from_hollow_to_round():
    a, b = [s for s in cut("ogee").outline if isinstance(s, Arc)][:2]
    assert (a.ccw, b.ccw) == (False, True)
    assert math.dist(a.centre, b.centre) == pytest.approx(a.radius + b.radius)


def test_a_serpentine_is_cubics_and_a_stepped_apron_only_lines():
    assert sum(isinstance(s, Cubic) for s in cut("serpentine").outline) == 4
    assert all(isinstance(s, Line) for s in cut("stepped").outline)


@pytest.mark.parametrize("curve", APRONS)
def test_a_rise_of_nothing_leaves_the_panel_whole(curve):
    assert cut(curve, rise=0.0).flat.area == pytest.approx(96.0 * 30.0)


def test_feet_that_leave_no_gap_are_refused():
    with pytest.raises(FormError, match="leave no gap") as caught:
        cut("straight", foot=47.5)
    assert caught.value.parameter == "foot"


@pytest.mark.parametrize("curve", ["arched", "ogee"])
def test_a_curve_without_room_between_the_feet_is_refused(curve):
    with pytest.raises(FormError, match="cannot rise") as caught:
        cut(curve, foot=44.0, rise=20.0)
    assert caught.value.remedy
