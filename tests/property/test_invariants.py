"""Every form, random sizes, scales, boards and fits, turned freely in space: the pieces go together.

Measured on stacked extrusions of the layers, not on the solids they came from.
"""

import os
from dataclasses import replace

import numpy as np
import pytest
from assembled import (
    Assembled,
    broken_show_faces,
    gap_faults,
    outer_size,
    overlaps,
    slivers,
)
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from laminature.errors import FormError
from laminature.forms.registry import FORMS
from laminature.geometry.pose import turned
from laminature.model import stack
from laminature.model.board import Board
from laminature.model.fit import Fit
from laminature.model.form import Form, Parameter, Workshop

#: Pieces per form: each is assembled and measured as a solid, which takes a while.
CASES = settings.get_profile("many").max_examples // 5 if os.environ.get("HYPOTHESIS_PROFILE") == "ci" else 9


@st.composite
def workshops(draw):
    """A bench: scale, board and fit as makers have them, measured stacks too."""
    caliper = draw(st.sampled_from([0.4, 0.5, 0.5588, 0.7112, 1.0]))
    scale = draw(st.sampled_from([6.0, 8.0, 10.0, 12.0, 16.0]))
    measured = draw(st.sampled_from([(), ((4, 4 * caliper * 1.04), (3, 3 * caliper * 0.97))]))
    board = Board(
        "board",
        "Board",
        caliper,
        600.0,
        600.0,
        glue_line=draw(st.sampled_from([0.0, 0.02])),
        growth=draw(st.sampled_from([0.0, 0.01])),
        measured=measured,
    )
    fit = Fit(
        "drawn",
        across=draw(st.sampled_from([0.02, 0.04, 0.09, 0.12])),
        along=draw(st.sampled_from([0.05, 0.15])),
        end=draw(st.sampled_from([0.1, 0.2])),
    )
    return Workshop(
        scale,
        board,
        fit,
        stack_for=lambda wanted: stack.stack(board, stack.layers_for(board, wanted)),
        layers=lambda count: stack.stack(board, count),
    )


def values_of(parameter: Parameter, scale: float):
    """The default most of the time, else anything that the form declares to be possible."""
    shrink = scale if parameter.kind == "length" and parameter.realm == "full" else 1.0
    default = parameter.default
    if parameter.kind == "length" and isinstance(default, (int, float)):
        default = float(default) / shrink
    low, high = parameter.low or 0.0, parameter.high
    if parameter.kind == "flag":
        drawn = st.booleans()
    elif parameter.kind == "choice":
        drawn = st.sampled_from(parameter.choices) if parameter.choices else st.just(default)
    elif high is None:
        drawn = st.just(default)
    elif parameter.kind in ("count", "layers"):
        drawn = st.integers(int(low), int(min(high, 8)))
    else:
        drawn = st.floats(low / shrink, high / shrink)
    return st.one_of(st.just(default), st.just(default), drawn)


@st.composite
def pieces(draw, form: Form):
    """A piece of this form; sizes that contradict each other are drawn again."""
    workshop = draw(workshops())
    values = {p.name: draw(values_of(p, workshop.scale)) for p in form.parameters}
    try:
        piece = form.make(values, workshop)
    except FormError as error:
        assert str(error).strip()
        event("refused")
        assume(False)
    return piece, workshop.fit


def turned_freely(piece, degrees: float, axis: tuple[float, float, float]):
    """The whole piece turned about an axis and moved off."""
    pose = turned(axis, degrees).moved(13.0, -7.0, 5.0)
    return replace(piece, parts=tuple(p.placed(p.pose.then(pose)) for p in piece.parts))


@pytest.mark.parametrize("name", sorted(FORMS))
def test_a_piece_goes_together(name):
    form = FORMS[name]

    @settings(
        settings.get_profile("many"), max_examples=max(12, settings.get_profile("many").max_examples // 20)
    )
    @given(pieces(form))
    def goes_together(drawn):
        piece, fit = drawn
        whole = Assembled(piece, fit)
        assert overlaps(whole) == []
        assert gap_faults(whole) == []
        assert slivers(whole) == []
        assert broken_show_faces(whole) == []
        for joint in whole.joints:
            assert joint.entries or not joint.depth, joint.name
        size = outer_size(whole)
        for asked, got in zip(piece.size, size, strict=True):
            assert asked is None or abs(asked - got) <= 0.01

    goes_together()


@pytest.mark.parametrize("name", sorted(FORMS))
def test_turning_a_piece_in_space_changes_nothing(name):
    form = FORMS[name]

    @settings(
        settings.get_profile("many"), max_examples=max(5, settings.get_profile("many").max_examples // 50)
    )
    @given(
        pieces(form),
        st.floats(1.0, 359.0),
        st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1),
    )
    def same(drawn, degrees, axis):
        piece, fit = drawn
        straight = Assembled(piece, fit)
        oblique = Assembled(turned_freely(piece, degrees, axis), fit)
        assert overlaps(oblique) == []
        assert gap_faults(oblique) == []
        assert slivers(oblique) == []
        assert [(j.name, j.kind, j.depth) for j in straight.joints] == [
            (j.name, j.kind, j.depth) for j in oblique.joints
        ]

    same()
