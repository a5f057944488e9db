"""Labels beside a figure: leaders never cross, labels never overlap, wherever things are."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from laminature.geometry.around import assigned, free_beside, places, target
from laminature.geometry.flat import rectangle

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
