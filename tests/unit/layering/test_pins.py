"""Openings for pins: inside, hidden, clear of every cut, and so placed that no layer goes on wrongly."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity

from laminature.geometry.path import polyline
from laminature.geometry.region import Region, box, disc, regular, shape
from laminature.layering.aligning.pins import with_pins
from laminature.model.board import Board
from laminature.model.gluing import Gluing
from laminature.model.joint import JointRule
from laminature.model.part import Part, Rim

from ...planned import EXAMPLES, built
from ..joinery.panels import board, layers, plate

BOARDS = {"b": Board("b", "Board", 0.5, 300.0, 300.0, web_knife=1.5)}
PINS = Gluing("pins")
#: What a maker sees at an outline, or feels at a pin, mm: less than what the places are chosen by.
SEEN = 0.5


def pinned(*parts, rules=(), cutter="knife"):
    """Layers by (part, index), and the findings, of parts of which all are glued on pins unless they say."""
    held = [p if p.gluing.held else replace(p, gluing=PINS) for p in parts]
    made, found = with_pins(held, tuple(layers(*held, rules=rules).values()), BOARDS, cutter)
    return {(x.part, x.index): x for x in made}, found


def of(region: Region, **more) -> Part:
    return replace(plate(**more), outline=region)


def wrong_poses(outline):
    """Every turn by a degree, mirrored or not, that lays an outline onto itself about its middle."""
    x, y = outline.centroid.coords[0]
    border = shapely.Polygon(outline.exterior)
    for mirrored in (False, True):
        start = affinity.scale(border, -1.0, 1.0, origin=(x, y)) if mirrored else border
        for degrees in range(360):
            if not mirrored and not 5 <= degrees <= 355:
                continue  # Nearly right, not wrong.
            moved = affinity.rotate(start, degrees, origin=(x, y))
            if moved.exterior.hausdorff_distance(border.exterior) <= SEEN:

                def pose(p, mirrored=mirrored, degrees=degrees):
                    q = affinity.scale(shapely.Point(p), -1.0, 1.0, origin=(x, y)) if mirrored else p
                    return affinity.rotate(shapely.Point(q), degrees, origin=(x, y))

                yield mirrored, degrees, pose


def goes_on_wrongly(layer):
    """Wrong poses in which all openings of a layer lie on pins."""
    (region,) = layer.regions
    return [
        (mirrored, degrees)
        for mirrored, degrees, pose in wrong_poses(region)
        if all(min(pose(p).distance(shapely.Point(q)) for q in layer.pins) <= SEEN for p in layer.pins)
    ]


OUTLINES = {
    "rectangle": box(-30, -20, 30, 20),
    "slender": box(-30, -3.2, 30, 3.2),
    "square": box(-12, -12, 12, 12),
    "hexagon": regular(6, 40.0),
    "triangle": regular(3, 40.0),
    "right-angled": shape([(0, 0), (30, 0), (0, 30)]),
    "cross": shape(
        [(-4, -20), (4, -20), (4, -4), (20, -4), (20, 4), (4, 4), (4, 20), (-4, 20), (-4, 4), (-20, 4),
         (-20, -4), (-4, -4)]
    ),
    "round": disc(15.0),
    "ring": Region(disc(20.0).outline, (polyline([(-12, -12), (12, -12), (12, 12), (-12, 12)]),)),
}  # fmt: skip


@pytest.mark.parametrize("name", OUTLINES)
def test_no_turned_or_flipped_layer_goes_onto_the_pins(name):
    made, _ = pinned(of(OUTLINES[name], show=frozenset()))
    layer = made["plate", 1]
    assert len(layer.pins) in (2, 3)
    assert list(wrong_poses(layer.regions[0]))
    assert goes_on_wrongly(layer) == []


def test_the_brute_force_finds_symmetrical_pins_out():
    # A guard for the test above: pins in the corners of a rectangle go on after a half turn.
    corners = tuple((x, y) for x in (-20.0, 20.0) for y in (-10.0, 10.0))
    part = plate(gluing=Gluing("pins", places=corners), show=frozenset())
    made, found = pinned(part)
    assert sorted(goes_on_wrongly(made["plate", 1])) == [(False, 180), (True, 0), (True, 180)]
    assert [f.code for f in found] == ["pins-turnable"]


def test_show_faces_stay_whole():
    for show, pierced in (
        ({"lower", "upper"}, [2, 3]),
        ({"lower"}, [2, 3, 4]),
        ({"upper"}, [1, 2, 3]),
        (set(), [1, 2, 3, 4]),
    ):
        made, found = pinned(plate(show=frozenset(show)))
        assert [k for k in range(1, 5) if made["plate", k].pins] == pierced
        for k in range(1, 5):
            assert len(made["plate", k].regions[0].interiors) == (3 if k in pierced else 0)
        assert [f.code for f in found] == (["pins-below-face"] if show else [])


def test_the_floor_of_a_rim_is_a_show_face_too():
    rim = Rim(1, box(-20, -10, 20, 10))
    made, _ = pinned(plate(layers=5, rim=rim, show=frozenset({"upper"})))
    assert [k for k in range(1, 6) if made["plate", k].pins] == [1, 2, 3]
    # Wide enough a ring covers them; narrow as this one is not, they go where its floor does.
    narrow = Rim(2, box(-28, -18, 28, 18))
    made, found = pinned(plate(layers=6, rim=narrow, show=frozenset({"upper"})))
    assert [k for k in range(1, 7) if made["plate", k].pins] == [1, 2, 3]
    assert "4 and 5 and 6" in found[0].message or "4 to 6" in found[0].message


def test_openings_are_round_as_wide_as_asked_and_alike_in_all_layers():
    for wide in (2.0, 2.2, 2.5):
        made, _ = pinned(plate(gluing=Gluing("pins", pin=wide), show=frozenset()))
        first = made["plate", 1].regions[0]
        assert len(first.interiors) == len(made["plate", 1].pins)
        for at in made["plate", 1].pins:
            (ring,) = (r for r in first.interiors if shapely.Polygon(r).contains(shapely.Point(at)))
            assert np.hypot(*(np.asarray(ring.coords) - at).T) == pytest.approx(wide / 2, abs=1e-9)
        assert {made["plate", k].pins for k in range(1, 5)} == {made["plate", 1].pins}


@pytest.mark.parametrize(("cutter", "web"), [("knife", 1.5), ("laser", 1.0)])
def test_they_keep_the_smallest_web_to_every_cut(cutter, web):
    rules = [JointRule(("*", "*"), count=2, width=8.0)]
    parts = [plate(show=frozenset({"upper"})), board(), board("other", y=12.0)]
    bare = layers(*parts, rules=rules)
    made, _ = pinned(*parts, rules=rules, cutter=cutter)
    for name in ("plate", "board", "other"):
        pierced = [x for x in made.values() if x.part == name and x.pins]
        assert len(pierced) >= 2
        for x in pierced:
            # Those that are not pierced cover the openings with as much.
            for own in (y for y in bare.values() if y.part == name):
                border = shapely.union_all([r.boundary for r in own.regions])
                for p in x.pins:
                    assert border.distance(shapely.Point(p)) >= x_radius() + web
            for i, p in enumerate(x.pins):
                for q in x.pins[:i]:
                    assert math.dist(p, q) >= 2 * x_radius() + web


def x_radius():
    return PINS.pin / 2


def test_marks_are_not_pierced():
    line = polyline([(-30, 0), (30, 0)], closed=False)
    made, _ = pinned(of(box(-30, -6, 30, 6), show=frozenset(), marks=(line,)))
    assert made["plate", 1].pins
    assert all(abs(y) >= x_radius() for _, y in made["plate", 1].pins)


def test_the_same_part_always_gets_the_same_openings_wherever_it_stands():
    one, _ = pinned(plate())
    two, _ = pinned(plate(z=77.0))
    assert one["plate", 2].pins == two["plate", 2].pins
    assert one["plate", 2].regions == two["plate", 2].regions


def test_a_part_without_room_is_told_and_left_as_it_is():
    made, found = pinned(of(box(-20, -2, 20, 2), show=frozenset()))
    assert [(f.code, f.grade, f.part) for f in found] == [("pins-no-room", "care", "plate")]
    assert 'align = "carrier"' in found[0].remedy
    assert not any(x.pins for x in made.values())


def test_two_show_layers_alone_hold_no_pin():
    made, found = pinned(plate(layers=3))
    assert [f.code for f in found] == ["pins-no-room"]
    assert "fewer than two layers that do not show" in found[0].message
    assert not any(x.pins for x in made.values())


def test_alike_parts_are_told_once():
    _, found = pinned(plate(), plate("second", z=60.0))
    assert len(found) == 1
    assert "plate and second" in found[0].message


def test_the_maker_may_ask_for_places():
    places = ((-20.0, -10.0), (15.0, 8.0), (22.0, -9.0))
    made, found = pinned(plate(gluing=Gluing("pins", places=places), show=frozenset()))
    assert made["plate", 1].pins == places
    assert found == ()


def test_a_place_beside_the_board_is_left_out_and_told():
    places = ((-20.0, -10.0), (15.0, 8.0), (29.5, 0.0))
    made, found = pinned(plate(gluing=Gluing("pins", places=places), show=frozenset()))
    assert made["plate", 1].pins == places[:2]
    assert [f.code for f in found] == ["pin-misplaced"]
    assert "29.5, 0.0" in found[0].message


def test_pins_come_out_at_a_show_face_only_where_the_maker_says_so():
    made, found = pinned(plate(layers=2, gluing=Gluing("pins", through_show=True)))
    assert all(x.pins for x in made.values())
    assert [(f.code, f.grade) for f in found] == [("pin-in-show-face", "care")]


def test_no_opening_of_an_example_touches_a_mark():
    for name in EXAMPLES:
        for layer in built(name).layers:
            points = [(m.flattened, m.closed) for m in layer.marks]
            drawn = [np.concatenate([p, p[:1]]) if closed else p for p, closed in points]
            for pin in layer.pins:
                away = [shapely.LineString(p).distance(shapely.Point(pin)) for p in drawn]
                assert min(away, default=9.0) >= 1.1 + 0.49, (name, layer.label)
