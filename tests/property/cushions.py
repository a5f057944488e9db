"""Outlines of cushions and what is written of them, as makers might."""

import math

from hypothesis import strategies as st

from laminature.design.outlines import rounded
from laminature.geometry.region import Region, box, disc, regular, shape
from laminature.geometry.svgpath import Ellipse, whole_ellipse
from laminature.model.design import CushionSpec

sizes = st.floats(12.0, 120.0)
scales = st.sampled_from([6.0, 8.0, 12.0, 16.0, 24.0])


@st.composite
def outlines(draw):
    """A rectangle, sharp or rounded, a regular polygon, a circle, an ellipse, or one of no symmetry."""
    kind = draw(st.sampled_from(["rectangle", "rounded", "regular", "circle", "ellipse", "free"]))
    w, h = draw(sizes), draw(sizes)
    if kind == "rectangle":
        return box(-w / 2, -h / 2, w / 2, h / 2)
    if kind == "rounded":
        r = draw(st.floats(0.02, 0.49)) * min(w, h)
        return Region(rounded(-w / 2, -h / 2, w, h, r))
    if kind == "regular":
        return regular(draw(st.integers(3, 10)), w, draw(st.sampled_from([0.0, 90.0, 17.0])))
    if kind == "circle":
        return disc(w / 2)
    if kind == "ellipse":
        return Region(whole_ellipse(Ellipse((0.0, 0.0), w / 2, h / 2)))
    n = draw(st.integers(5, 12))
    radii = [draw(st.floats(0.55, 1.0)) for _ in range(n)]
    return shape(
        [
            (w / 2 * r * math.cos(math.tau * k / n), h / 2 * r * math.sin(math.tau * k / n))
            for k, r in enumerate(radii)
        ]
    )


@st.composite
def specs(draw, patterns=("diamond", "square", "row", "concentric", "channels")):
    """What is written of a cushion; spacings of a size that gives no thousands of buttons."""
    given = draw(st.booleans())
    return CushionSpec(
        pattern=draw(st.sampled_from(patterns)),
        spacing=(draw(st.floats(5.0, 40.0)), draw(st.floats(5.0, 40.0))) if given else None,
        margin=draw(st.none() | st.floats(0.0, 8.0)),
        rows=draw(st.none() | st.integers(1, 6)),
        columns=draw(st.none() | st.integers(1, 8)),
        batting_layers=draw(st.integers(1, 8)),
        batting_thickness=draw(st.floats(0.3, 2.0)),
        swell=draw(st.floats(1.0, 8.0)),
    )
