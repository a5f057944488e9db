"""Stack diagrams: every layer, in order from the first below, with how it lies."""

import itertools

import pytest

from laminature.drawings.stack_diagram import stack_diagram
from laminature.geometry.region import box
from laminature.model.words import Words

from ...drawn_by_hand import WORDS
from .pieces_by_hand import part

FACES = ("upper", "upper", "lower", "lower")


def test_layers_are_named_from_below_and_say_how_they_lie():
    made, layers = part("shelf", box(0, 0, 60, 20), letter="B", faces=FACES)
    drawing = stack_diagram(made, layers, WORDS)
    rising = [t.text for t in sorted(drawing.texts, key=lambda t: t.y)]
    assert rising == ["B1: label up", "B2: label up", "B3: label down", "B4: label down"]


def test_labels_on_lower_faces_are_seen_through():
    shown = {}
    for faces in (("upper",) * 4, ("lower",) * 4):
        drawing = stack_diagram(*part("shelf", box(0, 0, 60, 20), faces=faces), WORDS)
        shown[faces[0]] = {s.operation for s in drawing.strokes}
    assert "faint" not in shown["upper"]
    assert "faint" in shown["lower"]


def test_a_face_that_is_glued_on_last_is_tinted_and_said():
    made, layers = part("top", box(0, 0, 60, 40), faces=FACES, last=4)
    drawing = stack_diagram(made, layers, Words({**WORDS.table, "glued_last": "zuletzt"}))
    assert "zuletzt" in max(drawing.texts, key=lambda t: t.y).text
    assert {"new", "card"} <= {f.tone for f in drawing.fills}


@pytest.mark.parametrize("size", [(60, 20), (20, 60), (200, 4), (3, 3)])
@pytest.mark.parametrize("count", [1, 4, 12])
def test_all_of_it_is_on_the_page(size, count):
    made, layers = part("shelf", box(0, 0, *size), count=count, faces=("upper",) * count)
    drawing = stack_diagram(made, layers, WORDS)
    assert len(drawing.texts) == count
    for stroke in drawing.strokes:
        points = stroke.path.flattened
        assert points.min() >= 0.0
        assert (points <= (drawing.width, drawing.height)).all()
    rows = sorted(t.y for t in drawing.texts)
    assert all(b - a > 2.6 for a, b in itertools.pairwise(rows))


def test_a_part_without_layers_is_refused():
    made, _ = part("shelf", box(0, 0, 60, 20))
    with pytest.raises(KeyError):
        stack_diagram(made, (), WORDS)
