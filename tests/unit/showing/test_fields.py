"""Every field of a design can be used: its default, its ends and its own value are taken by the reader."""

from __future__ import annotations

import math
import pathlib
from dataclasses import replace
from typing import Any

import pytest

from laminature import pipeline
from laminature.model.design import Design
from laminature.pipeline import FORMS
from laminature.pipeline.showing.fields import fields

EXAMPLES = sorted((pathlib.Path(__file__).parents[3] / "examples").glob("*.toml"))
BOARDS = pipeline.known_boards(None, "")
LINES = {"piece", "sizes", "joints", "sheets", "cushion", "evenings", "kit"}


def read(text: bytes) -> Design:
    return pipeline.read_design(text, "design.toml", pathlib.Path(), BOARDS)


def groups(text: bytes) -> list[dict[str, Any]]:
    design = read(text)
    return fields(design, text, None if design.form is None else FORMS[design.form])


def as_typed(field: dict[str, Any], value: Any) -> Any:
    """A number as the page writes it, with as many digits as it shows."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    step = field["step"]
    digits = max(0, min(4, math.ceil(-math.log10(step) - 1e-9) + (1 if step % 1 else 0)))
    shown = round(value, digits)
    shown = int(shown) if shown == int(shown) else shown
    return f"{shown} {field['unit']}" if field["kind"] == "length" else shown


def same(one: Design, other: Design) -> bool:
    return replace(one, source=b"") == replace(other, source=b"")


TEXTS = {name: pipeline.starter(form).encode() for name, form in FORMS.items()} | {
    path.stem: path.read_bytes() for path in EXAMPLES
}


@pytest.mark.parametrize("name", TEXTS)
def test_groups_are_lines_of_the_ticket_and_no_path_stands_twice(name: str) -> None:
    made = groups(TEXTS[name])
    paths = [tuple(f["path"]) for g in made for f in g["fields"]]
    assert {g["name"] for g in made} <= LINES
    assert len(paths) == len(set(paths))
    assert all(f["title"] and f["kind"] for g in made for f in g["fields"])


@pytest.mark.parametrize("name", FORMS)
def test_every_parameter_of_a_form_has_a_field_in_its_range(name: str) -> None:
    made = groups(TEXTS[name])
    found = {f["path"][1]: f for g in made for f in g["fields"] if f["path"][0] == "form"}
    assert set(found) == {p.name for p in FORMS[name].parameters}
    for field in found.values():
        if field["low"] is not None and field["high"] is not None:
            assert field["low"] < field["high"]
            if field["default"] is not None:
                assert field["low"] <= field["default"] <= field["high"]
        if field["kind"] == "choice":
            assert field["value"] in [c["value"] for c in field["choices"]]
        if field["kind"] == "length" and field["value"] is not None:
            assert field["full"] and field["mini"] and field["unit"] in ("in", "mm")


@pytest.mark.parametrize("name", FORMS)
def test_a_default_typed_into_its_field_leaves_the_design_as_it_was(name: str) -> None:
    text = TEXTS[name]
    design = read(text)
    for group in groups(text):
        for field in group["fields"]:
            if field["default"] is None or field["path"] == ["title"]:
                continue
            path = tuple(field["path"])
            usual = read(pipeline.changed(text, {path: None}))
            typed = read(pipeline.changed(text, {path: as_typed(field, field["default"])}))
            spelled = replace(typed, values=typed.values | usual.values) if path[0] == "form" else typed
            if path[0] == "form":
                assert typed.values[path[1]] == pytest.approx(
                    design.values.get(path[1], typed.values[path[1]])
                )
            elif path[0] not in ("board", "fit"):
                assert same(usual, spelled), path


@pytest.mark.parametrize("name", TEXTS)
def test_what_a_field_shows_and_both_ends_of_its_slider_are_read(name: str) -> None:
    text = TEXTS[name]
    for group in groups(text):
        for field in group["fields"]:
            for value in (field["value"], field["low"], field["high"]):
                if value is None or field["kind"] in ("list", "text", "lines") or field["path"][0] == "part":
                    continue
                if tuple(field["path"]) in {("cutter", "kerf"), ("board", "caliper")}:
                    continue
                changes = {tuple(field["path"]): as_typed(field, value)}
                assert read(pipeline.changed(text, changes)).scale > 0, field["path"]


def test_lengths_stand_in_the_unit_in_which_they_are_written() -> None:
    text = TEXTS["window-seat"].replace(b'height = "18 in"', b'height = "457.2 mm"')
    found = {tuple(f["path"]): f for g in groups(text) for f in g["fields"]}
    assert (found["form", "width"]["unit"], found["form", "width"]["value"]) == ("in", 48)
    assert (found["form", "height"]["unit"], found["form", "height"]["value"]) == ("mm", 457.2)
    assert found["form", "height"]["full"] == "457.2 mm"
    assert found["form", "height"]["mini"] == "38.1 mm"


def test_a_board_that_became_a_table_keeps_its_changes_when_another_is_chosen() -> None:
    text = pipeline.changed(TEXTS["window-seat"], {("board", "caliper"): "0.6 mm"})
    found = {f["title"]: f for g in groups(text) for f in g["fields"]}
    assert found["Board"]["path"] == ["board", "name"]
    assert found["Thickness of one layer"]["value"] == 0.6
