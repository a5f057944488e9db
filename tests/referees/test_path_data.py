"""SVG path data against an independent reader: svgelements (MIT), after SVG 1.1 and 2 (W3C)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Path as Referee

from laminature.geometry.svgpath import read_path

numbers = st.floats(-50, 50).map(lambda v: round(v, 2))
sizes = st.floats(0.5, 40).map(lambda v: round(v, 2))


def command(letters, *kinds):
    return st.tuples(st.sampled_from(letters), *kinds).map(lambda t: " ".join(str(v) for v in t))


flags = st.sampled_from([0, 1])
angles = st.integers(-90, 90)


def followed(first, then):
    """A curve and the smooth ones after it; after others the referee mirrors where SVG does not."""
    return st.tuples(first, st.lists(then, max_size=2)).map(lambda t: " ".join([t[0], *t[1]]))


commands = st.one_of(
    command("Ll", numbers, numbers),
    command("Hh", numbers),
    command("Vv", numbers),
    followed(command("Cc", *[numbers] * 6), command("Ss", *[numbers] * 4)),
    followed(command("Qq", *[numbers] * 4), command("Tt", *[numbers] * 2)),
    command("Aa", sizes, sizes, angles, flags, flags, numbers, numbers),
)
data = st.tuples(command("M", numbers, numbers), st.lists(commands, min_size=1, max_size=6)).map(
    lambda t: " ".join([t[0], *t[1]]) + " Z"
)


def distances(points, line):
    """From each point to the nearest of the segments between neighbours in ``line``."""
    a, b = line[:-1][None], line[1:][None]
    p = points[:, None]
    along = b - a
    square = np.maximum((along**2).sum(-1), 1e-30)
    share = np.clip(((p - a) * along).sum(-1) / square, 0.0, 1.0)
    return np.hypot(*np.moveaxis(p - a - share[..., None] * along, -1, 0)).min(axis=1)


@given(data)
def test_drawn_curves_are_those_of_the_referee(text):
    ours = read_path(text)
    if not ours:
        return
    flat = ours[0].flatten(0.002)
    flat = np.vstack([flat, flat[:1]])
    points = []
    for segment in Referee(text):
        if type(segment).__name__ == "Move":
            continue
        at = np.array([tuple(segment.point(float(t))) for t in np.linspace(0.0, 1.0, 9)])
        points.append(at)
    assert distances(np.vstack(points), flat).max() < 0.005


@pytest.mark.parametrize(
    "text",
    [
        "M600,350 l 50,-25a25,25 -30 0,1 50,-25 l 50,-25a25,50 -30 0,1 50,-25 l 50,-25a25,75 -30 0,1 50,-25",
        "M300,200 h-150 a150,150 0 1,0 150,-150 z",
        "M200,300 Q400,50 600,300 T1000,300 Z",
    ],
)
def test_the_specifications_own_examples(text):
    """SVG 2, chapter 9 "Paths": its figures for elliptical arcs and quadratic curves."""
    flat = read_path(text)[0].flatten(0.002)
    points = np.array([tuple(Referee(text).point(t)) for t in np.linspace(0.0, 1.0, 41)])
    assert distances(points, np.vstack([flat, flat[:1]])).max() < 0.01
