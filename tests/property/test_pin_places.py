"""Two pins hold a layer the right way round only where, in every wrong pose, a pin or the outline is off."""

import numpy as np
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

from laminature.layering.aligning.places import pin_places

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
