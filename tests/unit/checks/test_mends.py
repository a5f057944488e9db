"""Mends: what is offered to be changed removes its finding and brings no new stop."""

import pathlib

import pytest

from laminature import pipeline
from laminature.design.writing import with_values
from laminature.model.finding import Mend

from ...spoilt import WEDGE, example

BOARDS = pipeline.known_boards(None, "")


def findings(source):
    return pipeline.Build(pipeline.read_design(source, "d.toml", pathlib.Path(), BOARDS)).findings


def mended(source, mend):
    changes = {(p if p[0] != "cushion" else ("cushion", *p[2:])): value for p, value in mend.changes}
    return with_values(source, changes)


SPOILT = {
    "thickness-off": example("window-seat", {("form", "panel_thickness"): "mini 1.95 mm"}),
    "pattern-unmatched": example("window-seat", {("grain", "pannel-*"): "along"}),
    "pillows-flat": example(
        "window-seat", {("cushion", "spacing"): ["3.5 in", "3.5 in"], ("cushion", "dip"): 1.0}
    ),
    "folds-too-thick": WEDGE,
}


@pytest.mark.parametrize("code", SPOILT)
def test_a_mend_removes_its_finding_and_brings_no_new_stop(code):
    source = SPOILT[code]
    before = findings(source)
    found = next(f for f in before if f.code == code)
    assert isinstance(found.mend, Mend)
    after = findings(mended(source, found.mend))
    assert not [f for f in after if f.code == code and f.part == found.part]
    stops = {(f.code, f.part) for f in before if f.grade == "stop"}
    assert {(f.code, f.part) for f in after if f.grade == "stop"} <= stops


def test_no_second_board_is_offered_where_there_is_one():
    source = with_values(SPOILT["thickness-off"], {("second_board",): "chipboard-50"})
    told = [f for f in findings(source) if f.code == "thickness-off"]
    assert told and not any(f.mend for f in told)


def test_the_grain_of_a_pattern_that_another_rule_uses_too_is_left():
    source = SPOILT["pattern-unmatched"] + b'\n[[joint]]\nparts = ["pannel-*", "*"]\ndepth = 2\n'
    (found,) = (f for f in findings(source) if f.code == "pattern-unmatched")
    assert found.mend is None


def test_no_wider_gap_is_offered_than_looks_right():
    source = with_values(SPOILT["folds-too-thick"], {("cushion", "cloth_thickness"): "0.6 mm"})
    (found,) = (f for f in findings(source) if f.code == "folds-too-thick")
    assert found.mend is None
