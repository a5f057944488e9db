"""How a blade closes its cuts, and how lines that lie on each other are cut once."""

import dataclasses
import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.path import Path, circle, polyline
from laminature.geometry.walk import path_length
from laminature.model.cutting import KNIFE, LASER
from laminature.model.drawing import Stroke
from laminature.sheets.closing import closed_over, show_layers
from laminature.sheets.coincident import without_doubles

from ..drawn_by_hand import TOP


def stroke(operation, path, name="A1", part="lid", layer=1):
    return Stroke(operation, path, name, part, layer, not path.closed)


def box(x0, y0, x1, y1):
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def line_of(path: Path):
    points = path.flatten(1e-4)
    return shapely.linearrings(points) if path.closed else shapely.linestrings(points)


# --- overlap ------------------------------------------------------------------------------


def test_a_cut_runs_on_over_its_beginning_along_the_path_and_round_its_corner():
    path = polyline([(0.2, 0), (10, 0), (10, 5), (0, 5), (0, 0)])
    begun_late = Path(path.segments[-1:] + path.segments[:-1])  # from (0, 0): 0.2 mm before a joint
    (made,) = closed_over([stroke("outline", begun_late)], KNIFE)
    assert made.open and not made.path.closed
    assert path_length(made.path) == pytest.approx(30.5)
    assert shapely.hausdorff_distance(line_of(made.path), line_of(begun_late)) < 1e-9


def test_on_a_curve_the_overlap_stays_on_the_curve():
    (made,) = closed_over([stroke("opening", circle(1.0))], KNIFE)
    assert path_length(made.path) == pytest.approx(math.tau + 0.5)
    end = made.path.segments[-1].end
    assert end == pytest.approx((math.cos(0.5), math.sin(0.5)))


def test_a_beam_needs_no_overlap_and_marks_never_get_one():
    strokes = (stroke("outline", box(0, 0, 2, 2)), stroke("marking", box(0, 0, 2, 2)))
    assert closed_over(strokes, LASER) == strokes
    assert closed_over(strokes, KNIFE)[1] == strokes[1]


# --- overcut ------------------------------------------------------------------------------


def test_with_an_overcut_runs_go_that_far_beyond_their_corners():
    setting = dataclasses.replace(KNIFE, overlap=0.0, overcut=0.2)
    made = closed_over([stroke("opening", box(0, 0, 4, 2), "A1-1")], setting)
    assert [s.name for s in made] == ["A1-1", "A1-1-run-2", "A1-1-run-3", "A1-1-run-4"]
    assert [path_length(s.path) for s in made] == pytest.approx([4.4, 2.4, 4.4, 2.4])
    assert all(s.open for s in made)
    together = shapely.union_all([line_of(s.path) for s in made])
    assert shapely.difference(line_of(box(0, 0, 4, 2)), together).length == pytest.approx(0.0, abs=1e-9)
    assert together.bounds == pytest.approx((-0.2, -0.2, 4.2, 2.2))


def test_no_overcut_on_layers_that_are_seen():
    setting = dataclasses.replace(KNIFE, overlap=0.0, overcut=0.2)
    strokes = [stroke("outline", box(0, 0, 4, 2), f"A{n}", "top", n) for n in (1, 2, 3, 4)]
    shown = show_layers([dataclasses.replace(TOP, show=frozenset({"upper"}))])
    assert shown == {("top", 4)}
    made = closed_over(strokes, setting, shown)
    assert [s.name for s in made if s.layer == 4] == ["A4"]
    assert len([s for s in made if s.layer == 1]) == 4


def test_a_round_cut_has_no_corner_to_overcut():
    setting = dataclasses.replace(KNIFE, overlap=0.0, overcut=0.2)
    (made,) = closed_over([stroke("outline", circle(5.0))], setting)
    assert made.path == circle(5.0)


# --- lines that lie on each other ---------------------------------------------------------


def total(strokes):
    return sum(path_length(s.path) for s in strokes)


def test_a_shared_edge_is_cut_once():
    made = without_doubles([stroke("outline", box(0, 0, 4, 4)), stroke("outline", box(4, 0, 8, 4), "A2")])
    assert total(made) == pytest.approx(28.0)
    assert not made[0].open and made[1].open
    assert path_length(made[1].path) == pytest.approx(12.0)


def test_a_cut_that_repeats_another_whole_is_dropped():
    first = stroke("outline", box(0, 0, 4, 4))
    assert without_doubles([first, stroke("outline", box(0, 0, 4, 4), "A2")]) == (first,)


@pytest.mark.parametrize(("apart", "once"), [(0.02, True), (0.03, False)])
def test_lines_within_a_step_of_the_cutter_are_one(apart, once):
    made = without_doubles(
        [stroke("outline", box(0, 0, 4, 4)), stroke("outline", box(4 + apart, 0, 8, 4), "A2")]
    )
    assert (len(made[1].path.segments) == 3) == once


def test_lines_that_only_cross_or_end_on_each_other_stay():
    strokes = (
        stroke("outline", box(0, 0, 4, 4)),
        stroke("outline", box(2, 2, 6, 6), "A2"),
        stroke("opening", polyline([(4, 1), (9, 1)], closed=False), "A2-1"),
    )
    assert without_doubles(strokes) == strokes


@given(
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(1, 4), st.integers(1, 4)),
        min_size=2,
        max_size=8,
    )
)
def test_every_line_is_cut_and_none_twice(rectangles):
    strokes = [
        stroke("outline", box(x, y, x + w, y + h), f"A{n}") for n, (x, y, w, h) in enumerate(rectangles)
    ]
    made = without_doubles(strokes)
    wanted = shapely.union_all([line_of(s.path) for s in strokes])
    got = shapely.union_all([line_of(s.path) for s in made])
    assert got.symmetric_difference(wanted).length == pytest.approx(0.0, abs=1e-6)
    assert total(made) == pytest.approx(wanted.length, abs=1e-6)
