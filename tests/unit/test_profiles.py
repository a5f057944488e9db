"""Edge profiles step outside their curve; rims leave a ring of the width asked for."""

import math

import pytest

from laminature.errors import FormError
from laminature.forms.profiles import PROFILES, edge_profile, inset, profile_inset, rim
from laminature.geometry.region import disc, regular
from laminature.model.stack import Stack

FOUR = Stack(("card",) * 4, (0.5,) * 4, 2.0)


@pytest.mark.parametrize("name", PROFILES)
def test_every_step_stands_proud_of_the_curve_and_meets_it_once(name):
    profile = edge_profile(name, FOUR, reach=2.0)
    for k, step in enumerate(profile.insets):
        curve = [2.0 * profile_inset(name, (k + i / 50) / 4) for i in range(51)]
        assert step <= min(curve) + 1e-12
        assert step == pytest.approx(min(curve))


def test_a_quarter_round_is_a_quarter_of_a_circle():
    for share in (0.0, 0.3, 0.8, 1.0):
        x, y = 1.0 - profile_inset("quarter-round", share), share
        assert math.hypot(x, y) == pytest.approx(1.0)


def test_a_profile_can_step_at_the_lower_face():
    up, down = edge_profile("ogee", FOUR), edge_profile("ogee", FOUR, face="lower")
    assert down.insets == pytest.approx(up.insets[::-1])


def test_straight_edges_have_no_profile():
    assert edge_profile(None, FOUR) is None
    assert edge_profile("straight", FOUR) is None


def test_a_list_gives_each_layer_its_inset():
    assert edge_profile([0, 0.2, 0.5, 1], FOUR).insets == (0.0, 0.2, 0.5, 1.0)


@pytest.mark.parametrize("wrong", [[0.0, 1.0], [0.0, 0.0, 0.0, -1.0], [0.0, 0.0, 0.0, math.nan], "egg"])
def test_profiles_that_do_not_fit_are_refused(wrong):
    with pytest.raises(FormError):
        edge_profile(wrong, FOUR)


def test_one_layer_cannot_be_stepped():
    with pytest.raises(FormError, match="at least 2 layers"):
        edge_profile("bevel", Stack(("card",), (0.5,), 0.5))


def test_the_rim_of_a_round_top_stays_round():
    assert inset(disc(20.0), 2.5).outline.segments[0].radius == 17.5


def test_the_rim_of_a_hexagon_is_a_hexagon_within_it():
    inner = inset(regular(6, 40.0), 3.0)
    assert len(inner.outline.segments) == 6
    assert max(x for x, _ in inner.flat.exterior.coords) == pytest.approx(20.0 - 3.0 / math.cos(math.pi / 6))


@pytest.mark.parametrize(("layers", "width"), [(4, 2.0), (1, 0.0), (1, 30.0)])
def test_rims_that_leave_nothing_are_refused(layers, width):
    with pytest.raises(FormError):
        rim(disc(20.0), FOUR, layers, width)


def test_no_rim_is_asked_for_with_0_layers():
    assert rim(disc(20.0), FOUR, 0, 2.0) is None
