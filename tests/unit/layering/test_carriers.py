"""Carriers: each layer of a slender part in a frame, held by bridges, all frames on the same pins."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity

from laminature.geometry.region import Region, box, disc, shape
from laminature.layering.aligning.carriers import GAP, LEAST, REACH, with_carriers
from laminature.model.board import Board
from laminature.model.gluing import Gluing
from laminature.model.joint import JointRule
from laminature.model.part import Part

from ..joinery.panels import board, layers, plate

BOARDS = {"b": Board("b", "Board", 0.5, 300.0, 300.0, web_knife=1.5, bridge_knife=0.6)}
CARRIED = Gluing("carrier")
SPACING = 1.5


def carried(*parts, rules=(), sanding=0.15, spacing=SPACING):
    made = tuple(layers(*parts, rules=rules, sanding=sanding).values())
    framed, found = with_carriers(parts, made, BOARDS, "knife", spacing)
    return {(x.part, x.index): x for x in made}, {(x.part, x.index): x for x in framed}, found


def leg(region: Region | None = None, **more) -> Part:
    return replace(plate("leg", gluing=CARRIED, **more), outline=region or box(-35, -2.5, 35, 2.5))


def waste(layer):
    """The layer's own openings in its frame: what falls out between the two."""
    (cut,) = layer.cut
    return [shapely.Polygon(r) for r in cut.interiors]


def test_a_layer_and_its_frame_are_one_piece_and_the_layer_itself_stays_as_it_was():
    before, after, found = carried(leg())
    assert found == ()
    for key, layer in after.items():
        (own,), (cut,) = before[key].cut, layer.cut
        assert layer.regions == before[key].regions
        assert layer.carried
        assert cut.is_valid
        assert own.difference(cut).area == pytest.approx(0.0, abs=1e-9)
        # A rectangle around it.
        assert len(cut.exterior.coords) - 1 == 4


def test_all_round_there_is_a_gap_but_for_the_bridges():
    before, after, _ = carried(leg())
    (own,), (cut,) = before["leg", 1].cut, after["leg", 1].cut
    moat = own.buffer(SPACING - 1e-3, join_style="mitre").difference(own.buffer(1e-3, join_style="mitre"))
    strips = shapely.get_parts(moat.intersection(cut))
    assert len(strips) == LEAST
    for strip in strips:
        x0, y0, x1, y1 = strip.bounds
        assert min(x1 - x0, y1 - y0) == pytest.approx(0.6)


def test_a_spacing_of_nothing_still_leaves_a_gap():
    before, after, _ = carried(leg(), spacing=0.0)
    (own,), (cut,) = before["leg", 1].cut, after["leg", 1].cut
    between = own.buffer(GAP - 1e-3, join_style="mitre").difference(own)
    assert between.intersection(cut).area < 0.2 * between.area


def test_frames_and_pins_are_alike_in_all_layers_show_layers_too():
    # The upper layers have no tabs: the frame goes round the largest.
    rules = [JointRule(("*", "*"), count=2, width=8.0)]
    parts = plate(width=80.0), board("leg", width=70.0, height=6.0, z=24.0, gluing=CARRIED)
    _, after, _ = carried(*parts, rules=rules)
    own = [after["leg", k] for k in range(1, 5)]
    assert len({x.cut[0].bounds for x in own}) == 1
    assert len({x.pins for x in own}) == 1
    for x in own:
        for at in x.pins:
            (opening,) = (w for w in waste(x) if w.contains(shapely.Point(at)))
            assert math.sqrt(opening.area / math.pi) == pytest.approx(1.1, abs=0.01)


def test_pins_stand_in_the_frame_with_the_web_about_them():
    before, after, _ = carried(leg())
    layer = after["leg", 1]
    (cut,) = layer.cut
    for at in layer.pins:
        p = shapely.Point(at)
        assert before["leg", 1].cut[0].distance(p) > 1.1 + 1.5
        others = [cut.exterior, *(w.exterior for w in waste(layer) if not w.contains(p))]
        assert min(o.distance(p) for o in others) >= 1.1 + 1.5 - 1e-3


@pytest.mark.parametrize("region", [box(-35, -2.5, 35, 2.5), box(-8, -6, 8, 6), disc(6.0)])
def test_a_frame_goes_onto_its_pins_one_way_only(region):
    _, after, _ = carried(leg(region))
    layer = after["leg", 1]
    x0, y0, x1, y1 = layer.cut[0].bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    poses = [(-1, -1, 0), (-1, 1, 0), (1, -1, 0)]
    if abs((x1 - x0) - (y1 - y0)) < 1.0:
        poses += [(sx, sy, 90) for sx in (1, -1) for sy in (1, -1)]
    for sx, sy, turn in poses:
        misses = []
        for at in layer.pins:
            moved = affinity.rotate(
                affinity.scale(shapely.Point(at), sx, sy, origin=middle), turn, origin=middle
            )
            misses.append(min(moved.distance(shapely.Point(q)) for q in layer.pins))
        assert max(misses) > 0.5


def test_bridges_stand_on_hidden_edges_first():
    # The board stands under a plate along all its upper edge, glued only.
    parts = plate(width=80.0), board("leg", width=20.0, height=6.0, z=24.0, gluing=CARRIED)
    before, after, _ = carried(*parts, rules=[JointRule(("*", "*"), "glue")])
    (own,), (cut,) = before["leg", 1].cut, after["leg", 1].cut
    moat = own.buffer(SPACING - 1e-3, join_style="mitre").difference(own.buffer(1e-3, join_style="mitre"))
    for strip in shapely.get_parts(moat.intersection(cut)):
        assert strip.bounds[1] >= 6.0


def test_no_bridge_holds_a_tab_and_none_is_out_of_reach():
    rules = [JointRule(("*", "*"), count=2, width=8.0)]
    parts = plate(width=110.0), board("leg", width=100.0, height=6.0, z=24.0, gluing=CARRIED)
    before, after, _ = carried(*parts, rules=rules)
    (own,), (cut,) = before["leg", 2].cut, after["leg", 2].cut
    moat = own.buffer(0.2, join_style="mitre").difference(own.buffer(1e-3, join_style="mitre"))
    strips = shapely.get_parts(moat.intersection(cut))
    assert all(strip.bounds[3] < 6.6 for strip in strips)
    roots = shapely.union_all(strips)
    for at in np.asarray(own.segmentize(1.0).exterior.coords):
        assert roots.distance(shapely.Point(at)) <= REACH + 5.0


def test_a_part_that_lies_askew_has_its_frame_along_it():
    slanting = shape([(0, 0), (50, 30), (47.5, 34), (-2.5, 4)])
    _, after, _ = carried(leg(slanting))
    (cut,) = after["leg", 1].cut
    around = shapely.minimum_rotated_rectangle(cut)
    assert cut.exterior.hausdorff_distance(around.exterior) < 1e-6
    x, y = np.diff(np.asarray(cut.exterior.coords), axis=0)[0]
    assert math.degrees(math.atan2(y, x)) % 90.0 == pytest.approx(math.degrees(math.atan2(30, 50)), abs=1e-3)


def test_parts_that_are_not_asked_for_stay_as_they_are():
    before, after, found = carried(plate(), leg(z=50.0))
    assert after["plate", 1] is before["plate", 1]
    assert found == ()


def test_a_square_that_stands_on_its_corner_is_held_too():
    _, after, found = carried(leg(shape([(0, -8), (8, 0), (0, 8), (-8, 0)])))
    assert after["leg", 1].carried
    assert found == ()


def test_where_no_edge_is_long_enough_for_a_bridge_the_maker_is_told():
    before, after, found = carried(leg(box(-0.4, -0.3, 0.4, 0.3)))
    assert [(f.code, f.grade) for f in found] == [("carrier-not-possible", "care")]
    assert after["leg", 1] is before["leg", 1]
