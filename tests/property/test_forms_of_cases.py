"""Boxed seats, shelf units and boxes of any size: as large as asked, nothing in the way of anything else."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from laminature.errors import FormError
from laminature.forms.boxed_seat import FORM as SEAT
from laminature.forms.lidded_box import FORM as BOX
from laminature.forms.shelf_unit import FORM as SHELVES
from laminature.model.board import Board
from laminature.model.design import CushionSpec
from laminature.upholstery.envelope import envelope

from ..formed import bounds, extent, workshop


@st.composite
def shops(draw):
    board = Board("card", "Card", round(draw(st.floats(0.25, 1.1)), 3), 300.0, 300.0)
    return workshop(draw(st.sampled_from([6.0, 12.0, 16.0, 24.0])), board)


def asked(form, lengths, **plain):
    """Values of a form: full-size lengths in their ranges, every choice, and what ``plain`` draws."""
    named = {p.name: p for p in form.parameters}
    drawn = {name: st.floats(low, high).map(lambda v: round(v, 1)) for name, (low, high) in lengths.items()}
    drawn |= {p.name: st.sampled_from(p.choices) for p in named.values() if p.kind == "choice"}
    drawn |= {p.name: st.booleans() for p in named.values() if p.kind == "flag"}
    return st.fixed_dictionaries({**drawn, **plain})


def made(form, values, shop):
    """The piece, or None where it was refused with words, a parameter and a remedy."""
    full = {p.name for p in form.parameters if p.kind == "length" and p.realm == "full"}
    try:
        return form.make({k: v / shop.scale if k in full else v for k, v in values.items()}, shop)
    except FormError as refused:
        event(f"refused for its {refused.parameter}")
        assert refused.parameter and refused.remedy
        return None


def as_large_as_asked(piece):
    low, high = bounds(piece)
    assert low[2] == pytest.approx(0.0, abs=1e-9)
    assert high - low == pytest.approx(piece.size, abs=1e-6)


def clear_of_each_other(piece, crossing=lambda a, b: False):
    """No part's box reaches into another's, rings aside, but for pairs that are meant to cross."""
    solid = [p for p in piece.parts if not p.outline.openings]
    for a, b in itertools.combinations(solid, 2):
        (a0, a1), (b0, b1) = extent(a), extent(b)
        shared = np.minimum(a1, b1) - np.maximum(a0, b0)
        assert shared.min() < 1e-9 or crossing(a.name, b.name), (a.name, b.name)


def outlines_are_whole(piece):
    assert all(p.outline.flat.is_valid and p.outline.flat.area > 0.0 for p in piece.parts)


@given(
    asked(
        SEAT,
        {
            "width": (500.0, 2000.0),
            "depth": (300.0, 900.0),
            "height": (300.0, 700.0),
            "rise": (0.0, 250.0),
            "foot": (30.0, 200.0),
            "frame_width": (15.0, 100.0),
        },
    ),
    shops(),
    st.sampled_from([None, CushionSpec(), CushionSpec(batting_layers=2, piping=0.5)]),
)
def test_a_boxed_seat(values, shop, cushion):
    room = None if cushion is None else envelope(cushion, 2 * shop.board.caliper)
    piece = made(SEAT, values, replace(shop, cushions={} if room is None else {"": room}))
    if piece is None:
        return
    as_large_as_asked(piece)
    clear_of_each_other(piece)
    outlines_are_whole(piece)
    if room is not None:
        seat_top = extent(piece.part("seat"))[1][2]
        assert seat_top + room.height == pytest.approx(values["height"] / shop.scale)
        x0, y0, x1, y1 = piece.cushions[0].outline.bounds
        width, depth = x1 - x0, y1 - y0
        assert 0.0 < width < piece.size[0] and 0.0 < depth < piece.size[1]


@given(
    asked(
        SHELVES,
        {
            "width": (300.0, 2000.0),
            "height": (400.0, 2000.0),
            "depth": (150.0, 600.0),
        },
        shelves=st.integers(0, 6),
        dividers=st.integers(0, 5),
        plinth=st.one_of(st.just(0.0), st.floats(10.0, 150.0)),
    ),
    shops(),
)
def test_a_shelf_unit(values, shop):
    piece = made(SHELVES, values, shop)
    if piece is None:
        return
    as_large_as_asked(piece)
    clear_of_each_other(piece, lambda a, b: a.startswith("shelf-") and b.startswith("divider-"))
    outlines_are_whole(piece)
    names = [p.name for p in piece.parts]
    assert sum(n.startswith("shelf-") for n in names) == values["shelves"]
    assert sum(n.startswith("divider-") for n in names) == values["dividers"]


@given(
    asked(
        BOX,
        {
            "width": (200.0, 1500.0),
            "depth": (200.0, 900.0),
            "height": (150.0, 900.0),
            "lid_overhang": (0.0, 60.0),
            "ring_width": (15.0, 60.0),
        },
        clearance=st.floats(0.1, 0.6),
    ),
    shops(),
)
def test_a_box_with_a_lid(values, shop):
    piece = made(BOX, values, shop)
    if piece is None:
        return
    as_large_as_asked(piece)
    clear_of_each_other(piece)
    outlines_are_whole(piece)
    assert {p.name for p in piece.parts if p.group} == {"lid", "lid-ring"}
