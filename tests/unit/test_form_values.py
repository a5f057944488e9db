"""What the maker asks of a form: defaults, ranges, and words for what will not do."""

import subprocess
import sys

import pytest

from laminature.errors import FormError
from laminature.forms.registry import FORMS
from laminature.forms.values import fill, say
from laminature.model.form import Parameter

PARAMETERS = (
    Parameter("height", "length", "how high", 600.0, 120.0, 1200.0),
    Parameter("rim", "length", "how wide", 2.0, 0.5, 10.0, realm="mini"),
    Parameter("legs", "count", "how many", 4, 0, 8),
    Parameter("lean", "angle", "how far", None, 0.0, 20.0),
    Parameter("edge", "choice", "which", "plain", choices=("plain", "wavy")),
    Parameter("lid", "flag", "whether", False),
    Parameter("curve", "path", "drawn"),
)


def test_full_size_defaults_come_at_miniature_scale_and_mini_ones_as_they_are():
    sizes = fill({}, PARAMETERS, 12.0)
    assert sizes.length("height") == 50.0
    assert sizes.length("rim") == 2.0


def test_a_zero_is_a_value_and_none_is_the_forms_own():
    sizes = fill({"legs": 0, "lean": 0.0}, PARAMETERS, 12.0)
    assert sizes.count("legs", 4) == 0
    assert sizes.angle("lean", 5.0) == 0.0
    assert fill({"lean": None}, PARAMETERS, 12.0).angle("lean", 5.0) == 5.0


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"heigth": 3.0}, "Did you mean 'height'"),
        ({"height": 5.0}, "too small"),
        ({"height": 500.0}, "too large"),
        ({"height": float("nan")}, "number"),
        ({"height": True}, "number"),
        ({"legs": 2.5}, "whole number"),
        ({"edge": "square"}, "Choose one of plain, wavy"),
        ({"lid": 1}, "yes or no"),
        ({"curve": 3}, "SVG path"),
        ({"lean": 21.0}, "at most 20°"),
    ],
)
def test_what_will_not_do_is_said(values, says):
    with pytest.raises(FormError, match=says):
        fill(values, PARAMETERS, 12.0)


def test_lengths_are_told_small_and_full_size():
    assert say(12.5, 12.0) == "12.5 mm (150 mm full-size)"


def test_the_names_of_forms_are_known_without_numpy_or_shapely():
    code = (
        "import sys; from laminature.forms.registry import FORMS; assert 'radial-table' in list(FORMS);"
        "assert not {'numpy', 'shapely'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("name", list(FORMS))
def test_every_form_declares_defaults_within_their_ranges(name):
    form = FORMS[name]
    assert form.name == name
    for p in form.parameters:
        if p.kind in ("length", "count", "angle", "layers") and p.default is not None:
            assert p.low <= p.default <= p.high
        if p.kind == "choice":
            assert p.default is None or p.default in p.choices
