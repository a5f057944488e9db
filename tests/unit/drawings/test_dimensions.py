"""Dimension drawings: three views in their places, every length twice."""

from fractions import Fraction

import numpy as np
import pytest

from laminature.drawings.dimensions import dimension_drawing
from laminature.geometry.region import box

from ...drawn_by_hand import WORDS
from .pieces_by_hand import part, piece, table

#: 127 × 63.5 × 25.4 mm, at 1:12 5 ft × 30 in × 12 in.
BLOCK = part("block", box(0, 0, 127, 63.5), count=4)


def texts(drawing):
    return [t.text for t in drawing.texts]


def test_every_length_stands_twice():
    made, layers = piece(part("block", box(0, 0, 50.8, 38.1)))
    told = texts(dimension_drawing(made, layers, Fraction(12), WORDS))
    assert told == [
        "2 ft", "50.8 mm", "18 in", "38.1 mm", "4 3/4 in", "10 mm",
        "Above the line: full size. Below: miniature, 1:12.",
    ]  # fmt: skip


def test_full_sizes_can_be_metric():
    made, layers = piece(part("block", box(0, 0, 50, 40)))
    told = texts(dimension_drawing(made, layers, Fraction(10), WORDS, unit="mm"))
    assert told[:6] == ["500 mm", "50 mm", "400 mm", "40 mm", "100 mm", "10 mm"]


def areas(drawing):
    """Middles and sizes of the three views, by the colours laid under them."""
    found = []
    for fill in drawing.fills:
        if fill.tone == "card":
            points = fill.region.outline.flattened
            found.append((points.min(axis=0), points.max(axis=0)))
    return found


@pytest.mark.parametrize("angle", ["third", "first"])
def test_views_stand_where_their_manner_of_projection_has_them(angle):
    made, layers = piece(part("block", box(0, 0, 60, 40), count=8))
    drawing = dimension_drawing(made, layers, Fraction(12), WORDS, angle=angle)
    (front, front_to), (side, side_to), (plan, plan_to) = areas(drawing)
    scale = (front_to - front)[0] / 60
    assert front_to - front == pytest.approx(scale * np.array([60, 20]), rel=1e-3)
    assert side_to - side == pytest.approx(scale * np.array([40, 20]), rel=1e-3)
    assert plan_to - plan == pytest.approx(scale * np.array([60, 40]), rel=1e-3)
    # One view level with the other, one plumb with it.
    assert (side[1], plan[0]) == pytest.approx((front[1], front[0]), abs=0.01)
    assert side[0] > front_to[0]
    assert (plan[1] > front_to[1]) == (angle == "third")


def test_hidden_edges_are_dashed_where_asked_for():
    made, layers = table()
    for hidden in (False, True):
        drawn = {
            s.operation for s in dimension_drawing(made, layers, Fraction(12), WORDS, hidden=hidden).strokes
        }
        assert ("hidden" in drawn) == hidden


@pytest.mark.parametrize("size", [(127, 63.5), (8, 300), (300, 8), (4, 4)])
def test_all_of_it_is_on_the_page(size):
    made, layers = piece(part("block", box(0, 0, *size)))
    drawing = dimension_drawing(made, layers, Fraction(12), WORDS)
    for stroke in drawing.strokes:
        points = stroke.path.flattened
        assert points.min() >= 0.0
        assert (points <= (drawing.width, drawing.height)).all()
