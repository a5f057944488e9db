"""What the bench tells the page: complete, ready for JSON, and in the places where the page draws it."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import numpy as np
import pytest

from laminature import pipeline
from laminature.geometry.svgpath import read_path
from laminature.pipeline import Build
from laminature.pipeline.mending.trial import tried_mends
from laminature.pipeline.reading import guide_words
from laminature.pipeline.showing.cushion import cushion
from laminature.pipeline.showing.findings import findings
from laminature.pipeline.showing.scene import scene
from laminature.pipeline.showing.sheets import sheets
from laminature.pipeline.showing.work import evenings, steps, supplies
from laminature.writers.cushion_words import cushion_steps

EXAMPLES = pathlib.Path(__file__).parents[3] / "examples"
BOARDS = pipeline.known_boards(None, "")


def text(name: str, changes: Any = None) -> bytes:
    return pipeline.changed((EXAMPLES / f"{name}.toml").read_bytes(), changes or {})


def built(source: bytes) -> Build:
    return Build(pipeline.read_design(source, "design.toml", pathlib.Path(), BOARDS))


@pytest.fixture(scope="module", params=["lamp-table", "lookout-stool"])
def build(request: pytest.FixtureRequest) -> Build:
    return built(text(request.param))


def test_every_result_is_plain_json(build: Build) -> None:
    for make in (findings, sheets, steps, cushion, evenings, supplies):
        assert json.loads(json.dumps(make(build), allow_nan=False))


def test_every_layer_lies_on_a_sheet_with_its_label_inside_and_a_place_in_the_order(build: Build) -> None:
    told = sheets(build)
    found = [one for sheet in told["sheets"] for one in sheet["layers"]]
    assert len(found) == sum(len(sheet.placements) for sheet in build.sheets)
    for sheet in told["sheets"]:
        numbers = sorted(s["order"] for s in sheet["strokes"] if s["op"] in ("outline", "opening"))
        assert numbers == list(range(1, len(numbers) + 1))
        for one in sheet["layers"]:
            points = np.concatenate([p.flattened for p in read_path(one["d"])])
            assert points.min() >= -1e-3
            assert points[:, 0].max() <= sheet["width"] and points[:, 1].max() <= sheet["height"]
            assert points[:, 0].min() < one["at"][0] < points[:, 0].max()
            assert points[:, 1].min() < one["at"][1] < points[:, 1].max()
        assert 0.0 < sheet["used"] < 1.0
        # What is written stands there once, clear of what is marked on the board.
        for label in sheet["labels"]:
            (x, y), half = label["at"], 0.3 * label["size"]
            for stroke in (s for s in sheet["strokes"] if s["op"] == "marking"):
                points = np.concatenate([p.flattened for p in read_path(stroke["d"])])
                inside = (np.abs(points - (x, y)) < half).all(axis=1)
                assert not inside.any(), (label["text"], stroke["name"])


def test_steps_move_parts_that_the_scene_has(build: Build) -> None:
    names = {part["name"] for part in scene(build)[0]["parts"]}
    told = steps(build)["steps"]
    assert [s["number"] for s in told] == list(range(1, len(told) + 1))
    assert all(set(s["moving"]) <= names for s in told)
    assert all(np.linalg.norm(s["way"]) == pytest.approx(1.0) and s["words"] for s in told)


@pytest.mark.parametrize("name", ["lookout-stool", "window-seat"])
def test_what_is_told_of_a_cushion_stands_each_in_one_view(name: str) -> None:
    build = built(text(name))
    for made, told in zip(build.cushions, cushion(build)["cushions"], strict=True):
        facts = told["facts"]
        every = [fact for view in ("plan", "batting", "cloth", "sewing") for fact in facts[view]]
        words = guide_words(build.design.language)
        assert every == list(cushion_steps(made, build.aids.parts, "", words))
        assert "atting" in facts["batting"][0]
        assert "loth" in facts["cloth"][0]
        assert facts["sewing"]


def test_a_usual_cushion_can_be_begun_where_nothing_stands_above_a_part() -> None:
    """Every form says on which part; with its lines in the file the cushion is there, without a stop."""
    carriers = {}
    for form in pipeline.FORMS.values():
        source = pipeline.starter(form).encode()
        before = built(source)
        carriers[form.name] = [one["on"] for one in cushion(before)["usual"]]
        for one in cushion(before)["usual"]:
            changes = {tuple(c["path"]): c["value"] for c in one["changes"]}
            after = built(pipeline.changed(source, changes))
            assert [made.on for made in after.cushions] == [one["on"]]
            assert not [f for f in after.findings if f.grade == "stop"]
            assert cushion(after)["usual"] == []
    assert carriers == {
        "radial-table": ["top"],
        "boxed-seat": ["seat"],
        "shelf-unit": ["top"],
        "lidded-box": ["lid"],
        "plank-chair": [],
    }


def test_a_step_tells_what_lies_on_the_bench_and_how() -> None:
    """A lid is put together by itself and turned over; what is down in a step is brought down."""
    build = built(text("tide-chest"))
    told = steps(build)["steps"]
    whole = {part.name for part in build.piece.parts}
    for step in told:
        assert {*step["moving"], *step["onto"]} <= set(step["there"]) <= whole
        turn = np.array(step["turn"]).reshape(3, 3).T
        assert turn @ step["down"] == pytest.approx([0.0, 0.0, -1.0])
    lid = next(s for s in told if "lid-ring" in s["moving"])
    assert set(lid["there"]) == {*lid["moving"], *lid["onto"]} < whole
    assert lid["down"] == [0.0, 0.0, 1.0]
    assert set(told[-1]["there"]) == whole


def test_parts_are_taken_apart_as_in_the_guide(build: Build) -> None:
    """Each pair that one step joins stands apart along that step's way, as in the guide's drawing."""
    told = steps(build)
    off = {name: np.array(shift) for name, shift in told["apart"]}
    assert set(off) == {part["name"] for part in scene(build)[0]["parts"]}
    pairs = [s for s in told["steps"] if len(s["onto"]) == 1 and not s["face"]]
    assert pairs
    for step in pairs:
        away = off[step["moving"][0]] - off[step["onto"][0]]
        assert np.cross(away, step["way"]) == pytest.approx(0.0, abs=1e-3)
        assert away @ step["way"] < -1.0


def test_evenings_hold_all_the_work_and_supplies_say_why(build: Build) -> None:
    told = evenings(build)
    hands = sum(task["minutes"] for evening in told["evenings"] for task in evening["tasks"])
    assert hands == pytest.approx(sum(task.hands for task in build.plan.tasks))
    assert told["chart"].lstrip().startswith("<?xml") or told["chart"].lstrip().startswith("<svg")
    assert told["words"] and told["bound"] <= told["length"]
    assert all(row["why"] for row in supplies(build)["supplies"])


def test_a_cushion_lies_about_its_middle_and_its_places_by_hand_read_back_as_they_are() -> None:
    source = text("lookout-stool", {("unit",): "in"})
    told = cushion(built(source))["cushions"][0]
    assert sorted(told["order"]) == list(range(len(told["buttons"])))
    assert len(told["stitches"]) == len(told["order"])
    assert all(abs(x) < told["width"] / 2 and abs(y) < told["height"] / 2 for x, y in told["buttons"])
    assert len(told["cloth"]["marks"]) == len(told["buttons"])
    by_hand = pipeline.changed(
        source, {tuple(told["pattern"]): "points", tuple(told["points"]): told["written"]}
    )
    again = cushion(built(by_hand))["cushions"][0]
    assert np.allclose(sorted(again["buttons"]), sorted(told["buttons"]), atol=1e-2)


def test_mends_are_told_with_the_paths_of_the_file() -> None:
    source = text("window-seat", {("cushion", "rows"): 4})
    build = built(source)
    assert not any(f["mend"] for f in findings(build)["findings"])
    mends = tried_mends(build, lambda data: pipeline.read_design(data, "design.toml", pathlib.Path(), BOARDS))
    told = findings(build, mends)["findings"]
    mend = next(f["mend"] for f in told if f["code"] == "buttons-not-mirrored")
    assert mend == {"label": "Take 3 rows", "changes": [{"path": ["cushion", "rows"], "value": 3}]}


def test_what_is_about_joints_is_said_to_be_so() -> None:
    places = {f["code"]: f["place"] for f in findings(built(text("tide-chest")))["findings"]}
    assert places["fingers-show"] == "joint"
    assert places["stands"] == "piece"


def test_a_finding_about_a_cushion_points_at_its_place_on_the_piece() -> None:
    build = built(text("window-seat", {("cushion", "spacing"): ["2 in", "2 in"]}))
    told = findings(build)["findings"]
    close = next(f for f in told if f["place"] == "cushion" and f["point"])
    seat = build.piece.part("seat")
    assert close["part"] == "cushion/cloth"
    assert close["point"][2] > float(seat.pose.shift[2])
