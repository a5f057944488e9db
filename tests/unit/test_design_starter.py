"""A starter file can be read as it is, and so can each of its notes brought to life."""

import tomllib

import jsonschema
import pytest

from laminature.data import library
from laminature.design.boards import read_boards
from laminature.design.jsonschema import json_schema
from laminature.design.reading import parse
from laminature.design.starter import new_design
from laminature.forms import registry as forms
from laminature.model.form import Parameter
from laminature.units import scale

BOARDS = read_boards(library.boards(), "boards.toml")
PARAMETERS = (
    Parameter("height", "length", "How high\nit is", 25.4 * 24, 150.0, 1300.0),
    Parameter("width", "length", "How wide it is.", 457.0, 150.0, 1300.0),
    Parameter("rim", "length", "Width of the rim", 2.5, 0.5, 60.0, realm="mini"),
    Parameter("reach", "length", "How far it runs out. Left out: worked out.", None, 0.0, 300.0),
    Parameter("gap", "length", "A narrow gap", None, 0.05, 1.0, realm="mini"),
    Parameter("shift", "length", "To the left or right", 0.0, -100.0, 100.0),
    Parameter("sides", "count", "Sides; 0 for round", 0, 0, 12),
    Parameter("legs", "count", "Legs", None, 3, 8),
    Parameter("layers", "layers", "Layers", None, 1, 40),
    Parameter("rake", "angle", "Rake of the back", 12.5, 0.0, 30.0),
    Parameter("edge", "choice", "Its edge", "plain", choices=("plain", "scalloped")),
    Parameter("top", "choice", "Its top", None, choices=("flat", "hollow")),
    Parameter("through", "flag", "Whether slots go through", False),
    Parameter("curve", "path", "Its curve", None),
)
FORMS = {"stand": PARAMETERS}
TITLE = 'The reader\'s "high" stool \\ 2'


def read(text):
    return parse(text.encode(), "new.toml", BOARDS, FORMS)


def test_it_is_read_with_every_default_exact():
    design = read(new_design("stand", PARAMETERS, TITLE))
    assert design.title == TITLE
    assert design.form == "stand"
    assert design.values == {
        "height": 50.8,
        "width": float(457 / 12),
        "rim": 2.5,
        "shift": 0.0,
        "sides": 0,
        "rake": 12.5,
        "edge": "plain",
        "through": False,
    }


def test_inches_stay_inches_and_millimetres_millimetres():
    text = new_design("stand", PARAMETERS, TITLE)
    assert 'height = "2 ft"' in text
    assert 'width = "457 mm"' in text
    assert 'rim = "mini 2.5 mm"' in text


def test_every_parameter_is_explained_above_its_line():
    text = new_design("stand", PARAMETERS, TITLE)
    assert "# How high it is. From 150 mm to 1300 mm.\nheight" in text
    assert "# Its edge. One of: plain, scalloped.\nedge" in text
    assert max(map(len, text.splitlines())) <= 110


@pytest.mark.parametrize("name", [p.name for p in PARAMETERS if p.default is None])
def test_a_note_can_be_brought_to_life(name):
    text = new_design("stand", PARAMETERS, TITLE)
    assert f"\n# {name} = " in text
    assert name in read(text.replace(f"\n# {name} = ", f"\n{name} = ")).values


@pytest.mark.parametrize("name", forms.FORMS)
def test_every_form_there_is_can_be_begun_from_its_starter(name):
    parameters = forms.FORMS[name].parameters
    text = new_design(name, parameters, forms.FORMS[name].title)
    known = {name: parameters}
    design = parse(text.encode(), "new.toml", BOARDS, known)
    assert set(design.values) == {p.name for p in parameters if p.default is not None}
    alive = text
    for p in parameters:
        alive = alive.replace(f"\n# {p.name} = ", f"\n{p.name} = ")
    assert set(parse(alive.encode(), "new.toml", BOARDS, known).values) == {p.name for p in parameters}
    schema = json_schema(known)
    jsonschema.Draft202012Validator.check_schema(schema)
    assert list(jsonschema.Draft202012Validator(schema).iter_errors(tomllib.loads(alive))) == []


def test_the_schema_is_sound_and_takes_the_starter():
    schema = json_schema(FORMS)
    jsonschema.Draft202012Validator.check_schema(schema)
    taken = tomllib.loads(new_design("stand", PARAMETERS, TITLE))
    assert list(jsonschema.Draft202012Validator(schema).iter_errors(taken)) == []


@pytest.mark.parametrize(
    "spoilt",
    [
        {"form": {"name": "stand", "hight": "3 in"}},
        {"form": {"name": "stnad"}},
        {"form": "stnad"},
        {"form": {"name": "stand", "legs": 2}},
        {"form": {"name": "stand", "edge": "ragged"}},
        {"titel": "x"},
        {"unit": "furlong"},
        {"part": [{"name": "a"}]},
        {"joint": [{"parts": ["a"]}]},
        {"cutter": {"kind": "saw"}},
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(spoilt):
    assert list(jsonschema.Draft202012Validator(json_schema(FORMS)).iter_errors(spoilt))


def test_every_scale_that_the_schema_offers_can_be_read():
    ways = json_schema(FORMS)["properties"]["scale"]["anyOf"]
    offered = next(way["enum"] for way in ways if "enum" in way)
    assert {"one inch", "half scale", "nem ii"} <= set(offered)
    assert all(scale(name).n >= 1 for name in offered)


def test_the_schema_takes_a_design_of_parts():
    design = {
        "scale": 24,
        "board": {"name": "chipboard-22", "measured": {"4": "2.31 mm"}},
        "boards": {"mine": {"like": "card-10", "sheet": "A4"}},
        "part": [
            {
                "name": "a", "shape": "path", "path": "M 0 0", "layers": 3, "turns": [["x", 20]],
                "profile": [0, "mini 1 mm"], "rim": {"layers": 2, "width": "mini 3 mm"},
                "opening": [{"shape": "circle", "diameter": 3, "at": [1, "2 in"]}],
            }
        ],
        "joint": [{"parts": ["a", "b"], "fit": "pinned", "share": [0, 2]}],
        "cushion": {"piping": 1},
    }  # fmt: skip
    assert list(jsonschema.Draft202012Validator(json_schema(FORMS)).iter_errors(design)) == []
