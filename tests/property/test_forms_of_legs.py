"""Radial tables and plank chairs of any size: made as asked and whole, or refused in words."""

import itertools

import numpy as np
from hypothesis import event, given
from hypothesis import strategies as st

from laminature.errors import FormError
from laminature.forms.leg_curves import CURVES
from laminature.forms.outlines import EDGES, furthest
from laminature.forms.plank_chair import FORM as CHAIR
from laminature.forms.radial_legs import JOININGS
from laminature.forms.radial_table import FORM as TABLE
from laminature.model.board import Board

from ..formed import corners, seen_from_above, workshop


def sizes(least, most):
    return st.floats(least, most).map(lambda v: round(v, 3))


@st.composite
def shops(draw):
    board = Board("card", "Card", draw(sizes(0.25, 1.3)), 300.0, 300.0)
    return workshop(draw(st.sampled_from([6.0, 12.0, 16.0, 24.0])), board)


def made(form, full, plain, shop):
    """The piece, or None where it was refused with words, a parameter and a remedy."""
    try:
        return form.make({**{k: v / shop.scale for k, v in full.items()}, **plain}, shop)
    except FormError as refused:
        event(f"refused for its {refused.parameter}")
        assert refused.parameter and refused.remedy
        return None


@given(
    shops(),
    st.sampled_from([(n, way) for n, ways in JOININGS.items() for way in ways]),
    st.sampled_from([0, *range(3, 13)]),
    st.sampled_from(EDGES),
    st.sampled_from(CURVES),
    sizes(250.0, 1200.0),
    sizes(250.0, 1500.0),
)
def test_tables_are_as_large_as_asked_and_their_legs_stay_apart(
    shop, joined, sides, edge, curve, height, width
):
    legs, way = joined
    plain = {"legs": legs, "joining": way, "sides": sides, "edge": edge, "leg_curve": curve}
    piece = made(TABLE, {"height": height, "width": width}, plain, shop)
    if piece is None:
        return
    points = np.vstack([corners(p) for p in piece.parts])
    assert abs(points[:, 2].min()) < 1e-9
    assert abs(points[:, 2].max() - height / shop.scale) < 1e-9
    assert abs(2.0 * furthest(piece.part("top").outline.outline) - width / shop.scale) < 1e-7
    assert (
        2.0 * np.hypot(points[:, 0], points[:, 1]).max()
        < width / shop.scale + 0.01 + piece.parts[1].thickness
    )
    lone = [p for p in piece.parts if p.name.startswith(("half", "leg"))]
    for a, b in itertools.combinations(lone, 2):
        assert seen_from_above(a).intersection(seen_from_above(b)).area < 1e-9


@given(
    shops(),
    sizes(600.0, 1300.0),
    sizes(250.0, 600.0),
    sizes(300.0, 900.0),
    sizes(300.0, 700.0),
    st.tuples(sizes(0.0, 12.0), sizes(0.0, 25.0), sizes(0.0, 15.0)),
    st.integers(1, 9),
)
def test_chairs_are_as_large_as_asked_and_stand_on_the_floor(shop, height, seat, width, depth, angles, slats):
    full = {"height": height, "seat_height": seat, "width": width, "depth": depth}
    plain = {"seat_rake": angles[0], "back_rake": angles[1], "splay": angles[2], "slats": slats}
    piece = made(CHAIR, full, plain, shop)
    if piece is None:
        return
    points = np.vstack([corners(p) for p in piece.parts])
    assert abs(points[:, 2].min()) < 1e-9
    assert abs(points[:, 2].max() - height / shop.scale) < 1e-9
    assert abs(np.ptp(points[:, 0]) - width / shop.scale) < 1e-9
    assert all(p.outline.flat.is_valid for p in piece.parts)
