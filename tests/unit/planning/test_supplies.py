"""What is bought for a kit, one example's figures worked out by hand."""

from dataclasses import replace

import pytest

from laminature.geometry.flat import rectangle
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.price import UNKNOWN, Price, Prices
from laminature.model.sheet import Sheet
from laminature.planning.supplies import supplies_for

from ...planned import EXAMPLES, RATES, WORDS, built, supplies_of

BOARD = Board("card", "Card", 0.5, 300.0, 200.0, density=0.65)
EMPTY = Piece("A slab", ())


def slab(width, height, count, part="slab"):
    region = (rectangle(0.0, 0.0, width, height),)
    return [Layer(part, "A", n, "card", 0.5 * (n - 1), 0.5 * n, region, region) for n in range(1, count + 1)]


def bought(layers, sheets=(), rates=RATES, prices=UNKNOWN):
    supplies = supplies_for(EMPTY, (), layers, sheets, (), {"card": BOARD}, rates, WORDS, prices)
    return {s.kind if s.kind != "abrasive" else s.title: s for s in supplies}


def by_kind(name):
    return {s.kind: s for s in supplies_of(name)}


def test_the_tide_chest_by_hand():
    """All areas in mm², of the layers as they are cut; every part has four layers.

    Layers: walls A (two of them) 2370.3, 2370.3, 2531.3, 2531.3: 68.79 × 37.90 less two fingers at either
    end, and a housing in two of them. Walls B (two) 1228.3, 1228.3, 1298.4, 1298.4. Bottom C 2255.4 each.
    Lid D 2894.3, 2849.8, 2698.8, 2162.6, stepped. Lip E 477.7 each, a ring 2.7 mm wide.
    """
    bought = by_kind("tide-chest")
    assert (bought["board"].amount, bought["board"].packs) == (1, 1)

    # Large flat contact: A 2 (2·2370.3 + 2531.3) = 14543.8, B 2 (2·1228.3 + 1298.4) = 7510.0,
    # C 3·2255.4 = 6766.2, D 2849.8 + 2698.8 + 2162.6 = 7711.2; together 36531.2.
    # 36531.2e-6 m² · 50 g/m² = 1.8266 g; / 1.1 g/ml = 1.6605 ml; and 30 %: 2.1587 ml.
    assert bought["tube_glue"].amount == pytest.approx(2.1587, rel=1e-3)

    # Narrow: the lip's own three lines and its face on the lid, 4·477.7 = 1910.8. Joints: each of four
    # corners has a shoulder 37.899 · 2.3176 = 87.83 and two fingers of 7.58 with 2.3176 to both sides,
    # 2·2.3176·15.16 = 70.27: 632.4 together. The bottom's tongues, shoulder and 1.1588 deep on both sides:
    # 2 (64.157 · 2.3176 + 2·1.1588·64.157) = 594.8 at the short
    # walls 2 (32.407 · 2.3176 + 2·1.1588·27.77), their tongues being shorter: 278.9.
    # 3416.9e-6 · 50 / 1.1 · 1.3 = 0.2019 ml.
    assert bought["fine_glue"].amount == pytest.approx(0.2019, rel=1e-3)

    # Seams: four corners, two fingers each, round their ends: 8 · 2 (7.58 + 2.3176) = 158.4 mm.
    # 0.1584 m · 2 ml/m · 1.3 = 0.4117 ml.
    assert bought["filler"].amount == pytest.approx(0.4117, rel=1e-3)

    # Seen. Outside A 2·2531.3, B 2·1298.4. Inside, A 2·2268.4 (the ends of walls B stand on 101.9 of each),
    # B 2·1148.0 (1228.3 less its fingers 70.3, and 4.4 · 2.32 where the bottom stands beside its tongue),
    # C 64.157 · 32.407 = 2079.1. Lid D below 2894.3 - 477.7 under the lip, above 2894.3 with all its steps;
    # E below 477.7. Together 22360.
    # Bare edges 2·232.6 + 2·83.4 + 7.7 + 215.2 + 191.1 = 1046.0, times 2.3176 = 2424.2.
    # 24784e-6 m² · 60 ml/m² · 2 coats · 1.3 = 3.8663 ml; · 80 · 1.3 = 2.5775 ml.
    assert bought["stain"].amount == pytest.approx(3.8663, rel=1e-3)
    assert bought["top_coat"].amount == pytest.approx(2.5775, rel=1e-3)

    # Thin CA. Outer layers: A 9803.2, B 5053.4, C 4510.8, D 5056.9, E 955.4: 25379.7, 0.5588 thick; the
    # floors of housings more than 3 mm from an edge 2 · (140.5 + 60.9) = 402.8. The band of inner layers is
    # 8226, found by shrinking them by 3 mm. Voids 1 - 0.65/1.50 = 0.5667:
    # 34009 · 0.5588 · 0.5667 = 10770 mm³; · 0.4 = 4.308 ml. Joints: 63.66 + 4·37.90 + 2·64.16 + 2·32.41 =
    # 408.4 mm at 0.5 ml/m = 0.2042 ml. 4.512 · 1.3 = 5.866 ml.
    assert bought["thin_ca"].amount == pytest.approx(5.866, rel=3e-3)


def test_a_slab_takes_ca_in_its_faces_and_a_band_at_its_edges():
    """Two outer layers of 40 × 30 and, of two inner ones, 3 mm at the edges: 40·30 - 34·24 = 384 mm²."""
    voids = (2 * 1200.0 + 2 * 384.0) * 0.5 * (1.0 - 0.65 / 1.5) / 1000.0
    supply = bought(slab(40.0, 30.0, 4))["thin_ca"]
    assert supply.amount == pytest.approx(voids * 0.4 * 1.3)
    assert "24 cm² of layers that lie open and 8 cm²" in supply.why


def test_the_uptake_of_whole_board_is_that_of_its_voids():
    """Half a millimetre of board at 0.65 g/cm³ can hold 283.3 ml/m² (0.5667 of 500); here all of it does."""
    rates = replace(RATES, spread=replace(RATES.spread, uptake=1.0, left=0.0))
    assert bought(slab(1000.0, 1000.0, 1), rates=rates)["thin_ca"].amount == pytest.approx(283.333, abs=1e-3)


def test_glue_is_chosen_by_width():
    """Both slabs have 600 mm² of contact."""
    wide, narrow = bought(slab(20.0, 30.0, 2)), bought(slab(100.0, 6.0, 2))
    assert "fine_glue" not in wide
    assert "tube_glue" not in narrow
    assert wide["tube_glue"].amount == narrow["fine_glue"].amount == pytest.approx(600e-6 * 50 / 1.1 * 1.3)


@pytest.mark.parametrize("name", EXAMPLES)
def test_joints_are_never_glued_from_the_tube(name):
    assert "joints, which have to slide home" in by_kind(name)["tube_glue"].why
    assert "joint" in by_kind(name)["fine_glue"].why


def test_only_full_sheets_are_bought():
    sheets = (
        Sheet("sheet-1", "card", 300.0, 200.0),
        Sheet("sheet-2", "card", 120.0, 80.0, offcut="K3", outline=rectangle(0.0, 0.0, 120.0, 80.0)),
        Sheet("sheet-3", "card", 300.0, 200.0),
    )
    supply = bought([], sheets)["board"]
    assert (supply.amount, supply.packs, supply.unit) == (2, 2, "sheets")
    assert "1 offcut of yours" in supply.why
    assert "board" not in bought([], sheets[1:2])


def test_packs_are_rounded_up_and_priced():
    prices = Prices("EUR", {"card": Price(4.0, 5.0)}, {"thin_ca": Price(3.0, 0.25), "stain": Price(2.0)})
    found = bought(slab(40.0, 30.0, 4), (Sheet("sheet-1", "card", 300.0, 200.0),), prices=prices)
    assert (found["board"].packs, found["board"].cost) == (1, 4.0)
    ca = found["thin_ca"]
    assert (ca.packs - 1) * 0.25 < ca.amount <= ca.packs * 0.25
    assert ca.cost == 3.0 * ca.packs
    assert found["gloves"].price is found["gloves"].cost is None


def test_a_full_pack_is_one_pack():
    rates = replace(RATES, packs=replace(RATES.packs, gloves=5.0))
    assert bought(slab(40.0, 30.0, 2), rates=rates)["gloves"].packs == 1


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_figure_says_how_it_was_come_by(name):
    for supply in supplies_of(name):
        assert supply.amount > 0.0
        assert supply.packs * supply.pack >= supply.amount - 1e-9
        assert supply.why.endswith(".")
        assert supply.why[0].isupper() or supply.why[0].isdigit()


def test_only_cushions_take_soft_supplies():
    soft = {"batting", "cloth", "thread", "beads", "piping_cord"}
    assert soft <= set(by_kind("lookout-stool"))
    assert soft - {"piping_cord"} == soft & set(by_kind("window-seat"))
    assert not soft & set(by_kind("lamp-table"))


def test_a_cushion_is_glued_to_its_seat_unless_a_frame_keeps_it():
    """The stool's panel lies on its top in glue from the tube; that of the window seat lies loose."""
    b = built("lookout-stool")
    area = b.cushions[0].outline.flat.area
    with_it = by_kind("lookout-stool")["tube_glue"]
    bare = supplies_for(b.piece, b.joints, b.cut_layers, b.sheets, (), b.boards, RATES, WORDS)
    without = next(s for s in bare if s.kind == "tube_glue")
    assert with_it.amount - without.amount == pytest.approx(area * 1e-6 * 50 / 1.1 * 1.3)
    assert f"({area / 100.0:.0f} cm² of it under cushions)" in with_it.why
    assert "under cushions" not in by_kind("window-seat")["tube_glue"].why


def test_gloves_are_bought_for_what_is_done():
    """To harden, for two stains and a top coat; for joints, and for coats before assembly if any."""
    assert bought(slab(40.0, 30.0, 4))["gloves"].amount == 4
    assert "joints" not in bought(slab(40.0, 30.0, 4))["gloves"].why
    assert by_kind("lamp-table")["gloves"].amount == 5
    assert by_kind("tide-chest")["gloves"].amount == 8
    assert "before assembly and after" in by_kind("tide-chest")["gloves"].why


def test_pins_are_bought_only_where_stacks_have_them():
    assert "pin_rod" in by_kind("slat-chair")
    assert "pin_rod" not in by_kind("lamp-table")


def test_a_cushions_thread_and_beads_are_those_of_its_chart():
    made, found = built("window-seat").cushions[0], by_kind("window-seat")
    assert found["beads"].amount == len(made.buttoning.points)
    assert found["thread"].amount == pytest.approx(made.stitching.thread / 1000.0)
    assert found["cloth"].amount == pytest.approx(made.cloth.buy[0] * made.cloth.buy[1] / 1e4 / 0.7)
