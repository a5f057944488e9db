"""Small pieces lie together in a frame of board, each where its grain and its spacing want it."""

import math
from dataclasses import replace

import pytest
import shapely

from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.geometry.flat import mapped, rectangle
from laminature.geometry.pose import cos_sin
from laminature.model.board import Board
from laminature.model.cutting import KNIFE
from laminature.model.layer import Layer
from laminature.sheets.check import faults, placed
from laminature.sheets.cutting import prepared
from laminature.sheets.gathering import BAR, drawn_in, gathered, laid_out, spread_out
from laminature.sheets.nesting import lay_out

from ..drawn_by_hand import WORDS

SPACING = 1.5
BOARDS = {
    "b": Board("b", "Board", 0.5, 300.0, 200.0, web_knife=1.5, small=8.0),
    "y": Board("y", "Other", 0.5, 300.0, 200.0, grain="y", small=8.0),
    "n": Board("n", "Plain", 0.5, 300.0, 200.0, grain="none", small=8.0),
}


def layer(part, index, width, height, board="b", **more):
    flat = (rectangle(0.0, 0.0, width, height),)
    return Layer(part, "AB"[part.startswith("peg")], index, board, 0.0, 0.5, flat, flat, **more)


def pegs(board="b", **more):
    """Nine pegs of three layers, the last of each cut mirrored."""
    return tuple(
        layer(f"peg-{n}", k, 7.0, 4.0, board, mirrored=k == 3, **more) for n in range(9) for k in (1, 2, 3)
    )


def laid(layers):
    found = gathered(layers, BOARDS, "knife", SPACING, 5.0, None)
    sheets, told = laid_out(
        found,
        lambda shapes: lay_out(shapes, BOARDS, SPACING, 5.0),
        lambda made: faults(made, (*layers, *found.frames), BOARDS, SPACING, 5.0),
    )
    assert told == ()
    return found, sheets


def test_only_small_parts_are_gathered():
    rail = tuple(layer("rail", k, 60.0, 10.0) for k in (1, 2))
    found = gathered((*rail, *pegs()), BOARDS, "knife", SPACING, 5.0, None)
    assert found.layers == rail
    assert len(found.frames) == 1
    assert found.frames[0].role == "frame"


def test_a_part_with_a_large_layer_and_a_single_small_piece_are_left_alone():
    mixed = (layer("peg-1", 1, 7.0, 4.0), layer("peg-1", 2, 30.0, 4.0))
    assert gathered(mixed, BOARDS, "knife", SPACING, 5.0, None).frames == ()
    assert gathered((layer("peg-1", 1, 7.0, 4.0),), BOARDS, "knife", SPACING, 5.0, None).frames == ()


def test_the_maker_may_say_what_is_small():
    assert gathered(pegs(), BOARDS, "knife", SPACING, 5.0, 5.0).frames == ()


@pytest.mark.parametrize("board", ["b", "y", "n"])
@pytest.mark.parametrize("grain", ["alike", "along", "crossed", "free"])
def test_every_piece_lies_once_in_its_frame_with_its_spacing_and_its_grain(board, grain):
    layers = pegs(board, grain=grain)
    found, sheets = laid(layers)
    every = (*layers, *found.frames)
    assert faults(sheets, every, BOARDS, SPACING, 5.0) == ()
    if board != "n" and grain == "along":
        ways = {at.turn % 180.0 for s in sheets for at in s.placements if at.part.startswith("peg")}
        assert ways == {0.0 if board == "b" else 90.0}
    for sheet in sheets:
        known = {(x.part, x.index): x for x in every}
        shapes = [(at, placed(known[at.part, at.layer], at)) for at in sheet.placements]
        frames = [shapely.Polygon(f.exterior) for at, f in shapes if at.part.startswith("frame")]
        for at, flat in shapes:
            if at.part.startswith("peg"):
                (host,) = (f for f in frames if f.contains(flat))
                assert host.exterior.distance(flat) >= SPACING + BAR - 1e-6


def test_many_pieces_make_several_frames_none_of_them_huge():
    layers = tuple(layer(f"peg-{n}", 1, 7.5, 7.5) for n in range(150))
    found, sheets = laid(layers)
    assert len(found.frames) > 1
    for frame in found.frames:
        x0, y0, x1, y1 = frame.cut[0].bounds
        assert x1 - x0 <= 120.0
        assert y1 - y0 <= 120.0
    assert faults(sheets, (*layers, *found.frames), BOARDS, SPACING, 5.0) == ()


def test_a_frame_fits_its_sheet_and_a_sheet_with_room_for_none_gets_none():
    tight = {"b": replace(BOARDS["b"], sheet_width=60.0, sheet_height=50.0)}
    found = gathered(pegs(), tight, "knife", SPACING, 5.0, None)
    sheets, told = lay_out((*found.layers, *found.frames), tight, SPACING, 5.0)
    assert told == ()
    assert found.frames
    assert faults(spread_out(sheets, found), (*pegs(), *found.frames), tight, SPACING, 5.0) == ()
    tiny = {"b": replace(BOARDS["b"], sheet_width=25.0, sheet_height=25.0)}
    assert gathered(pegs(), tiny, "knife", SPACING, 5.0, None).frames == ()


def test_sheets_can_be_had_as_they_were_laid_out():
    found, sheets = laid(pegs())
    again = drawn_in(sheets, found)
    assert [p.part for s in again for p in s.placements] == ["frame-1"]
    assert spread_out(again, found) == sheets


def test_what_is_wrong_in_a_frame_is_found():
    found = gathered(pegs(), BOARDS, "knife", SPACING, 5.0, None)
    double = replace(found, inside={"frame-1": found.inside["frame-1"] + found.inside["frame-1"][:1]})
    _, told = laid_out(
        double,
        lambda shapes: lay_out(shapes, BOARDS, SPACING, 5.0),
        lambda made: faults(made, (*pegs(), *found.frames), BOARDS, SPACING, 5.0),
    )
    assert {f.code for f in told} == {"layout-fault"}


def test_a_part_of_that_name_takes_nothing_from_a_frame():
    rail = layer("frame-1", 1, 60.0, 10.0)
    found = gathered((rail, *pegs()), BOARDS, "knife", SPACING, 5.0, None)
    assert [f.part for f in found.frames] == ["frame-2"]


def test_a_piece_lies_on_the_sheet_as_it_lies_in_its_frame():
    found, sheets = laid(pegs("y", grain="along"))
    (sheet,) = sheets
    frame = next(at for at in sheet.placements if at.part == "frame-1")
    cosine, sine = cos_sin(frame.turn)
    for inner in found.inside["frame-1"]:
        own = layer("peg", 1, 7.0, 4.0)
        there = placed(own, inner)
        moved = mapped(there, ((cosine, -sine), (sine, cosine)), (frame.x, frame.y))
        outer = next(at for at in sheet.placements if (at.part, at.layer) == (inner.part, inner.layer))
        assert math.isclose(placed(own, outer).symmetric_difference(moved).area, 0.0, abs_tol=1e-9)


def test_the_frames_border_is_cut_after_all_that_hangs_in_it():
    layers = tuple(replace(x, bridges=((0, (3.5, 0.0)), (0, (3.5, 4.0)))) for x in pegs())
    found, (sheet,) = laid(layers)
    drawn = sheet_drawing(sheet, (*layers, *found.frames), BOARDS, False, WORDS)
    names = [s.name for s in drawn.strokes if s.part == "frame-1"]
    assert names == ["frame-1"]
    made, route = prepared(drawn, KNIFE, SPACING, 0.6)
    cuts = [s for s in made.strokes if s.operation == "outline"]
    assert cuts[-1].name == "frame-1"
    assert route.pieces[-1] == "frame-1"
    assert all(s.open for s in cuts[:-1])


def test_on_the_map_pieces_are_named_within_their_frame():
    layers = tuple(replace(x, bridges=((0, (3.5, 0.0)), (0, (3.5, 4.0)))) for x in pegs())
    found, (sheet,) = laid(layers)
    page = map_drawing(sheet, (*layers, *found.frames), BOARDS, WORDS, ["frame-1"])
    outline = next(s for s in page.strokes if s.name == "frame-1-outline")
    frame = shapely.Polygon(outline.path.flattened)
    labels = [t for t in page.texts if t.text.rstrip("*") in ("B1", "B2", "B3")]
    assert len(labels) == 27
    assert all(frame.contains(shapely.Point(t.x, t.y)) for t in labels)
    assert len({(round(t.x, 2), round(t.y, 2)) for t in labels}) == 27
