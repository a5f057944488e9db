"""The radial table: sizes as asked, every way of joining, and what is refused."""

import itertools
import math

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.forms.leg_curves import CURVES
from laminature.forms.radial_legs import JOININGS
from laminature.forms.radial_table import FORM
from laminature.model.fit import HAND_STACKED

from ..formed import BOARD, corners, seen_from_above, workshop

WAYS = [(legs, way) for legs, ways in JOININGS.items() for way in ways]


def make(**values):
    return FORM.make(values, workshop())


@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize(("legs", "way"), WAYS)
def test_the_table_is_as_high_and_wide_as_asked_and_stands_on_the_floor(legs, way, curve):
    piece = make(legs=legs, joining=way, leg_curve=curve, sides=0, height=55.0, width=52.0)
    points = np.vstack([corners(p) for p in piece.parts])
    assert points[:, 2].min() == pytest.approx(0.0, abs=1e-9)
    assert points[:, 2].max() == pytest.approx(55.0, abs=1e-9)
    assert 2.0 * np.hypot(points[:, 0], points[:, 1]).max() == pytest.approx(52.0, abs=0.01)
    assert piece.size == (52.0, 52.0, 55.0)


@pytest.mark.parametrize(("legs", "way"), WAYS)
def test_there_is_a_foot_for_every_leg(legs, way):
    piece = make(legs=legs, joining=way)
    panels = [p for p in piece.parts if p.name.startswith("panel")]
    single = [p for p in piece.parts if p.name.startswith(("half", "leg"))]
    assert 2 * len(panels) + len(single) == legs


@pytest.mark.parametrize(("legs", "way"), [w for w in WAYS if w[1] not in ("halved", "thirds")])
def test_half_panels_and_legs_never_run_into_each_other(legs, way):
    piece = make(legs=legs, joining=way)
    standing = [p for p in piece.parts if p.name.startswith(("panel", "half", "leg"))]
    for a, b in itertools.combinations(standing, 2):
        assert seen_from_above(a).intersection(seen_from_above(b)).area < 1e-9


@pytest.mark.parametrize("legs", [4, 6, 8])
def test_half_panels_touch_the_full_panel_with_their_nearest_corner(legs):
    piece = make(legs=legs, joining="full-and-halves")
    full = seen_from_above(piece.part("panel-1"))
    for p in piece.parts:
        if p.name.startswith("half"):
            assert seen_from_above(p).distance(full) < 1e-9


@pytest.mark.parametrize("legs", [4, 6, 8])
def test_halves_share_the_axis_so_that_no_two_want_the_same_slot(legs):
    piece = make(legs=legs, joining="full-and-halves")
    shares = [r.share for r in piece.rules if r.share is not None]
    wanted = {4: [(0, 2), (1, 2)], 6: [(i, 4) for i in range(4)]}
    # Of eight, four stand obliquely and share the lower part; two stand square and share the upper.
    wanted[8] = [(0, 4), (0, 2), (1, 4), (2, 4), (1, 2), (3, 4)]
    assert shares == wanted[legs]
    assert all(r.through for r in piece.rules if r.share is not None)


@pytest.mark.parametrize("legs", [3, 5, 8])
def test_hubs_reach_into_the_legs_and_the_legs_into_the_hubs(legs):
    piece = make(legs=legs, joining="hubs")
    for name in ("hub-lower", "hub-upper"):
        hub = corners(piece.part(name))[:, :2]
        inner = piece.part("leg-1").outline.bounds[0]
        # The flat of the hub that faces leg 1 is its greatest x.
        assert inner + 2.0 * BOARD.web_knife < hub[:, 0].max() < piece.part("leg-1").outline.bounds[2]


@pytest.mark.parametrize(("legs", "way"), [(4, "halved"), (6, "thirds"), (4, "full-and-halves")])
def test_full_panels_are_level_as_far_as_their_neighbours_pass(legs, way):
    # Thick legs: on an arch that falls sooner the notches would not reach all of the neighbour.
    piece = make(legs=legs, joining=way, leg_layers=6)
    panel = piece.part("panel-1")
    passing = panel.thickness / 2.0 / math.tan(math.radians(180.0 / legs)) + HAND_STACKED.side
    ring = np.asarray(panel.outline.flat.exterior.coords)
    near = ring[(np.abs(ring[:, 0]) < passing) & (ring[:, 1] < piece.size[2] / 2.0 + 1.0)]
    assert not len(near)
    arch = ring[np.abs(np.abs(ring[:, 0]) - np.abs(ring[:, 0]).min()) < 1e-9]
    assert len(set(np.round(arch[:, 1], 9))) <= 2


def test_legs_touch_the_top_from_below():
    piece = make(legs=4)
    top = piece.part("top")
    for name in ("panel-1", "panel-2"):
        assert corners(piece.part(name))[:, 2].max() == pytest.approx(top.pose.origin[2], abs=1e-12)


def test_tabs_leave_the_floor_under_a_rim_whole():
    piece = make(rim_layers=1, top_layers=4)
    assert {r.depth for r in piece.rules if "top" in r.parts} == {2}


def test_the_number_of_layers_follows_the_wanted_thickness_or_is_given():
    assert make().part("top").stack.count == 4
    assert make(top_layers=5).part("top").stack.count == 5


@pytest.mark.parametrize(
    ("values", "about"),
    [
        ({"legs": 7}, "legs"),
        ({"sides": 2}, "sides"),
        ({"legs": 3, "joining": "halved"}, "joining"),
        ({"legs": 5, "joining": "thirds"}, "joining"),
        ({"top_layers": 2, "rim_layers": 1}, "rim_layers"),
        ({"rim_layers": 4}, "rim_layers"),
        ({"rim_layers": 1, "rim_width": 40.0}, "rim"),
        ({"leg_spread": 60.0}, "leg_spread"),
        ({"leg_top": 50.0}, "leg_top"),
        ({"leg_path": "M 0 0 L 0 -60"}, "leg_path"),
        ({"leg_path": "L 0 60"}, "leg_path"),
        ({"leg_path": "M 0 0 L 90 60"}, "leg_path"),
        ({"leg_path": "M 0 0 L 0 60", "leg_spread": 40.0}, "leg_spread"),
        ({"foot_width": 1.2}, "foot_width"),
        ({"foot_width": 40.0}, "foot_width"),
        ({"arch_height": 47.0}, "arch_height"),
        ({"height": 13.0, "top_thickness": 10.0}, "height"),
        ({"edge": "piecrust", "scallops": 9}, "scallops"),
        ({"profile": "quarter-round", "top_layers": 8, "rim_layers": 3}, "rim_width"),
        ({"profile": "thumbnail", "top_layers": 32, "height": 90.0}, "profile"),
        ({"rim_layers": 1, "rim_width": 1.0}, "rim_width"),
        ({"leg_layers": 20, "height": 90.0, "leg_top": 15.0, "leg_curve": "straight"}, "leg_thickness"),
        ({"legs": 8, "joining": "full-and-halves", "arch_height": 30.0}, "arch_height"),
        (
            {"legs": 6, "joining": "thirds", "height": 16.0, "leg_layers": 2, "arch_height": 9.5},
            "arch_height",
        ),
    ],
)
def test_impossible_tables_are_refused_with_a_way_out(values, about):
    with pytest.raises(FormError) as refused:
        make(**values)
    assert refused.value.parameter == about
    assert refused.value.remedy


def test_the_stand_off_of_halves_follows_the_closed_form():
    piece = make(legs=6, joining="full-and-halves")
    t = piece.part("half-1").thickness
    inner = piece.part("half-1").outline.bounds[0]
    assert inner == pytest.approx(t / 2.0 / math.tan(math.pi / 6))


@pytest.mark.parametrize(
    "data", ["M 0 0 L 0 60", "M 5 5 c 3 20 -3 30 2 60", "M0 0 V30 A 30 30 0 0 0 3 40 L 4 60"]
)
def test_a_leg_can_be_drawn_by_the_maker_in_any_unit(data):
    piece = make(leg_path=data, leg_top=36.0)
    leg = piece.part("panel-1").outline
    top = piece.part("top").pose.origin[2]
    assert leg.bounds[1] == 0.0
    assert leg.bounds[3] == top
    assert (18.0, top) in [s.start for s in leg.outline]
