"""What is left of a sheet, whatever lies on it: never too near a part, never too small, never twice."""

import itertools

import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.remains import largest_box
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Keep
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.remainders import CLEAR, remainders

from ..drawn_by_hand import WORDS

BOARDS = {"card": Board("card", "Card", 0.56, 300.0, 220.0)}
OUTLINES = (
    None,
    flat([(0, 0), (150, 0), (150, 80), (90, 140), (0, 140)]),
    flat([(0, 0), (160, 0), (160, 50), (60, 50), (60, 150), (0, 150)]),
    flat([(0, 0), (150, 0), (150, 120), (0, 120)], [[(60, 50), (60, 70), (80, 70), (80, 50)]]),
)


@st.composite
def sheets(draw):
    """A sheet, or an offcut, with up to seven shapes anywhere on it, some with an opening."""
    outline = draw(st.sampled_from(OUTLINES))
    x1, y1 = (300.0, 220.0) if outline is None else outline.bounds[2:]
    layers, placements = [], []
    for n in range(draw(st.integers(0, 7))):
        w, h = draw(st.floats(3.0, 90.0)), draw(st.floats(3.0, 90.0))
        holed = min(w, h) > 40.0 and draw(st.booleans())
        openings = [[(8, 8), (8, h - 8), (w - 8, h - 8), (w - 8, 8)]] if holed else []
        shape = flat([(0, 0), (w, 0), (w, h), (0, h)], openings)
        layers.append(Layer(f"p{n}", "A", 1, "card", 0.0, 0.56, (shape,), (shape,)))
        turn = draw(st.sampled_from([0.0, 90.0, 180.0, 270.0, 33.0]))
        placements.append(Placement(f"p{n}", 1, draw(st.floats(0.0, x1)), draw(st.floats(0.0, y1)), turn))
    offcut = "" if outline is None else "K9"
    return Sheet("sheet-1", "card", x1, y1, tuple(placements), offcut, outline), layers


def where(remainder):
    return affinity.translate(remainder.offcut.outline, *remainder.at)


def lying(sheet, layers):
    for layer, at in zip(layers, sheet.placements, strict=True):
        turned = affinity.rotate(layer.cut[0], at.turn, origin=(0, 0))
        yield affinity.translate(turned, at.x, at.y)


SIZES = st.tuples(st.floats(5.0, 80.0), st.floats(5.0, 80.0))


@given(sheets(), SIZES, SIZES, st.floats(0.0, 4.0))
def test_remainders_lie_on_the_sheet_clear_of_parts_and_of_each_other(made, offcuts, drop_outs, spacing):
    sheet, layers = made
    keep = Keep(offcuts, drop_outs)
    found = remainders((sheet,), layers, BOARDS, keep, WORDS, spacing=spacing)
    frame = sheet.outline or rectangle(0, 0, sheet.width, sheet.height)
    flats = list(lying(sheet, layers))
    for one in found:
        shape = where(one)
        smallest = keep.drop_outs if one.fell_from else keep.offcuts
        assert shape.is_valid
        assert one.offcut.outline.bounds[:2] == (0.0, 0.0)
        assert largest_box(one.offcut.outline, smallest, one.offcut.outline.bounds) is not None
        assert all(shape.intersection(flat_).area < 1e-6 for flat_ in flats)
        if not one.fell_from:
            assert frame.buffer(1e-6, join_style="mitre").covers(shape)
            clear = max(spacing, CLEAR)
            filled = [shapely.Polygon(f.exterior) for f in flats]
            assert all(shape.distance(f) > clear - 1e-6 for f in filled)
    for a, b in itertools.combinations(found, 2):
        if not (a.fell_from or b.fell_from):
            assert where(a).intersection(where(b)).area < 1e-6


@given(sheets())
def test_the_same_sheet_leaves_the_same(made):
    sheet, layers = made
    first, second = (remainders((sheet,), layers, BOARDS, Keep(), WORDS) for _ in range(2))
    assert first == second
