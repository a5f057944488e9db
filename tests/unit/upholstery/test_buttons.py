"""Where buttons lie, pattern by pattern, against layouts worked out by hand."""

import math

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.geometry.region import box, disc, regular, shape
from laminature.model.design import CushionSpec
from laminature.upholstery.buttons import button_layout

INCH = 25.4


def laid(outline, scale=12.0, **written):
    return button_layout(outline, CushionSpec(**written), scale)


def codes(findings):
    return [f.code for f in findings]


def rows_of(made):
    counts: dict[float, int] = {}
    for _, y in made.points:
        counts[round(y, 4)] = counts.get(round(y, 4), 0) + 1
    return [counts[y] for y in sorted(counts)]


def test_diamonds_fill_the_field_and_stand_half_a_step_off_from_row_to_row():
    # Field 32 x 24: four diamonds of 8 across, two of 12 up; corners have a button.
    made, _ = laid(box(-20, -16, 20, 16), pattern="diamond", spacing=(8.0, 12.0), margin=4.0)
    assert rows_of(made) == [5, 4, 5, 4, 5]
    assert made.points[0] == pytest.approx((-16.0, -12.0))
    assert made.points[5] == pytest.approx((-12.0, -6.0))
    assert made.spacing == pytest.approx((8.0, 12.0))


def test_buttons_are_numbered_row_by_row_from_below_and_each_from_the_left():
    for pattern in ("diamond", "square", "concentric"):
        made, _ = laid(box(-20, -16, 20, 16), pattern=pattern)
        assert list(made.points) == sorted(made.points, key=lambda p: (round(p[1], 4), p[0]))


def test_links_of_diamonds_are_their_edges():
    made, _ = laid(box(-8, -10, 8, 10), pattern="diamond", spacing=(8.0, 12.0), margin=4.0)
    # One diamond of 8 x 12: four corners and the middle, each corner linked to the middle.
    assert rows_of(made) == [2, 1, 2]
    assert made.links == ((0, 2), (1, 2), (2, 3), (2, 4))
    assert made.rings == (1, 1, 0, 1, 1)


def test_corners_cut_off_get_the_diamonds_whose_tips_lie_on_the_border():
    cut = shape([(-16, -16), (16, -16), (20, -12), (20, 12), (16, 16), (-16, 16), (-20, 12), (-20, -12)])
    made, _ = laid(cut, pattern="diamond", spacing=(8.0, 12.0), margin=4.0)
    assert rows_of(made) == [4, 5, 4, 5, 4]


def test_a_tapering_seat_gets_columns_that_fan_out_with_its_sides():
    seat = shape([(-16, -17), (16, -17), (20, 17), (-20, 17)])
    made, _ = laid(seat, pattern="square", margin=0.0, rows=3, columns=4)
    assert rows_of(made) == [4, 4, 4]
    assert [made.points[k][0] for k in (0, 4, 8)] == pytest.approx([-16, -18, -20], abs=0.01)
    # Said half-way up.
    assert made.spacing == pytest.approx((12.0, 17.0), abs=0.01)


def test_rows_and_columns_asked_for_are_kept():
    made, _ = laid(box(-47, -15, 47, 15), pattern="diamond", rows=3, columns=6)
    assert rows_of(made) == [6, 5, 6]
    made, _ = laid(box(-47, -15, 47, 15), pattern="square", rows=2, columns=7)
    assert rows_of(made) == [7, 7]


def test_an_even_number_of_rows_of_diamonds_is_made_and_said_not_to_be_mirrored():
    made, found = laid(box(-47, -15, 47, 15), pattern="diamond", rows=4, columns=6)
    assert len(rows_of(made)) == 4
    assert "buttons-not-mirrored" in codes(found)
    assert {(round(-x, 6), round(y, 6)) for x, y in made.points} == {
        (round(x, 6), round(y, 6)) for x, y in made.points
    }


def test_squares_have_their_own_step_each_way():
    made, _ = laid(box(-10, -10, 10, 10), pattern="square", spacing=(8.0, 5.0), margin=2.0)
    assert rows_of(made) == [3, 3, 3, 3]
    assert made.spacing == pytest.approx((8.0, 16.0 / 3.0))
    assert (0, 1) in made.links
    assert (0, 3) in made.links


@pytest.mark.parametrize(("width", "height", "axis"), [(60, 20, 0), (20, 60, 1)])
def test_a_row_lies_on_the_centre_line_along_the_longer_side(width, height, axis):
    made, _ = laid(
        box(-width / 2, -height / 2, width / 2, height / 2), pattern="row", spacing=(10.0, 10.0), margin=5.0
    )
    assert [p[axis] for p in made.points] == pytest.approx([-25, -15, -5, 5, 15, 25])
    assert [p[1 - axis] for p in made.points] == pytest.approx([0.0] * 6)
    assert made.links == tuple((k, k + 1) for k in range(5))


def test_rings_on_a_circle_hold_multiples_of_the_innermost():
    made, found = laid(disc(30), pattern="concentric", spacing=(8.5, 8.5), margin=4.5)
    assert [made.rings.count(r) for r in range(4)] == [1, 6, 12, 18]
    for (x, y), ring in zip(made.points, made.rings, strict=True):
        assert math.hypot(x, y) == pytest.approx(8.5 * ring, abs=0.01)
    assert "37 buttons, 3 rings" in found[0].message


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8])
def test_rings_on_a_polygon_hold_multiples_of_its_sides_and_its_corners(sides):
    made, _ = laid(regular(sides, 60, 90), pattern="concentric")
    counts = [made.rings.count(r) for r in range(max(made.rings) + 1)]
    assert counts[0] == 1
    assert all(c % sides == 0 for c in counts[1:])
    furthest = sorted(math.hypot(x, y) for x, y in made.points)[-sides:]
    assert max(furthest) - min(furthest) < 1e-6


def test_rings_about_a_long_cushion_have_a_row_in_the_middle_and_one_distance_all_round():
    made, _ = laid(box(-40, -20, 40, 20), pattern="concentric", spacing=(8.0, 8.0), margin=4.0)
    middle = [p for p, r in zip(made.points, made.rings, strict=True) if r == 0]
    assert [p[1] for p in middle] == pytest.approx([0.0] * len(middle))
    assert [p[0] for p in middle] == pytest.approx([-20, -12, -4, 4, 12, 20])
    outer = np.array([p for p, r in zip(made.points, made.rings, strict=True) if r == 2])
    inner = np.array([p for p, r in zip(made.points, made.rings, strict=True) if r == 1])
    assert np.abs(outer).max(axis=0) - np.abs(inner).max(axis=0) == pytest.approx([8.0, 8.0])


def test_rings_and_buttons_asked_for_on_a_circle():
    made, _ = laid(disc(30), pattern="concentric", rows=2, columns=16)
    assert [made.rings.count(r) for r in range(3)] == [1, 8, 16]
    # Ten share into two fives, but an odd ring is not the same at front and back.
    made, _ = laid(disc(30), pattern="concentric", rows=2, columns=10)
    assert [made.rings.count(r) for r in range(3)] == [1, 6, 10]


def test_channels_share_the_panel_into_equal_strips():
    made, found = laid(box(-20, -10, 20, 10), pattern="channels", spacing=(8.0, 8.0))
    assert made.points == ()
    assert [s[0][0] for s in made.seams] == pytest.approx([-12, -4, 4, 12])
    assert made.seams[0] == ((pytest.approx(-12.0), -10.0), (pytest.approx(-12.0), 10.0))
    assert made.spacing == pytest.approx((8.0, 0.0))
    assert "4 seams" in found[0].message


def test_a_single_channel_is_no_lack_of_room():
    made, found = laid(box(-20, -10, 20, 10), pattern="channels", columns=1)
    assert made.seams == ()
    assert [f.message for f in found] == ["The cushion is one channel wide, and has no seam."]


def test_channels_run_from_side_to_side_where_only_rows_are_asked_for():
    made, _ = laid(box(-20, -10, 20, 10), pattern="channels", rows=4)
    assert [s[0][1] for s in made.seams] == pytest.approx([-5, 0, 5])


def test_points_by_hand_keep_their_order_and_are_linked_to_their_neighbours():
    made, _ = laid(
        box(-20, -20, 20, 20), pattern="points", points=((8.0, 8.0), (-8.0, 8.0), (-8.0, -8.0), (8.0, -8.0))
    )
    assert made.points == ((8.0, 8.0), (-8.0, 8.0), (-8.0, -8.0), (8.0, -8.0))
    assert made.links == ((0, 1), (0, 3), (1, 2), (2, 3))
    assert made.rings == (0, 0, 0, 0)
    assert made.spacing == pytest.approx((16.0, 16.0))


def test_a_plain_cushion_has_no_buttons_and_nothing_to_be_said():
    made, found = laid(box(-20, -20, 20, 20))
    assert (made.points, made.links, made.seams, found) == ((), (), (), ())


def test_left_open_diamonds_are_four_by_six_inches_with_half_of_one_as_margin():
    # 1:12: 8.4667 x 12.7 mm, margin 4.2333 mm; a field of 8 x 2 of them.
    width, height = 8 * 4 * INCH / 12, 2 * 6 * INCH / 12
    border = 2 * INCH / 12
    outline = box(-width / 2 - border, -height / 2 - border, width / 2 + border, height / 2 + border)
    made, found = laid(outline, pattern="diamond")
    assert made.spacing == pytest.approx((4 * INCH / 12, 6 * INCH / 12))
    assert rows_of(made) == [9, 8, 9, 8, 9]
    assert "4 × 6 in (102 × 152 mm) at full size, 8.47 × 12.7 mm in miniature" in found[0].message


def test_what_is_got_is_said_beside_what_was_asked_for():
    _, found = laid(box(-20, -16, 20, 16), pattern="diamond", spacing=(7.0, 11.0), margin=4.0)
    assert found[0].code == "button-spacing"
    assert "Asked for" in found[0].message
    assert found[0].grade == "note"


def test_a_small_cushion_gets_one_button_in_the_middle():
    for pattern in ("diamond", "square", "row", "concentric"):
        made, found = laid(box(-4, -4, 4, 4), pattern=pattern)
        assert made.points == ((pytest.approx(0.0, abs=1e-9), pytest.approx(0.0, abs=1e-9)),)
        assert "one button" in found[0].message


def test_a_margin_without_room_is_a_finding_not_an_error():
    made, found = laid(box(-10, -10, 10, 10), pattern="diamond", margin=11.0)
    assert made.points == ()
    assert codes(found) == ["no-room-for-buttons"]


def test_points_by_hand_without_points_are_told():
    _, found = laid(box(-10, -10, 10, 10), pattern="points")
    assert "no points are given" in found[0].message


def test_deep_buttons_want_eight_millimetres_and_thin_cloth():
    outline = box(-40, -30, 40, 30)
    fine, thick = {"cloth_thickness": 0.2}, {"cloth_thickness": 0.3}
    _, found = laid(outline, pattern="diamond", manner="deep", spacing=(8.0, 12.0), **fine)
    assert not {"buttons-too-close", "cloth-too-thick-for-pleats"} & set(codes(found))
    _, found = laid(outline, pattern="diamond", manner="deep", spacing=(7.0, 12.0), **fine)
    assert "buttons-too-close" in codes(found)
    _, found = laid(outline, pattern="diamond", manner="deep", spacing=(8.0, 12.0), **thick)
    assert "cloth-too-thick-for-pleats" in codes(found)
    _, found = laid(outline, pattern="diamond", manner="pulled-in", spacing=(8.0, 12.0), **thick)
    assert "cloth-too-thick-for-pleats" not in codes(found)


def test_pulled_in_buttons_want_a_bead_and_the_depth_they_are_drawn_down():
    # Bead 1.5, drawn down 0.6 x 4 mm: 3.9 mm apart, 3.15 mm from the edge.
    near = {"pattern": "points", "bead": 1.5}
    outline = box(-20, -20, 20, 20)
    _, found = laid(outline, points=((-1.96, 0.0), (1.96, 0.0)), **near)
    assert codes(found) == ["button-spacing"]
    _, found = laid(outline, points=((-1.94, 0.0), (1.94, 0.0)), **near)
    assert codes(found) == ["button-spacing", "buttons-too-close"]
    _, found = laid(outline, points=((0.0, 16.8),), **near)
    assert codes(found) == ["button-spacing"]
    _, found = laid(outline, points=((0.0, 16.9),), **near)
    assert codes(found) == ["button-spacing", "button-near-edge"]
    assert found[1].grade == "care"
    assert found[1].point == (0.0, 16.9, 0.0)


def test_a_button_off_the_panel_stops_the_kit():
    _, found = laid(box(-20, -20, 20, 20), pattern="points", points=((0.0, 0.0), (0.0, 21.0)))
    assert [f.grade for f in found if f.code == "button-near-edge"] == ["stop"]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("spacing", (0.0, 5.0)),
        ("spacing", (math.nan, 5.0)),
        ("rows", 0),
        ("columns", -1),
        ("margin", -0.1),
        ("margin", math.inf),
    ],
)
def test_what_is_no_measure_is_refused_by_name(name, value):
    with pytest.raises(FormError, match=name):
        laid(box(-20, -20, 20, 20), pattern="diamond", **{name: value})


@pytest.mark.parametrize("pattern", ["diamond", "square", "row", "concentric", "channels"])
def test_thousands_of_buttons_are_taken_for_an_oversight(pattern):
    with pytest.raises(FormError, match="more than 1000"):
        laid(box(-100, -100, 100, 100), pattern=pattern, spacing=(0.05, 0.05))
    with pytest.raises(FormError, match="more than 1000"):
        laid(box(-100, -100, 100, 100), pattern=pattern, rows=100000, columns=100000)


@pytest.mark.parametrize("manner", ["pulled-in", "deep"])
@pytest.mark.parametrize(("apart", "grades"), [(0.0, {"stop"}), (0.9, {"stop"}), (2.5, {"care"})])
def test_two_beads_cannot_lie_in_one_place(manner, apart, grades):
    """A bead is a thing: nearer than one is wide, no care of the maker's helps."""
    points = ((0.0, 0.0), (apart, 0.0))
    _, found = laid(box(-20, -20, 20, 20), pattern="points", manner=manner, points=points, bead=1.5)
    assert {f.grade for f in found if f.code == "buttons-too-close"} == grades
