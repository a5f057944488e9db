"""Panels: what is cut, what is only pricked, and what is too weak."""

import math

import pytest

from laminature.errors import FormError
from laminature.geometry.path import Arc
from laminature.geometry.region import box, shape
from laminature.model.cushion import Buttoning
from laminature.model.design import CushionSpec
from laminature.upholstery.buttons import button_layout
from laminature.upholstery.panels import make_panels

OUTLINE = box(-30, -20, 30, 20)


def buttons(*points):
    return Buttoning("points", points=points, rings=(0,) * len(points))


def areas(openings):
    return sorted(float(disc_of.area) for disc_of in (_polygon(o) for o in openings))


def _polygon(path):
    from laminature.geometry.flat import Flat

    return Flat(path.flattened)


def test_holes_are_cut_where_the_board_allows_and_are_at_most_six_tenths_of_the_bead():
    made, found = make_panels(OUTLINE, buttons((-10.0, 0.0), (10.0, 0.0)), 2.5, 1.0, 1.0)
    assert made.hole == pytest.approx(1.2)
    assert made.pricked == ()
    assert [o.segments[0].radius for o in made.guide.openings] == pytest.approx([0.6, 0.6])
    made, _ = make_panels(OUTLINE, buttons((0.0, 0.0)), 1.8, 1.0, 1.0)
    assert made.hole == pytest.approx(0.6 * 1.8)
    assert found == ()


def test_a_hole_smaller_than_the_board_allows_is_pricked_and_drilled_later():
    made, found = make_panels(OUTLINE, buttons((-10.0, 0.0), (10.0, 0.0)), 1.5, 2.0, 1.5)
    assert made.guide.openings == ()
    assert made.pricked == ((-10.0, 0.0), (10.0, 0.0))
    assert (made.hole, made.drill) == (0.8, 0.8)
    assert found == ()


def test_a_tiny_bead_gets_a_smaller_drill():
    made, _ = make_panels(OUTLINE, buttons((0.0, 0.0)), 1.0, 2.0, 1.5)
    assert made.drill == pytest.approx(0.6)


def test_the_relief_panel_has_round_holes_over_the_knots_and_the_backing_none():
    made, _ = make_panels(OUTLINE, buttons((-10.0, 0.0), (10.0, 0.0)), 1.5, 2.0, 1.5)
    assert areas(made.relief.openings) == pytest.approx([math.pi * 4.0] * 2, rel=2e-3)
    assert all(isinstance(s, Arc) for o in made.relief.openings for s in o)
    assert made.backing == OUTLINE
    assert made.relief.outline == OUTLINE.outline


def test_holes_over_knots_run_into_one_where_the_web_would_be_too_weak():
    # 5.4 mm apart the web is 1.4 mm, 5.6 mm apart 1.6.
    near, _ = make_panels(OUTLINE, buttons((-2.7, 0.0), (2.7, 0.0)), 1.5, 2.0, 1.5)
    far, found = make_panels(OUTLINE, buttons((-2.8, 0.0), (2.8, 0.0)), 1.5, 2.0, 1.5)
    assert len(near.relief.openings) == 1
    assert len(far.relief.openings) == 2
    assert found == ()


def test_a_rim_of_the_relief_panel_always_stays():
    made, _ = make_panels(OUTLINE, buttons((0.0, 18.5)), 1.5, 2.0, 1.5)
    (hole,) = made.relief.openings
    assert hole.flattened[:, 1].max() == pytest.approx(18.5, abs=0.01)


def test_many_close_buttons_leave_a_ring():
    every = buttons(*((float(x), float(y)) for x in range(-24, 25, 4) for y in range(-16, 17, 4)))
    made, _ = make_panels(OUTLINE, every, 1.5, 2.0, 1.5)
    assert len(made.relief.openings) == 1
    assert not made.relief.flat.is_empty


def test_one_washer_for_each_button():
    made, _ = make_panels(OUTLINE, buttons((-10.0, 0.0), (10.0, 0.0)), 1.5, 2.0, 1.5)
    assert len(made.washers) == 2
    assert made.washers[0].bounds == pytest.approx((-1.5, -1.5, 1.5, 1.5), abs=0.01)


def test_weak_webs_of_the_guide_are_named_with_their_place():
    _, found = make_panels(OUTLINE, buttons((-1.0, 0.0), (1.0, 0.0)), 2.0, 1.0, 1.0)
    assert [f.code for f in found] == ["guide-web-weak"]
    assert "0.8 mm; 1 mm is wanted" in found[0].message
    assert found[0].point == pytest.approx((0.0, 0.0, 0.0))
    _, found = make_panels(OUTLINE, buttons((0.0, 18.6)), 2.0, 1.0, 1.0)
    assert [f.code for f in found] == ["guide-web-weak"]
    assert "edge" in found[0].message


def test_places_drilled_later_want_only_half_a_hole_between():
    _, found = make_panels(OUTLINE, buttons((-0.7, 0.0), (0.7, 0.0)), 1.5, 2.0, 1.5)
    assert found == ()
    _, found = make_panels(OUTLINE, buttons((-0.5, 0.0), (0.5, 0.0)), 1.5, 2.0, 1.5)
    assert [f.code for f in found] == ["guide-web-weak"]


def test_the_outline_is_drawn_in_for_piping():
    made, _ = make_panels(OUTLINE, buttons(), 1.5, 2.0, 1.5, inset=1.35)
    for panel in (made.guide, made.relief, made.backing):
        assert panel.bounds == pytest.approx((-28.65, -18.65, 28.65, 18.65))
    with pytest.raises(FormError, match="does not stay whole"):
        make_panels(OUTLINE, buttons(), 1.5, 2.0, 1.5, inset=20.0)


@pytest.mark.parametrize("front", [-1, 1])
def test_an_arrow_points_to_the_front_and_marks_keep_clear_of_the_holes(front):
    layout, _ = button_layout(OUTLINE, CushionSpec(pattern="diamond"), 12.0)
    made, _ = make_panels(OUTLINE, layout, 1.5, 2.0, 1.5, front=front)
    head = max(made.marks, key=lambda m: len(m.segments))
    tip = head.segments[0].end
    assert (tip[1] - head.start[1]) * front > 0.0
    assert tip[1] * front > 10.0
    for mark in made.marks:
        for x, y in mark.flatten(0.01):
            assert all(math.dist((x, y), p) > 0.4 for p in layout.points)
            assert abs(x) < 30.0
            assert abs(y) < 20.0
    # Four strokes about the middle, four ticks at the edge, shaft and head.
    assert len(made.marks) == 10


def test_seams_of_channels_are_pricked_along_and_relieved_at_their_ends():
    layout, _ = button_layout(OUTLINE, CushionSpec(pattern="channels", spacing=(20.0, 20.0)), 12.0)
    made, _ = make_panels(OUTLINE, layout, 1.5, 2.0, 1.5)
    # Two seams of 40 mm, 36 between their ends: 13 stitches (odd) of 36/13 mm.
    assert len(made.pricked) == 2 * 14
    assert made.pricked[0] == pytest.approx((-10.0, -18.0))
    assert made.pricked[13] == pytest.approx((-10.0, 18.0))
    assert len(made.relief.openings) == 4
    assert made.washers == ()


def test_a_panel_with_a_waist_keeps_both_halves():
    waisted = shape([(-20, -10), (20, -10), (20, 10), (2, 10), (0, -5), (-2, 10), (-20, 10)])
    made, _ = make_panels(waisted, buttons((-10.0, 0.0), (0.0, -7.5), (10.0, 0.0)), 1.5, 2.0, 1.5)
    assert made.relief.outline == waisted.outline
