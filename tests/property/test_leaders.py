"""Labels beside a figure: leaders never cross, labels never overlap, wherever things are."""

import itertools

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from laminature.drawings.beside import Tag
from laminature.drawings.leaders import tagged
from laminature.geometry.around import assigned, free_beside, places, target
from laminature.geometry.flat import rectangle
from laminature.geometry.lettering import text_width

where = st.tuples(st.integers(0, 90), st.integers(0, 60))


@settings(max_examples=60)
@given(st.lists(where, min_size=1, max_size=14, unique=True))
def test_leaders_do_not_cross(spots):
    boxes = [rectangle(x, y, x + 4, y + 4) for x, y in spots]
    points = np.concatenate([np.asarray(b.exterior.coords) for b in boxes])
    free = free_beside(boxes, points, 4.0, 8.0)
    found = places(free, 7.5)
    assert len(found) >= len(boxes)
    ends = np.array([target([b], free, 1.5) for b in boxes])
    chosen = assigned(ends, found, 2.9)
    assert len(set(chosen)) == len(boxes)
    leaders = [LineString([e, found[k]]) for e, k in zip(ends, chosen, strict=True)]
    for i, one in enumerate(leaders):
        for other in leaders[:i]:
            assert not one.crosses(other)
    for box in boxes:
        for k in chosen:
            assert box.distance(LineString([found[k], found[k] + 1e-9])) >= 3.9


@settings(max_examples=30)
@given(st.lists(where, min_size=2, max_size=12, unique=True))
def test_places_are_apart(spots):
    free = free_beside(
        [rectangle(x, y, x + 2, y + 2) for x, y in spots],
        np.array(spots, dtype=float) + 0.5 * np.eye(2)[0],
        4.0,
        9.0,
    )
    found = places(free, 7.5)
    gaps = np.linalg.norm(found[:, None] - found[None], axis=2) + 100.0 * np.eye(len(found))
    assert gaps.min() >= 7.5 - 1e-6


pieces = st.tuples(st.integers(0, 90), st.integers(0, 60), st.integers(2, 9), st.integers(2, 9))


@settings(max_examples=40)
@given(st.lists(pieces, min_size=1, max_size=12), st.booleans())
def test_labels_around_a_sheet_keep_apart_and_end_on_their_shapes(given_pieces, roomy):
    shapes = []
    for x, y, w, h in given_pieces:
        box = rectangle(x, y, x + w, y + h)
        if all(box.distance(other) > 0.5 for other in shapes):
            shapes.append(box)
    frame = rectangle(-2, -2, 102, 72)
    tags = [Tag(f"P{n}", shape) for n, shape in enumerate(shapes)]
    strokes, texts = tagged(tags, frame, shapes, top=72.0, bottom=-20.0 if roomy else -2.0)
    lines = [LineString(s.path.flattened) for s in strokes if s.open]
    assert sorted(t.text for t in texts) == sorted(t.text for t in tags)
    boxes = {t.text: label_box(t) for t in texts}
    for one, other in itertools.combinations(boxes.values(), 2):
        assert not one.intersects(other)
    for tag in tags:
        assert any(Point(line.coords[-1]).distance(tag.shape) < 1e-6 for line in lines)
        assert all(not boxes[tag.text].intersects(shape) for shape in shapes)


def label_box(text):
    width = text_width(text.text, text.size)
    x = text.x - {"start": 0.0, "middle": width / 2.0, "end": width}[text.anchor]
    return rectangle(x, text.y, x + width, text.y + text.size)
