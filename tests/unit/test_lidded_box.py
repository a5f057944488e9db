"""The box with a lid: sizes as asked, corners, the housed bottom, the lid's play, and what is refused."""

import pytest

from laminature.errors import FormError
from laminature.forms.lidded_box import FORM

from ..formed import extent, whole, workshop

T = 4 * 0.5588


def make(**values):
    return FORM.make(values, workshop())


@pytest.mark.parametrize("lid", ["lip", "cap"])
@pytest.mark.parametrize("overhang", [0.0, 2.0])
def test_outer_sizes_are_as_asked(lid, overhang):
    piece = make(width=70.0, depth=40.0, height=35.0, lid=lid, lid_overhang=overhang)
    assert whole(piece) == pytest.approx([70.0, 40.0, 35.0], abs=1e-9)
    assert piece.size == (70.0, 40.0, 35.0)


@pytest.mark.parametrize("clearance", [0.25, 0.4])
def test_a_lip_lifts_out_of_the_walls_with_the_clearance_on_every_side(clearance):
    piece = make(lid="lip", clearance=clearance)
    low, high = extent(piece.part("lid-ring"))
    gaps = [
        low[0] - extent(piece.part("wall-left"))[1][0],
        low[1] - extent(piece.part("wall-front"))[1][1],
        extent(piece.part("wall-right"))[0][0] - high[0],
        extent(piece.part("wall-back"))[0][1] - high[1],
    ]
    assert gaps == pytest.approx([clearance] * 4)


def test_a_cap_lifts_off_the_walls_with_a_quarter_millimetre_on_every_side():
    piece = make(lid="cap")
    (opening,) = piece.part("lid-ring").outline.openings
    low, high = opening.flattened.min(axis=0), opening.flattened.max(axis=0)
    walls = extent(piece.part("wall-left"))[0][0], extent(piece.part("wall-back"))[1][1]
    assert walls[0] - low[0] == pytest.approx(0.25)
    assert high[1] - walls[1] == pytest.approx(0.25)


def test_the_lid_is_a_loose_group_of_its_own_that_rests_on_the_walls():
    piece = make()
    assert {p.name for p in piece.parts if p.group == "lid"} == {"lid", "lid-ring"}
    assert extent(piece.part("lid"))[0][2] == pytest.approx(extent(piece.part("wall-left"))[1][2])
    assert extent(piece.part("lid-ring"))[1][2] == pytest.approx(extent(piece.part("lid"))[0][2])


def test_front_and_back_run_to_the_corners_and_the_ends_stand_between_them():
    piece = make()
    front, left = extent(piece.part("wall-front")), extent(piece.part("wall-left"))
    assert left[0][0] == pytest.approx(front[0][0], abs=1e-9)
    assert left[0][1] == pytest.approx(front[1][1], abs=1e-9)


@pytest.mark.parametrize("corners", ["rebate", "fingers"])
def test_corners_are_as_asked_and_the_bottom_is_housed_half_deep_all_round(corners):
    piece = make(corners=corners)
    assert [(r.parts, r.kind, r.depth) for r in piece.rules[:2]] == [
        (("wall-*", "wall-*"), corners, None),
        (("wall-*", "bottom"), "housing", 2),
    ]
    low, high = extent(piece.part("bottom"))
    assert low[0] == pytest.approx(extent(piece.part("wall-left"))[1][0])
    assert high[1] == pytest.approx(extent(piece.part("wall-back"))[0][1])
    assert low[2] > T


def test_the_lids_moulding_steps_every_layer():
    profile = make(lid_edge="ogee").part("lid").profile
    assert profile is not None and profile.name == "ogee" and len(profile.insets) == 4
    assert make(lid_edge="straight").part("lid").profile is None


def test_the_help_says_that_fingers_show_on_both_faces():
    (corners,) = [p for p in FORM.parameters if p.name == "corners"]
    assert "both faces" in corners.help


@pytest.mark.parametrize(
    ("parameter", "values"),
    [
        ("bottom_up", {"bottom_up": 1.0}),
        ("height", {"height": 10.0}),
        ("width", {"width": 12.0}),
        ("depth", {"depth": 16.0, "lid": "cap"}),
        ("ring_width", {"ring_width": 1.0}),
        ("ring_width", {"ring_width": 16.0}),
        ("ring_height", {"lid": "cap", "height": 20.0, "ring_height": 24.0}),
        ("clearance", {"clearance": 0.0}),
        ("lid_edge", {"width": 20.0, "depth": 20.0, "lid_layers": 8}),
        ("lid_edge", {"lid_layers": 1}),
        ("wall_layers", {"wall_layers": 1}),
    ],
)
def test_impossible_sizes_are_refused_with_a_remedy(parameter, values):
    with pytest.raises(FormError) as caught:
        make(**values)
    assert caught.value.parameter == parameter
    assert caught.value.remedy
