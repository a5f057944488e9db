"""Two pins hold a layer the right way round only where, in every wrong pose, a pin or the outline is off."""

from itertools import combinations

import numpy as np
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

from laminature.layering.aligning.places import CLEAR, WRONG, pin_places

#: What a maker feels at a pin or sees at an outline, mm: less than what the places are chosen by.
SEEN = 0.5
NEAR = st.floats(-4.0, 4.0)
#: How one place follows from the other where an outline is symmetrical: turned by half, or mirrored.
SYMMETRY = st.sampled_from([(-1, -1), (-1, 1), (1, -1)])


@settings(settings.get_profile("many"))
@given(
    st.tuples(st.floats(20.0, 120.0), st.floats(20.0, 60.0), st.floats(-1.0, 1.0)),
    st.tuples(st.floats(3.0, 55.0), st.floats(-25.0, 25.0), NEAR, NEAR),
    SYMMETRY,
)
def test_no_wrong_pose_lets_both_pins_in_and_hides_at_the_outline(size, place, symmetry):
    width, height, taper = size
    x, y, dx, dy = place
    # An outline that is nearly symmetrical, and two places that nearly are.
    outline = shapely.Polygon(
        [
            (-width / 2, -height / 2),
            (width / 2, -height / 2),
            (width / 2 - taper, height / 2),
            (-width / 2, height / 2),
        ]
    )
    places = np.array([(x, y), (symmetry[0] * x + dx, symmetry[1] * y + dy)])
    assume(np.hypot(*(places[0] - places[1])) >= 5.0)
    assume(all(outline.buffer(-1.0).contains(shapely.Point(p)) for p in places))
    if not pin_places(places, 5.0, (outline,)):
        return
    middle = ((outline.bounds[0] + outline.bounds[2]) / 2.0, 0.0)
    for fx, fy in ((-1, -1), (-1, 1), (1, -1)):
        moved = affinity.scale(outline, fx, fy, origin=middle)
        if moved.exterior.hausdorff_distance(outline.exterior) > SEEN:
            continue
        openings = (places - middle) * (fx, fy) + middle
        misses = np.hypot(*(openings[:, None] - places[None]).T).min(axis=0)
        assert misses.max() > SEEN


def by_hand(points, apart):
    """The triangle by its definition, one after the other: the clearest, longest, largest."""
    best, found = None, ()
    for three in combinations(points, 3):
        (a, b, c) = three
        short, middle, long = sorted(np.hypot(*np.subtract(p, q)) for p, q in combinations(three, 2))
        twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
        clear = min(twice / max(long, 1e-9), (middle - short) / 2.0, (long - middle) / 2.0, CLEAR)
        if short < apart or clear <= WRONG:
            continue
        rank = (np.round(clear, 1), np.round(long, 6), np.round(short + middle + long, 6))
        if best is None or rank > best:
            best, found = rank, three
    return found


# Places on a grid, so that many triangles are as good as each other, and the first is to be taken.
PLACE = st.tuples(st.integers(0, 12), st.integers(0, 4)).map(lambda p: (p[0] * 1.7, p[1] * 1.3))


@given(st.lists(PLACE, min_size=3, max_size=24, unique=True), st.sampled_from([0.5, 2.5]))
def test_three_places_are_the_best_triangle_of_all(places, apart):
    expected = by_hand(places, apart)
    if expected:
        assert pin_places(np.array(places), apart, ()) == expected
