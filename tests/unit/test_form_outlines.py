"""Tops seen from above: as wide as asked, chords long enough, cusps round enough."""

import itertools
import math

import pytest

from laminature.errors import FormError
from laminature.forms.outlines import LEAST_CHORD, LEAST_CUSP, furthest, top_outline
from laminature.geometry.path import Arc


def headings(segment):
    """Directions of travel at a segment's start and end, degrees."""
    if isinstance(segment, Arc):
        turn = 90.0 if segment.ccw else -90.0
        return [
            math.degrees(math.atan2(p[1] - segment.centre[1], p[0] - segment.centre[0])) + turn
            for p in (segment.start, segment.end)
        ]
    (x0, y0), (x1, y1) = segment.start, segment.end
    return [math.degrees(math.atan2(y1 - y0, x1 - x0))] * 2


@pytest.mark.parametrize("edge", ["straight", "scalloped", "piecrust"])
@pytest.mark.parametrize("sides", [0, *range(3, 13)])
def test_the_top_just_fits_its_circle(sides, edge):
    region = top_outline(sides, 55.0, edge)
    assert 2.0 * furthest(region.outline) == pytest.approx(55.0, abs=1e-8)
    assert region.flat.is_valid


@pytest.mark.parametrize("edge", ["scalloped", "piecrust"])
@pytest.mark.parametrize("sides", [0, 3, 4, 5, 6, 8, 12])
def test_decorated_edges_are_arcs_that_meet_smoothly_with_no_sharp_cusp(sides, edge):
    segments = top_outline(sides, 60.0, edge).outline.segments
    assert all(isinstance(s, Arc) for s in segments)
    assert min(s.radius for s in segments) >= LEAST_CUSP - 1e-9
    for a, b in itertools.pairwise((*segments, segments[0])):
        assert math.dist(a.end, b.start) < 1e-9
        turn = (headings(b)[0] - headings(a)[1] + 180.0) % 360.0 - 180.0
        assert abs(turn) < 1.0 + 1e-6


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
def test_chords_are_never_shorter_than_4_mm(count):
    side = 40.0 * math.sin(math.pi / 6)
    if side / count < LEAST_CHORD:
        with pytest.raises(FormError, match="fewer scallops"):
            top_outline(6, 40.0, "scalloped", count)
    else:
        assert top_outline(6, 40.0, "scalloped", count).flat.is_valid


def test_a_round_scalloped_top_is_as_wide_as_it_is_deep():
    x0, y0, x1, y1 = top_outline(0, 50.0, "scalloped").bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((50.0, 50.0), abs=0.005)


def test_scallops_too_deep_for_their_chord_are_refused():
    with pytest.raises(FormError, match="too deep"):
        top_outline(6, 50.0, "scalloped", 4, 3.0)
