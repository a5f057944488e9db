"""Small drawings on shared pages: in rows, in their order, none over another; whole pages together."""

import itertools

import pytest
from shapely.geometry import box

from laminature.drawings.sharing import sharing, together
from laminature.geometry.path import polyline
from laminature.model.drawing import Drawing, Stroke, Text

ROOM = (180.0, 225.0)


def small(name, width, height):
    corners = [(0, 0), (width, 0), (width, height), (0, height)]
    return Drawing(name, width, height, (Stroke("outline", polyline(corners), name),), (), name)


def boxes(page):
    found = {}
    for s in page.strokes:
        (x0, y0), (x1, y1) = s.path.flattened.min(axis=0), s.path.flattened.max(axis=0)
        found[s.name] = box(x0, y0, x1, y1)
    return found


def test_narrow_ones_stand_beside_each_other_at_true_size():
    first, pages = sharing([small("a", 50, 40), small("b", 60, 30), small("c", 90, 20)], ROOM, "t")
    assert pages == ()
    found = boxes(first)
    assert [b.bounds[2] - b.bounds[0] for b in found.values()] == pytest.approx([50, 60, 90])
    assert found["a"].bounds[3] == found["b"].bounds[3] > found["c"].bounds[3]
    assert first.height <= 80.0
    assert [t.text for t in first.texts] == ["a", "b", "c"]


@pytest.mark.parametrize("begun", [0.0, 100.0, 200.0])
def test_nothing_lies_over_another_or_beyond_its_page(begun):
    every = [small(f"d{n}", 20 + 13 * (n % 5), 15 + 11 * (n % 4)) for n in range(23)]
    first, pages = sharing(every, ROOM, "t", begun)
    assert (first is None) == (begun == 200.0)
    shown = [p for p in (first, *pages) if p is not None]
    assert [name for p in shown for name in boxes(p)] == [d.name for d in every]
    for page in shown:
        assert page.height <= ROOM[1] - (begun if page is first else 0.0)
        for one, other in itertools.combinations(boxes(page).values(), 2):
            assert one.distance(other) > 1.0
        for one in boxes(page).values():
            assert box(0, 0, page.width, page.height).covers(one)


def whole(name, high):
    """A page with something ``high`` mm high at its top."""
    corners = [(15, 280 - high), (195, 280 - high), (195, 280), (15, 280)]
    texts = (Text(name, 15.0, 275.0, 5.0),)
    return Drawing(name, 210.0, 297.0, (Stroke("outline", polyline(corners), name),), texts)


def test_whole_pages_share_one_where_both_have_room():
    (page,) = together([whole("front", 100), whole("back", 110)])
    found = boxes(page)
    assert found["front"].bounds[1] - found["back"].bounds[3] >= 10.0
    assert found["back"].bounds[1] >= 25.0
    assert [t.text for t in page.texts] == ["front", "back"]
    assert together([whole("front", 150), whole("back", 110)]) == (whole("front", 150), whole("back", 110))
