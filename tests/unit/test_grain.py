"""Grain: a rule per part from the design, and its arrow on sheet and map."""

import dataclasses

import numpy as np
import pytest

import laminature as lam
from laminature import pipeline
from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.errors import DesignError

from ..drawn_by_hand import BOARD, LAYERS, SHEET, WORDS

TABLE = '[form]\nname = "radial-table"\n'


def built(text):
    return lam.build(pipeline.read_design(text.encode(), "t.toml", None, pipeline.known_boards(None, "")))


def test_the_last_pattern_that_matches_a_part_counts():
    made = built('[grain]\n"*" = "crossed"\n"panel-*" = "along"\n' + TABLE)
    rules = {p.name: p.grain for p in made.piece.parts}
    assert rules == {"top": "crossed", "panel-1": "along", "panel-2": "along"}
    assert {x.grain for x in made.layers if x.part == "top"} == {"crossed"}
    assert not [f for f in made.findings if f.code == "pattern-unmatched"]


def test_a_pattern_that_no_part_of_a_form_matches_is_told():
    (found,) = (
        f for f in built('[grain]\n"pannel-1" = "along"\n' + TABLE).findings if f.code == "pattern-unmatched"
    )
    assert "'pannel-1'" in found.message and "'panel-1'" in found.remedy


def test_with_listed_parts_it_is_an_error_with_its_line():
    text = '[grain]\n"leg" = "along"\n[[part]]\nname = "lid"\nshape = "circle"\ndiameter = 200\nlayers = 2\n'
    with pytest.raises(DesignError, match=r"t\.toml:2"):
        built(text)


@pytest.mark.parametrize("grain", ["x", "y", "none"])
@pytest.mark.parametrize("draw", ["sheet", "map"])
def test_the_arrow_runs_as_the_grain_does(grain, draw):
    boards = {"card": dataclasses.replace(BOARD, grain=grain)}
    if draw == "map":
        drawing = map_drawing(SHEET, LAYERS, boards, WORDS)
    else:
        drawing = sheet_drawing(SHEET, LAYERS, boards, False, WORDS)
    arrow = [s for s in drawing.strokes if s.name.startswith("grain-")]
    assert len(arrow) == (0 if grain == "none" else 3)
    if arrow:
        shaft = arrow[0].path.flattened
        way = np.abs(shaft[1] - shaft[0])
        assert (way[1] == 0.0) == (grain == "x") and (way[0] == 0.0) == (grain == "y")
        assert all(s.operation == ("marking" if draw == "map" else "notes") for s in arrow)


def test_an_offcut_may_have_its_grain_the_other_way():
    turned = dataclasses.replace(SHEET, grain="y")
    drawing = sheet_drawing(turned, LAYERS, {"card": dataclasses.replace(BOARD, grain="x")}, False, WORDS)
    (shaft,) = (s for s in drawing.strokes if s.name == "grain-1")
    assert shaft.path.start[0] == pytest.approx(shaft.path.segments[-1].end[0])
