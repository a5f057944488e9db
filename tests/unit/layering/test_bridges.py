"""Small pieces stay tied to the sheet where nobody sees it, and small layers get a spare."""

from dataclasses import replace

import pytest
import shapely

from laminature.geometry.region import box, disc
from laminature.layering.bridges import CLEAR, with_bridges
from laminature.layering.letters import letter_parts
from laminature.layering.spares import spares_of
from laminature.model.board import Board
from laminature.model.joint import JointRule

from ..joinery.panels import board, layers, plate

BOARDS = {"b": Board("b", "Board", 0.5, 300.0, 300.0, bridge_knife=0.6, bridge_laser=0.4, small=8.0)}
GLUE = [JointRule(("*", "*"), "glue")]


def bridged(*parts, below=None, rules=(), sanding=0.15, cutter="knife"):
    made = layers(*parts, rules=rules, sanding=sanding)
    return {(x.part, x.index): x for x in with_bridges(parts, tuple(made.values()), BOARDS, cutter, below)}


def small(**more):
    return replace(plate(**more), outline=box(-3, -2.5, 3, 2.5))


def test_pieces_below_the_boards_size_get_two_bridges_and_larger_ones_none():
    made = bridged(small(), plate("large", z=60.0))
    assert all(len(made["plate", k].bridges) == 2 for k in range(1, 5))
    assert all(made["large", k].bridges == () for k in range(1, 5))


def test_the_maker_may_say_what_is_small():
    assert not bridged(small(), below=4.0)["plate", 1].bridges
    assert bridged(plate(), below=100.0)["plate", 1].bridges


def test_they_lie_on_the_border_away_from_corners_and_far_from_each_other():
    layer = bridged(small())["plate", 1]
    (cut,) = layer.cut
    corners = shapely.MultiPoint(cut.exterior.coords)
    (p, q) = (shapely.Point(at) for _, at in layer.bridges)
    for at in (p, q):
        assert cut.exterior.distance(at) == pytest.approx(0.0, abs=1e-9)
        assert corners.distance(at) >= 0.3 + CLEAR
    assert p.distance(q) >= 4.0


def test_a_round_piece_has_them_at_opposite_sides():
    layer = bridged(replace(plate(), outline=disc(3.0)))["plate", 1]
    (_, p), (_, q) = layer.bridges
    assert shapely.Point(p).distance(shapely.Point(q)) == pytest.approx(6.3, abs=0.01)


def test_a_piece_too_short_for_two_has_one():
    layer = bridged(replace(plate(), outline=box(-0.6, -0.5, 0.6, 0.5)))["plate", 1]
    assert len(layer.bridges) == 1


def test_hidden_edges_come_first():
    # Its upper edge stands under the plate, the others are seen.
    block = board("block", width=6.0, height=5.0, z=25.0)
    layer = bridged(plate(), block, rules=GLUE)["block", 1]
    assert layer.bridges[0][1][1] == pytest.approx(5.0)


def test_tabs_are_left_alone():
    rules = [JointRule(("*", "*"), count=1, width=3.0)]
    block = board("block", width=7.5, height=5.0, z=25.0)
    made = bridged(plate(), block, rules=rules, below=20.0)
    assert made["block", 1].cut[0].bounds[3] > 6.0
    assert all(at[1] <= 5.0 + 1e-9 for _, at in made["block", 1].bridges)


def test_alike_layers_are_held_alike():
    made = bridged(small())
    assert made["plate", 1].bridges == made["plate", 2].bridges


# --- spares ---------------------------------------------------------------------------


def lettered(*parts):
    return letter_parts(parts, tuple(layers(*parts, sanding=0.15).values()))[1]


def test_one_spare_of_each_small_layer_whatever_number_of_alike_parts():
    made = spares_of(lettered(small(), replace(small(z=60.0), name="second"), plate("large", z=90.0)), 8.0)
    assert [(x.label, x.role, x.of) for x in made] == [(f"A{k}", "spare", "plate") for k in range(1, 5)]
    assert {x.part for x in made} == {"plate/spare"}


def test_the_longer_side_as_it_is_cut_decides():
    assert len(spares_of(lettered(small()), 6.31)) == 4
    assert spares_of(lettered(small()), 6.29) == ()


def test_aids_have_no_spares():
    keys = [replace(x, role="key") for x in lettered(small())]
    assert spares_of(keys, 8.0) == ()
