"""Outlines: each shape by its area, extents and curves; path data by example."""

import math

import pytest

from laminature.design.reading import parse
from laminature.geometry.path import Arc, Cubic, Line
from laminature.geometry.svgpath import PathDataError, read_path

BOARD = '[board]\ncaliper = 1\nsheet = "A4"\n'
PIERCED = """shape = "rectangle"
width = 30
height = 20
opening = [{ shape = "rectangle", width = 4, height = 2, at = [10, 10], turn = 90 }]"""


def region(shape):
    text = f'scale = "1:1"\n{BOARD}[[part]]\nname = "a"\nlayers = 1\n{shape}\n'
    return parse(text.encode(), "a.toml", {}, {}).parts[0].outline


@pytest.mark.parametrize(
    ("shape", "area", "bounds"),
    [
        ('shape = "rectangle"\nwidth = 30\nheight = 20', 600, (0, 0, 30, 20)),
        ('shape = "rectangle"\nwidth = 30\nheight = 20\ncentred = true', 600, (-15, -10, 15, 10)),
        (
            'shape = "rectangle"\nwidth = 30\nheight = 20\ncorner = 5',
            600 - (4 - math.pi) * 25,
            (0, 0, 30, 20),
        ),
        ('shape = "rectangle"\nwidth = 20\nheight = 20\ncorner = 10', math.pi * 100, (0, 0, 20, 20)),
        ('shape = "circle"\ndiameter = 20', math.pi * 100, (-10, -10, 10, 10)),
        ('shape = "ellipse"\nwidth = 40\nheight = 20', math.pi * 200, (-20, -10, 20, 10)),
        ('shape = "polygon"\nsides = 4\nacross_flats = 20', 400, (-10, -10, 10, 10)),
        (
            'shape = "polygon"\nsides = 6\nacross = 20',
            150 * math.sqrt(3),
            (-10, -5 * math.sqrt(3), 10, 5 * math.sqrt(3)),
        ),
        ('shape = "polygon"\npoints = [[0, 0], [30, 0], [0, 20]]', 300, (0, 0, 30, 20)),
        ('shape = "path"\npath = "M 0 0 H 30 V 20 H 0 Z m 5 5 h 10 v 10 h -10 z"', 500, (0, 0, 30, 20)),
        ('shape = "path"\npath = "M 0 0 H 3 V 2 Z"\npath_unit = "cm"', 300, (0, 0, 30, 20)),
        ('shape = "path"\npath = "M 0 0 H 30 V 20 Z"\nflip = true', 300, (0, -20, 30, 0)),
        (
            PIERCED,
            592,
            (0, 0, 30, 20),
        ),
    ],
)
def test_area_and_extents(shape, area, bounds):
    made = region(shape)
    assert made.flat.area == pytest.approx(area, abs=0.15)
    assert made.bounds == pytest.approx(bounds, abs=0.003)


def test_an_opening_is_turned_about_its_own_origin_and_then_placed():
    made = region(PIERCED)
    xs, ys = zip(*made.openings[0].flattened, strict=True)
    assert (min(xs), max(xs), min(ys), max(ys)) == (8, 10, 10, 14)


def test_circles_and_rounded_corners_stay_arcs():
    kinds = [type(s) for s in region('shape = "rectangle"\nwidth = 30\nheight = 20\ncorner = 5').outline]
    assert kinds == [Line, Arc] * 4
    assert {type(s) for s in region('shape = "circle"\ndiameter = 20').outline} == {Arc}


def test_the_unit_of_path_data_may_be_of_the_miniature():
    text = (
        '[board]\ncaliper = 1\nsheet = "A4"\n[[part]]\nname = "a"\nlayers = 1\nshape = "path"\n'
        'path = "M 0 0 H 30 V 20 Z"\n'
    )
    full = parse(text.encode(), "a.toml", {}, {}).parts[0].outline
    mini = parse((text + 'path_unit = "mini mm"\n').encode(), "a.toml", {}, {}).parts[0].outline
    inch = parse(('unit = "in"\n' + text).encode(), "a.toml", {}, {}).parts[0].outline
    assert full.bounds == pytest.approx((0, 0, 2.5, 20 / 12))
    assert mini.bounds == (0, 0, 30, 20)
    assert inch.bounds == pytest.approx((0, 0, 63.5, 20 / 12 * 25.4))


def test_every_command_of_path_data():
    (path,) = read_path("m1,1 2-1.5.5.5 H5 h1 V3 v1 C6 5 5 6 4 6 s-2 0-2-1 Q1 5 1 4 t0-1 a1 1 0 01-0-1 L1 1")
    kinds = "".join(type(s).__name__[0] for s in path)
    assert kinds == "LLLLLLCCCCAL"
    assert path.segments[1].end == (3.5, 0.0)
    # A smooth cubic mirrors the last control point; a smooth quadratic does so too.
    assert path.segments[7].c1 == (3.0, 6.0)
    assert path.segments[9].c1 == pytest.approx((1.0, 4 - 2 / 3))


def test_subpaths_after_z_begin_where_the_last_began():
    first, second = read_path("M 1 1 h 2 v 2 z l 3 0 0 3")
    assert first.start == second.start == (1.0, 1.0)


def test_quadratics_become_the_cubics_that_equal_them():
    (path,) = read_path("M 0 0 Q 3 6 6 0 Z")
    assert path.segments[0] == Cubic((0, 0), (2, 4), (4, 4), (6, 0))


def test_arcs_of_ellipses_keep_within_a_thousandth():
    (path,) = read_path("M 30 0 A 30 10 0 0 1 -30 0 A 30 10 0 0 1 30 0 Z")
    assert max(abs((x / 30) ** 2 + (y / 10) ** 2 - 1) for x, y in path.flatten(1e-5)) < 1e-4
    assert all(type(s) is Cubic for s in path)


def test_radii_too_small_are_grown_and_none_at_all_is_a_line():
    (grown,) = read_path("M 0 0 A 1 1 0 0 1 10 0 Z")
    assert grown.segments[0].radius == pytest.approx(5.0)
    assert read_path("M 0 0 A 0 1 0 0 1 10 0 V 3 Z")[0].segments[0] == Line((0, 0), (10, 0))


@pytest.mark.parametrize("text", ["", "  ", "M 3 3", "M 3 3 z", "M 0 0 L 0 0 Z"])
def test_what_draws_nothing_is_no_path(text):
    assert read_path(text) == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("L 0 0", "begin with"),
        ("3 4", "number stands"),
        ("M 0 0 L 1", "takes 2 numbers and has 1"),
        ("M 0 0 A 1 1 0 2 0 3 3", "takes 7 numbers and has 3"),
        ("M 0 0 Z 3", "number stands"),
        ("M 0 0 B 3 3", "no path command 'B'"),
        ("M 0 0 L 1 nan", "takes 2"),
        ("M 0 0 L 1e400 0", "far too large"),
        ("M 0 0 #", "no path command"),
        ("M 0 0" + " l 1 1" * 30, "more than 20 segments"),
        ("M 0 0" + " l 9e8 9e8" * 3, "far beyond"),
    ],
)
def test_what_is_no_path_data(text, words):
    with pytest.raises(PathDataError, match=words):
        read_path(text, most=20)
