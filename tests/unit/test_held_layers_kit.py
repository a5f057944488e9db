"""A whole kit with everything at once: pins, keys, a carrier, a face that comes last, small pieces."""

import io
import json
import re
import struct

import pypdf
import pytest

from laminature import pipeline
from laminature.pipeline.guide import guide_of

DESIGN = """
title = "Tide bell"
scale = "1:12"
spares_below = "8 mm"
thickness_limit = "1 mm"

[cutter]
kind = "knife"
gather = true
files = ["svg", "dxf", "pdf", "hpgl", "gcode"]

[[part]]
name = "base"
shape = "rectangle"
width = "20 in"
height = "12 in"
layers = 5
show = ["upper"]

[[part]]
name = "post"
shape = "rectangle"
width = "14 in"
height = "24 in"
layers = 4
stance = "facing front"
at = ["3 in", "mini 13 mm", "mini 2.8995 mm"]

[[part]]
name = "top"
shape = "rectangle"
width = "20 in"
height = "12 in"
layers = 4
show = ["upper"]
at = ["0 in", "0 in", "mini 53.6995 mm"]

[[part]]
name = "arm"
shape = "rectangle"
width = "mini 60 mm"
height = "mini 5 mm"
layers = 4
at = ["mini 4 mm", "mini 27 mm", "mini 53.6995 mm"]
group = "arm"

[[part]]
name = "knob-1"
shape = "circle"
diameter = "mini 6 mm"
layers = 3
group = "knob"
at = ["mini 60 mm", "mini 10 mm", "mini 0 mm"]

[[part]]
name = "knob-2"
shape = "circle"
diameter = "mini 6 mm"
layers = 3
group = "knob 2"
at = ["mini 60 mm", "mini 20 mm", "mini 0 mm"]

[[joint]]
parts = ["base", "post"]
count = 2

[[stack]]
parts = "base"
align = "keys"

[[stack]]
parts = "post"
align = "pins"

[[stack]]
parts = "top"
face_last = "card-10"

[[stack]]
parts = "arm"
align = "carrier"
"""


@pytest.fixture(scope="module")
def boards():
    return pipeline.known_boards(None, "")


def built(boards, text=DESIGN):
    return pipeline.Build(pipeline.read_design(text.encode(), "bell.toml", None, boards))


@pytest.fixture(scope="module")
def build(boards):
    return built(boards)


@pytest.fixture(scope="module")
def files(build):
    return pipeline.kit_files(build)


def joint(build, one, other):
    (found,) = (j for j in build.joints if {j.receiver, j.entering} == {one, other})
    return found


def test_nothing_stops_it(build):
    told = {f.code for f in build.findings if f.grade != "note"}
    assert not [f for f in build.findings if f.grade == "stop"]
    assert told <= {"near-miss", "not-level", "part-not-attached"}
    assert {"pins-below-face", "face-last"} <= {f.code for f in build.findings}


def test_each_joint_has_the_fit_of_the_layers_that_are_held(build):
    assert joint(build, "base", "post").fit.name == "pinned"
    upper = joint(build, "top", "post").fit
    assert (upper.name, upper.across) == ("hand-stacked, partly pinned", 0.09)


def test_aids_and_spares_are_cut_but_no_part_of_the_piece(build, files):
    names = {p.name for p in build.piece.parts}
    assert names == {"base", "post", "top", "arm", "knob-1", "knob-2"}
    assert {x.part for x in build.layers} == names
    roles = {x.role for x in build.sheet_layers}
    assert roles == {"layer", "key", "spare", "frame"}
    data = files["piece.glb"]
    (length,) = struct.unpack("<I", data[12:16])
    nodes = json.loads(data[20 : 20 + length])["nodes"]
    assert {n["name"] for n in nodes} == {*names, "piece"}


def test_every_cut_layer_lies_on_a_sheet_once(build):
    placed = sorted((p.part, p.layer) for s in build.sheets for p in s.placements)
    assert placed == sorted((x.part, x.index) for x in build.sheet_layers)


def test_readme_tells_of_all_of_it(files):
    words = " ".join(files["README.txt"].decode().split())
    for told in (
        " ×2 in the slots for post; they hold A1, A2, A3, A4",
        "pins through B2, B3: openings of 2.2 mm",
        "in a carrier; pins through the frames of D1, D2, D3, D4",
        ", of Card, 10 points: glue on last, after assembly",
        "These stay tied to a frame of board by bridges",
        "Spares, one more than the stacks want: ",
        "Key, for gluing, not part of the piece",
    ):
        assert told.lower() in words.lower(), told


def test_the_guide_tells_of_holding_and_of_small_pieces_what_readme_tells(build, files):
    guide, words = guide_of(build), " ".join(files["README.txt"].decode().split())
    assert len(guide.held) == 3
    assert len(guide.held_about) == 4
    assert len(guide.small) == 2
    for letter, told in guide.held:
        assert f"{letter} {told}" in words
    for told in (*guide.held_about, *guide.small):
        assert told in words
    pages = pypdf.PdfReader(io.BytesIO(files["guide.pdf"])).pages
    printed = " ".join(" ".join(page.extract_text() for page in pages).split())
    for told in ("Held in line while the glue sets", "Pins are dowels", "A carrier is", "Keys are no part"):
        assert told in printed


def test_keys_are_glued_and_dry_before_the_stack_that_is_laid_on_them(build):
    known = {t.name: t for t in build.plan.tasks}
    (use,) = build.aids.uses
    for letter in set(use.keys):
        assert "key" in known[f"glue/{letter}"].title
        (after,) = known[f"dry/{letter}"].after
        assert after == f"glue/{letter}"
        for task in known.values():
            if task.kind == "glue" and use.part in task.parts:
                assert f"dry/{letter}" in task.after
                # Its own layers have to be off their sheets as well.
                assert any(name.startswith("weed/") for name in task.after)
            elif task.kind == "glue":
                assert f"dry/{letter}" not in task.after


def test_open_outlines_are_said_to_be_open_in_every_file(build, files):
    svg = "".join(data.decode() for name, data in files.items() if name.endswith(".svg"))
    spans = re.findall(r'<path id="[^"]*-span-2" [^>]*>', svg)
    # Three layers of two knobs, and a spare of each of the three.
    assert len(spans) == 9
    assert all('data-open="true"' in span for span in spans)
    for kind in (".dxf", ".hpgl", ".gcode"):
        assert any(name.endswith(kind) for name in files)


def test_the_same_design_gives_the_same_bytes(boards, files):
    assert pipeline.kit_files(built(boards)) == files


def test_without_the_options_nothing_of_it_is_there(boards):
    plain = (
        DESIGN[: DESIGN.index("[[stack]]")].replace('spares_below = "8 mm"', "").replace("gather = true", "")
    )
    build = built(boards, plain)
    assert build.sheet_layers == build.layers
    assert not any(x.pins or x.bridges or x.carried or x.last for x in build.layers)
    assert {j.fit.name for j in build.joints} == {"hand-stacked"}
    words = pipeline.kit_files(build)["README.txt"].decode()
    for heading in ("Held in line", "Faces that come last", "Small pieces"):
        assert heading not in words


def test_a_pin_asked_for_too_near_an_edge_leaves_a_web_that_is_told(boards):
    asked = DESIGN.replace(
        'align = "pins"',
        'align = "pins"\nplaces = [["mini 1.9 mm", "mini 10 mm"], ["mini 20 mm", "mini 40 mm"]]',
    )
    told = [f for f in built(boards, asked).findings if f.code == "web-too-thin"]
    assert [(f.part, f.grade) for f in told] == [("post", "care")]
    # 1.9 mm less the pin's radius, and the sanding allowance.
    assert "0.95 mm" in told[0].message
