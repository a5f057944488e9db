"""Cushions from the design to the kit: where they lie, what is cut for them, what is written."""

import io

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

import laminature as lam
from laminature import pipeline
from laminature.errors import DesignError, FormError

SEAT = '[form]\nname = "boxed-seat"\nheight = "18 in"\n'
STOOL = '[form]\nname = "radial-table"\nheight = "18 in"\nwidth = "15 in"\nsides = 0\n'
CHAIR = """
stands = false
[[part]]
name = "seat"
shape = "rectangle"
width = "20 in"
height = "18 in"
layers = 4
[[part]]
name = "back"
shape = "rectangle"
width = "20 in"
height = "24 in"
layers = 4
at = ["0 in", "18 in", "2 in"]
stance = "facing front"
"""


def built(text):
    return lam.build(pipeline.read_design(text.encode(), "t.toml", None, pipeline.known_boards(None, "")))


def codes(build):
    return [f.code for f in build.findings]


def test_with_its_cushion_the_seat_is_as_high_as_asked():
    build = built(SEAT + '[cushion]\non = "seat"\n')
    (made,) = build.cushions
    scene = trimesh.load(io.BytesIO(pipeline.kit_files(build)["piece.glb"]), file_type="glb")
    # The GLB is in metres with y up; its top is that of the cushion: 18 in at 1:12.
    assert scene.bounds[1][1] * 1000.0 == pytest.approx(18 * 25.4 / 12, abs=0.2)
    x, y, _ = made.pose.origin
    assert (x, y) == pytest.approx((0.0, 0.0))


@pytest.mark.parametrize("form", [SEAT, STOOL])
def test_a_cushion_lowers_the_wood_and_never_the_sitter(form):
    bare, soft = built(form), built(form + "[cushion]\n")
    height = soft.cushions[0].envelope.height
    name = soft.cushions[0].on
    assert soft.piece.part(name).pose.origin[2] + soft.piece.part(name).thickness == pytest.approx(
        18 * 25.4 / 12 - height
    )
    assert {p.name for p in bare.piece.parts} <= {p.name for p in soft.piece.parts}


def test_its_boards_are_cut_with_the_kit_but_are_no_part_of_the_piece():
    build = built(STOOL + '[cushion]\non = "top"\npattern = "concentric"\n')
    names = {p.name for p in build.cut_parts} - {p.name for p in build.piece.parts}
    buttons = len(build.cushions[0].buttoning.points)
    assert names == {"cushion-guide", "cushion-relief", "cushion-backing"} | {
        f"cushion-washer-{n}" for n in range(1, buttons + 1)
    }
    placed = {p.part for sheet in build.sheets for p in sheet.placements}
    assert names <= placed
    letters = {p.letter for p in build.piece.parts}
    assert letters.isdisjoint({p.letter for p in build.cut_parts if p.name in names})
    table = pipeline.kit_files(build)["parts.csv"].decode()
    assert "Cushion: guide panel" in table and f",{buttons}," in table


def test_the_kit_holds_templates_charts_and_words():
    files = pipeline.kit_files(
        built(STOOL + '[cushion]\non = "top"\npattern = "concentric"\npiping = "0.5 mm"\n')
    )
    assert {n for n in files if n.startswith("cushion/")} == {
        *(f"cushion/batting-{n}.{kind}" for n in range(1, 5) for kind in ("svg", "dxf")),
        "cushion/cloth.svg",
        "cushion/buttons-front.svg",
        "cushion/buttons-back.svg",
        "cushion/cushion.pdf",
    }
    words = " ".join(files["README.txt"].decode().split())
    for said in ("Cushion on top", "drill 0.8 mm", "in the order of", "Piping:", "24 hours", "cotton swabs"):
        assert said in words
    assert "cure-before-cushion" in codes(built(STOOL + "[cushion]\n"))
    assert "cure-before-cushion" not in codes(built(STOOL))


def test_a_plain_cushion_has_neither_beads_nor_charts():
    files = pipeline.kit_files(built(STOOL + "[cushion]\n"))
    assert not [n for n in files if "buttons" in n]
    assert "bead" not in files["README.txt"].decode().split("Cautions")[0]


def test_several_cushions_on_seat_and_back_each_with_its_own_files():
    text = (
        CHAIR
        + '[[cushion]]\nname = "pad"\non = "seat"\n[[cushion]]\nname = "rest"\non = "back"\nface = "lower"\n'
    )
    build = built(text)
    pad, rest = build.cushions
    assert (pad.back, rest.back) == (False, True)
    assert pad.pose.z == pytest.approx((0, 0, 1))
    # The back stands behind the seat: its pad looks to the front, its y axis up.
    back = build.piece.part("back")
    sign = -1.0
    assert np.array(rest.pose.z) == pytest.approx(sign * back.pose.matrix[:, 2])
    assert rest.pose.y == pytest.approx((0, 0, 1))
    names = {n for n in pipeline.kit_files(build) if n.startswith("cushion/")}
    assert {"cushion/1-cloth.svg", "cushion/2-cloth.svg", "cushion/2-cushion.pdf"} <= names


def test_a_cushion_keeps_its_inset_from_the_edge_of_its_part():
    build = built(CHAIR + '[cushion]\non = "seat"\ninset = "2 in"\n')
    (made,) = build.cushions
    x0, y0, x1, y1 = made.outline.bounds
    covered = (x1 - x0 + 2 * made.envelope.side, y1 - y0 + 2 * made.envelope.side)
    assert covered == pytest.approx((16 * 25.4 / 12, 14 * 25.4 / 12), abs=1e-6)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ('[cushion]\non = "sofa"\n', "sofa"),
        ('[cushion]\non = "seat"\nbutton = "3 L"\n', "40 lignes are an inch"),
        ('[cushion]\non = "seat"\npattern = "points"\n', "their points"),
        ('[[cushion]]\non = "seat"\n[[cushion]]\non = "back"\n', "called 'cushion'"),
        ('[cushion]\non = "seat"\nspacing = ["5 in"]\n', "spacing"),
        ('[cushion]\non = "seat"\npatern = "row"\n', "patern"),
    ],
)
def test_what_cannot_be_is_told_with_its_line(table, words):
    with pytest.raises(DesignError) as told:
        built(CHAIR + table)
    assert words in str(told.value)


def test_a_cushion_on_a_part_that_a_form_does_not_make_is_told():
    with pytest.raises(FormError, match="no part of this piece"):
        _ = built(STOOL + '[cushion]\non = "sofa"\n').findings


def test_a_button_may_be_said_in_lignes():
    design = pipeline.read_design(
        (STOOL + '[cushion]\nbutton = "30 L"\n').encode(), "t.toml", None, pipeline.known_boards(None, "")
    )
    # 30 lignes are 19.05 mm (40 to the inch, trade charts), 1.59 mm at 1:12.
    assert design.cushions[0].button == pytest.approx(19.05 / 12, abs=1e-6)


def test_one_change_elsewhere_does_not_upholster_again():
    from laminature.model.memory import Memory

    memory = Memory()
    boards = pipeline.known_boards(None, "")

    def once(text):
        return lam.front.Build(pipeline.read_design(text.encode(), "t.toml", None, boards), memory=memory)

    first = once(SEAT + '[cushion]\npattern = "diamond"\n').cushions[0]
    second = once(SEAT + 'foot = "4 in"\n[cushion]\npattern = "diamond"\n').cushions[0]
    assert second is first


def lengths(low, high):
    return st.floats(low, high).map(lambda v: round(v, 1))


@settings(max_examples=25)
@given(
    lengths(26.0, 70.0),
    lengths(14.0, 28.0),
    lengths(1.0, 3.0),
    st.sampled_from([6, 12, 16]),
    st.sampled_from(["plain", "diamond", "square", "row", "channels"]),
    st.sampled_from(["0", "0.5 mm", "0.8 mm"]),
    st.integers(1, 5),
)
def test_the_covered_cushion_fits_its_frame(width, depth, rail, scale, pattern, piping, layers):
    text = f"""
    scale = "1:{scale}"
    [form]
    name = "boxed-seat"
    width = "{width} in"
    depth = "{depth} in"
    frame_width = "{rail} in"
    [cushion]
    on = "seat"
    pattern = "{pattern}"
    piping = "{piping}"
    batting_layers = {layers}
    """.replace('"0"', "0")
    build = built(text)
    try:
        (made,) = build.cushions
    except FormError:
        return
    spec, room = build.design.cushions[0], made.envelope
    (opening,) = build.piece.part("frame").outline.openings
    covered = shapely.buffer(made.outline.flat, room.side, join_style="mitre")
    hole = shapely.polygons(opening.flattened)
    assert shapely.buffer(covered, room.clearance - 1e-6, join_style="mitre").within(hole)
    # What was solved afterwards stays within what the closed form promised before the furniture was drawn.
    high = np.nanmax(made.surface.heights)
    cloth = 4.0 * spec.cloth_thickness
    assert room.panel_thickness + high + cloth <= room.height + 1e-6
    assert room.panel_thickness + made.batting.crown + cloth <= room.height + 1e-6
