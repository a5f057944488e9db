"""The plank chair: sizes as asked, planks that touch at a slant, and what is refused."""

import math

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.forms.plank_chair import FORM
from laminature.joinery.contacts import find_contacts

from ..formed import corners, workshop


def make(**values):
    return FORM.make(values, workshop())


@pytest.mark.parametrize("splay", [0.0, 6.0, 10.0])
@pytest.mark.parametrize("rakes", [(0.0, 0.0), (4.0, 11.0), (12.0, 12.0), (0.0, 25.0)])
def test_the_chair_is_as_high_and_wide_as_asked_and_stands_on_the_floor(splay, rakes):
    piece = make(
        splay=splay, seat_rake=rakes[0], back_rake=rakes[1], height=80.0, width=40.0, seat_height=38.0
    )
    points = np.vstack([corners(p) for p in piece.parts])
    assert points[:, 2].min() == pytest.approx(0.0, abs=1e-9)
    assert points[:, 2].max() == pytest.approx(80.0, abs=1e-9)
    assert np.ptp(points[:, 0]) == pytest.approx(40.0, abs=1e-9)
    assert corners(piece.part("seat"))[:, 2].max() == pytest.approx(38.0, abs=1e-9)


def test_planks_touch_where_their_middle_planes_meet_a_face_at_their_angles():
    found = {
        (c.receiver, c.entering): c
        for c in find_contacts(make(splay=6.0, seat_rake=4.0, back_rake=11.0).parts)
    }
    assert set(found) == {
        ("seat", "side-1"),
        ("seat", "side-2"),
        ("seat", "back"),
        ("side-1", "rail"),
        ("side-2", "rail"),
    }
    assert all(c.kind == "edge-on-face" and c.gap < 1e-9 for c in found.values())
    assert found["seat", "back"].angle == pytest.approx(90.0 - 7.0)
    assert found["side-1", "rail"].angle == pytest.approx(90.0)


def test_the_gauges_among_the_marks_show_the_angles_between_the_planks():
    back, side = make(splay=6.0, seat_rake=4.0, back_rake=11.0).part("seat").marks
    for mark, degrees in ((back, 83.0), (side, 84.0)):
        corner, along, up = mark.flattened
        angle = math.degrees(math.atan2(*(up - corner)[::-1]) - math.atan2(*(along - corner)[::-1]))
        assert angle == pytest.approx(degrees)


@pytest.mark.parametrize(("slats", "openings"), [(1, 0), (3, 2), (5, 4)])
def test_a_back_of_n_slats_has_one_opening_less(slats, openings):
    assert len(make(slats=slats).part("back").outline.openings) == openings


@pytest.mark.parametrize(
    ("values", "about"),
    [
        ({"height": 40.0, "seat_height": 39.0}, "height"),
        ({"seat_height": 13.0}, "seat_height"),
        ({"width": 17.0, "splay": 15.0, "seat_height": 70.0, "height": 120.0}, "width"),
        ({"slats": 9, "width": 34.0, "splay": 0.0}, "slats"),
        ({"depth": 17.0, "thickness": 3.0}, "depth"),
    ],
)
def test_impossible_chairs_are_refused_with_a_way_out(values, about):
    with pytest.raises(FormError) as refused:
        make(**values)
    assert refused.value.parameter == about
    assert refused.value.remedy
