"""The cloth's height field: where it is held, how high it stands, what it refuses."""

import math

import numpy as np
import pytest

from laminature.errors import GeometryError
from laminature.geometry.region import box, disc
from laminature.model.cushion import Buttoning
from laminature.upholstery.heights import arc_length, heights_at, raised, smooth_fields
from laminature.upholstery.surface import chosen_cell, solve_surface

from ...buttonings import PLAIN, channels, circle, diamonds, squares

SEAT = box(-45.0, -22.0, 45.0, 22.0)


def test_without_buttons_the_crown_is_a_super_ellipse_over_a_disc():
    made = solve_surface(disc(20.0), PLAIN, 4.0, 0.6, 1.6, 2.5, "pulled-in")
    r = np.array([0.0, 5.0, 10.0, 15.0, 19.0])
    exact = 4.0 * (1.0 - (r / 20.0) ** 2.5) ** 0.4
    assert heights_at(made, np.column_stack([r, 0.0 * r])) == pytest.approx(exact, abs=0.02)


def test_half_way_up_the_share_the_crown_is_where_the_formula_says():
    # share 0.75 is r = 1/2: 4 (1 − 0.5²)^(1/2) = 3.4641 for a swell of 2
    assert raised(np.array([0.75, 0.0, 1.0]), 4.0, 2.0) == pytest.approx([3.4641016, 0.0, 4.0], abs=1e-6)


@pytest.mark.parametrize("manner", ["pulled-in", "deep"])
def test_each_button_is_held_at_its_share_of_the_crown_all_over_its_disc(manner):
    buttoning = circle(6, 10.0)
    made = solve_surface(disc(20.0), buttoning, 4.0, 0.6, 1.6, 2.5, manner)
    for x, y in buttoning.points:
        free = 4.0 * (1.0 - (math.hypot(x, y) / 20.0) ** 2.5) ** 0.4
        around = np.array([(x, y), (x + 0.7, y), (x, y - 0.7)])
        assert heights_at(made, around)[0] == pytest.approx(0.4 * free, abs=0.02)
        _, drop = smooth_fields(made, around)
        assert drop == pytest.approx(np.full(3, 0.6 * free), abs=0.02)


def test_seams_are_held_down_all_along():
    made = solve_surface(
        box(-25.0, -20.0, 25.0, 20.0),
        channels((-15.0, -5.0, 5.0, 15.0), 20.0),
        4.0,
        0.6,
        0.0,
        2.5,
        "pulled-in",
    )
    plain = solve_surface(
        box(-25.0, -20.0, 25.0, 20.0), PLAIN, 4.0, 0.6, 0.0, 2.5, "pulled-in", cell=made.cell
    )
    along = np.array([(5.0, y) for y in (-12.0, -4.0, 0.0, 9.0)])
    assert heights_at(made, along) == pytest.approx(0.4 * heights_at(plain, along), rel=0.05)
    assert float(heights_at(made, np.array([(0.0, 0.0)]))[0]) > 3.0


def test_taut_cloth_takes_its_surroundings_down_and_deep_pillows_rise():
    between = np.array([(0.0, 6.0)])
    buttoning = diamonds(6, 3, 13.0, 12.0)
    pulled, deep = (
        float(heights_at(solve_surface(SEAT, buttoning, 4.0, 0.6, 1.6, 2.5, m), between)[0])
        for m in ("pulled-in", "deep")
    )
    assert pulled < deep < 4.0


def test_a_pleat_is_a_valley_between_two_pillows():
    buttoning = diamonds(6, 3, 13.0, 12.0)
    made = solve_surface(SEAT, buttoning, 4.0, 0.6, 1.6, 2.5, "deep")
    # The link from (−6.5, −6) to (0, 0); its middle, and 2 mm to either side of it.
    way = np.array([6.0, -6.5]) / math.hypot(6.0, 6.5)
    middle = np.array([-3.25, -3.0])
    left, valley, right = heights_at(made, np.array([middle - 2.0 * way, middle, middle + 2.0 * way]))
    assert valley < left - 0.3
    assert valley < right - 0.3


def test_a_field_is_blank_outside_and_between_panel_and_crown_inside():
    made = solve_surface(SEAT, diamonds(6, 3, 13.0, 12.0), 4.0, 0.9, 1.6, 2.5, "deep")
    x, y = np.meshgrid(made.x, made.y)
    within = (np.abs(x) < 45.0 - 1e-6) & (np.abs(y) < 22.0 - 1e-6)
    assert (np.isfinite(made.heights) == within).all()
    assert np.nanmin(made.heights) >= 0.0
    assert np.nanmax(made.heights) <= 4.0


def test_a_bead_has_at_least_three_cells():
    assert chosen_cell(SEAT, diamonds(6, 3, 13.0, 12.0), 1.6) <= 1.6 / 3
    assert chosen_cell(SEAT, PLAIN, 1.6) > 1.6 / 3
    assert chosen_cell(SEAT, channels((-15.0, -5.0, 5.0), 22.0), 0.0) <= 10.0 / 14


def test_flat_cloth_is_as_long_as_the_panel():
    made = solve_surface(SEAT, squares(3, 2, 12.0, 12.0), 0.0, 0.6, 1.6, 2.5, "deep")
    assert arc_length(made, (-30.0, -5.0), (30.0, 11.0)) == pytest.approx(math.hypot(60.0, 16.0), rel=1e-12)


def test_a_button_on_the_very_edge_is_no_harm():
    edge = Buttoning("points", ((20.0, 0.0), (0.0, 0.0)), ((0, 1),), (1, 0), (20.0, 0.0))
    made = solve_surface(disc(20.0), edge, 4.0, 0.6, 1.6, 2.5, "deep")
    assert np.nanmin(made.heights) >= 0.0


@pytest.mark.parametrize(
    ("crown", "dip", "swell"), [(-1.0, 0.6, 2.5), (4.0, 1.2, 2.5), (4.0, 0.6, 0.5), (math.inf, 0.6, 2.5)]
)
def test_numbers_that_make_no_cushion_are_refused(crown, dip, swell):
    with pytest.raises(GeometryError, match="no cushion"):
        solve_surface(SEAT, PLAIN, crown, dip, 1.6, swell, "deep")


def test_buttons_without_a_size_are_refused():
    with pytest.raises(GeometryError, match="diameter"):
        solve_surface(SEAT, squares(2, 2, 12.0, 12.0), 4.0, 0.6, 0.0, 2.5, "deep")


def test_nodes_on_the_border_of_a_bead_are_held_alike_however_they_are_rounded():
    # With cells of 0.1875 mm nodes lie just a bead's radius of 1 mm from these buttons, but for rounding.
    hair = 3.499999999999999
    points = ((-3.0, -hair), (3.0, -hair), (0.0, 0.0), (-3.0, hair), (3.0, hair))
    buttons = Buttoning("diamond", points, ((0, 2), (1, 2), (2, 3), (2, 4)), (1, 1, 0, 1, 1), (6.0, 7.0))
    made = solve_surface(box(-6.0, -6.5, 6.0, 6.5), buttons, 1.0, 0.5, 2.0, 2.5, "pulled-in")
    assert np.abs(made.drop - made.drop[::-1]).max() < 1e-9
    assert np.abs(made.drop - made.drop[:, ::-1]).max() < 1e-9
