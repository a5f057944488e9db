"""A limit that is told can be given: as it stands there, in every unit that it is told in."""

import re
from pathlib import Path

import pytest

from laminature import pipeline
from laminature.errors import FormError, LaminatureError
from laminature.forms.registry import FORMS

from ..formed import workshop

BOARDS = pipeline.known_boards(None, "")
TOLD = re.compile(r"Give at (?:least|most) ([\d.]+ mm)(?: \(([^)]*)\))?")
LENGTHS = [
    (form, p) for form in FORMS for p in FORMS[form].parameters if p.kind == "length" and p.high is not None
]


def design(form, scale, name, value):
    return (
        f'scale = "{scale}"\nboard = "chipboard-22"\n[form]\nname = "{form}"\n{name} = "{value}"\n'.encode()
    )


def refusal(text):
    """What a design is refused with, or nothing."""
    try:
        pipeline.Build(pipeline.read_design(text, "design", Path(), BOARDS)).layers  # noqa: B018
    except LaminatureError as error:
        return str(error)
    return ""


@pytest.mark.parametrize(("form", "parameter"), LENGTHS, ids=lambda x: getattr(x, "name", x))
@pytest.mark.parametrize("scale", ["1:12", "1:24"])
def test_the_ends_of_a_range_can_be_given_as_they_are_told(form, parameter, scale):
    mini = "mini " if parameter.realm == "mini" else ""
    for value in (0.5 * parameter.low - 0.01, 1.3 * parameter.high + 1.0):
        if value <= 0.0:
            continue
        told = TOLD.search(refusal(design(form, scale, parameter.name, f"{mini}{value:.3f} mm")))
        assert told, "what is out of range is refused with a limit"
        for given in told.groups():
            if given in (None, "miniature"):
                continue
            again = refusal(design(form, scale, parameter.name, mini + given))
            assert f"{parameter.name} is" not in again, (given, again)


@pytest.mark.parametrize(("form", "parameter"), LENGTHS, ids=lambda x: getattr(x, "name", x))
def test_a_limit_that_follows_from_other_sizes_can_be_given_as_it_is_told(form, parameter):
    """Swept through its range, the other sizes as usual: what a refusal tells mends that refusal."""
    shop = workshop()
    shrink = shop.scale if parameter.realm == "full" else 1.0

    def refused(values):
        try:
            FORMS[form].make(values, shop)
        except FormError as error:
            return error
        return None

    for n in range(24):
        value = parameter.low + (parameter.high - parameter.low) * n / 23.0
        first = refused({parameter.name: value / shrink})
        told = first and TOLD.search(first.remedy)
        if not told or "full-size" not in (told[2] or ""):
            continue
        mini, full = (float(text.split()[0]) for text in told.groups())
        for given in (mini, full / shop.scale):
            again = refused({parameter.name: value / shrink, first.parameter: given})
            assert again is None or again.remedy != first.remedy, (value, given, str(again))
