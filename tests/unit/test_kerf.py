"""A laser's kerf: what is left after the beam has the size that was drawn."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from laminature.checks.kerf import kerf_room
from laminature.errors import BuildError
from laminature.geometry.fitting import FIT
from laminature.geometry.offset import LOST
from laminature.geometry.path import Arc, Path, circle, polyline
from laminature.model.drawing import Stroke
from laminature.sheets.kerf import with_kerf

from .checks.by_hand import checked, codes, part


def stroke(operation, path, name="A1"):
    return Stroke(operation, path, name, "lid", 1, not path.closed)


def box(x0, y0, x1, y1):
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def burnt(path, kerf):
    """What a round beam of ``kerf`` mm burns away along a path: shapely is the referee."""
    line = shapely.linearrings(path.flatten(1e-4))
    return shapely.buffer(line, kerf / 2, quad_segs=64)


def kept(path, kerf):
    """The part that falls out of the path, without what the beam took."""
    return shapely.polygons(path.flatten(1e-4)).difference(burnt(path, kerf))


def test_a_part_of_two_by_four_is_drawn_larger_by_the_kerf_so_that_it_comes_out_so():
    drawn = box(0, 0, 2, 4)
    # Uncompensated, a kerf of 0.2 makes it 1.8 × 3.8.
    assert kept(drawn, 0.2).bounds == pytest.approx((0.1, 0.1, 1.9, 3.9))
    (cut,) = with_kerf([stroke("outline", drawn)], 0.2)
    assert cut.path == box(-0.1, -0.1, 2.1, 4.1)
    left = kept(cut.path, 0.2)
    assert left.symmetric_difference(shapely.box(0, 0, 2, 4)).area == pytest.approx(0.0, abs=1e-9)


def test_an_opening_is_drawn_smaller_and_comes_out_as_wide_as_meant():
    (cut,) = with_kerf([stroke("opening", box(0, 0, 2, 4))], 0.2)
    hole = shapely.polygons(cut.path.flatten()).union(burnt(cut.path, 0.2))
    assert hole.bounds == pytest.approx((0, 0, 2, 4))


@given(
    st.lists(st.floats(6.0, 30.0).map(lambda v: round(v, 2)), min_size=3, max_size=9),
    st.floats(0.02, 0.4).map(lambda v: round(v, 3)),
)
def test_the_part_that_falls_out_is_the_part_drawn(radii, kerf):
    n = len(radii)
    points = [(r * math.cos(math.tau * k / n), r * math.sin(math.tau * k / n)) for k, r in enumerate(radii)]
    drawn = shapely.polygons(points)
    (cut,) = with_kerf([stroke("outline", polyline(points))], kerf)
    left = kept(cut.path, kerf)
    # The beam is round: in an inside corner that turns by t a fillet of r²·(tan(t/2) - t/2) stays.
    turns = turned(points)
    fillets = sum((kerf / 2) ** 2 * (math.tan(-t / 2) + t / 2) for t in turns if t < 0.0)
    # Edges that turn by next to nothing are fitted as one curve, within its tolerance.
    fitted = FIT * drawn.length if min(abs(t) for t in turns) < math.radians(0.5) else 0.0
    # On a grid, or the overlay stumbles over edges that are the same but for rounding.
    assert shapely.difference(left, drawn, grid_size=1e-7).area <= fillets + fitted + 1e-3
    # The tip of a very sharp corner is blunted by what moving a ring may lose.
    assert shapely.difference(drawn, left, grid_size=1e-7).area <= LOST + fitted


def turned(points):
    """By how much the closed polygon turns at each corner, radians, to the left."""
    sides = [(q[0] - p[0], q[1] - p[1]) for p, q in zip(points, points[1:] + points[:1], strict=True)]
    return [
        math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
        for a, b in zip(sides, sides[1:] + sides[:1], strict=True)
    ]


def test_round_cuts_stay_round_about_the_same_centre():
    half = Path((*polyline([(-5, 0), (5, 0)], closed=False).segments, Arc((5, 0), (-5, 0), (0, 0))))
    (cut,) = with_kerf([stroke("outline", half)], 0.3)
    (arc,) = (s for s in cut.path if isinstance(s, Arc))
    assert arc.centre == (0, 0)
    assert arc.radius == pytest.approx(5.15, abs=1e-9)
    (hole,) = with_kerf([stroke("opening", circle(3.0, (1.0, 2.0)))], 0.3)
    assert [s.radius for s in hole.path] == pytest.approx([2.85, 2.85])


def test_marks_and_open_cuts_stay_where_they_are():
    line = polyline([(0, 0), (5, 5)], closed=False)
    strokes = [stroke("marking", box(0, 0, 2, 2)), stroke("outline", line), stroke("score", line)]
    assert with_kerf(strokes, 0.2) == tuple(strokes)


def test_an_opening_narrower_than_the_beam_is_refused_by_name():
    with pytest.raises(BuildError, match=r"opening A1-1 of lid.*kerf of 0.2 mm"):
        with_kerf([stroke("opening", box(0, 0, 5, 0.15), "A1-1")], 0.2)


def test_a_slit_that_the_beam_would_close_is_refused():
    slit = polyline([(0, 0), (10, 0), (10, 5), (5.05, 5), (5.05, 1), (4.95, 1), (4.95, 5), (0, 5)])
    with pytest.raises(BuildError, match="slit in the outline A1 of lid"):
        with_kerf([stroke("outline", slit)], 0.2)


def test_the_check_says_so_before_anything_is_cut():
    slit = [(1, 2), (9, 2), (9, 2.1), (1, 2.1)]
    lid = part("lid")
    carved = {"lid": shapely.Polygon([(0, 0), (40, 0), (40, 30), (0, 30)], [slit])}
    found = kerf_room(checked(lid, carved=carved, kerf=0.2))
    assert codes(found) == ["kerf-too-wide"]
    assert (found[0].grade, found[0].part, found[0].layer) == ("stop", "lid", 1)
    assert kerf_room(checked(lid, carved=carved, kerf=0.05)) == ()
    assert kerf_room(checked(lid, carved=carved)) == ()
