"""Thin webs and small openings are found; sound shapes are left in peace."""

import math

import pytest

from laminature.checks.webs import small_openings, thin_places
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.region import box, disc, regular
from laminature.geometry.thinness import narrow_openings, thin_webs

from .by_hand import BOARD, THICK, checked, codes, part, upright


def spokes(points, outer, inner):
    at = [(outer if k % 2 == 0 else inner, math.pi * k / points) for k in range(2 * points)]
    return flat([(r * math.cos(a), r * math.sin(a)) for r, a in at])


def less(shape, *openings):
    for opening in openings:
        shape = shape.difference(opening)
    return shape


PLATE = rectangle(0, 0, 40, 40)
SOUND = {
    "square": PLATE,
    "reflex corner": less(PLATE, rectangle(10, 10, 41, 41)),
    "star": spokes(5, 10, 4),
    "spike of 15 degrees": flat([(0, 0), (40, 0), (40, 10.7)]),
    "hexagon": regular(6, 40).flat,
    "disc": disc(20).flat,
    "web as wide as asked": less(PLATE, rectangle(5, 1.5, 20, 4)),
    "two round openings 2 mm apart": less(
        rectangle(0, 0, 60, 40), disc(8, (20, 20)).flat, disc(8, (38, 20)).flat
    ),
    "a bump no longer than wide": rectangle(0, 0, 20, 20).union(rectangle(8, 20, 9, 20.6)),
    "a tab": rectangle(0, 0, 20, 20).union(rectangle(5, 20, 12, 22)),
}
THIN = {
    "slot near an edge": (less(PLATE, rectangle(5, 1, 20, 4)), 1.0, (12.5, 0.5)),
    "two round openings": (
        less(rectangle(0, 0, 60, 40), disc(8, (20, 20)).flat, disc(8, (37, 20)).flat),
        1.0,
        (28.5, 20),
    ),
    "two corners": (
        less(PLATE, rectangle(10, 10, 20, 20), rectangle(20.5, 20.5, 30, 30)),
        0.707,
        (20.25, 20.25),
    ),
    "narrow tab": (rectangle(0, 0, 20, 20).union(rectangle(8, 20, 9, 23)), 1.0, (8.5, 21.5)),
    "all of it": (rectangle(0, 0, 2, 1), 1.0, (1, 0.5)),
}


@pytest.mark.parametrize("name", SOUND)
def test_sound_shapes_have_no_thin_web(name):
    assert thin_webs([SOUND[name]], 1.5) == [()]


@pytest.mark.parametrize("name", THIN)
def test_thin_webs_are_found_with_place_and_width(name):
    shape, width, place = THIN[name]
    ((found,),) = thin_webs([shape], 1.5)
    assert found.width == pytest.approx(width, abs=0.03)
    assert math.dist(found.point, place) < 0.6


def test_a_thin_ring_is_all_web():
    (found,) = thin_webs([less(disc(20).flat, disc(19).flat)], 1.5)
    assert found[0].width == pytest.approx(1.0, abs=0.02)


def test_shapes_are_judged_one_by_one():
    answers = thin_webs([PLATE, THIN["slot near an edge"][0], SOUND["star"]], 1.5)
    assert [len(a) for a in answers] == [0, 1, 0]
    assert thin_webs([], 1.5) == []


def test_openings_narrower_than_the_tool_are_found():
    shape = less(PLATE, rectangle(5, 5, 15, 6.9), rectangle(5, 15, 15, 17.1), disc(0.8, (30, 30)).flat)
    (found,) = narrow_openings([shape], 2.0)
    assert [round(t.width, 1) for t in found] == [1.6, 1.9]
    assert found[0].point == pytest.approx((30, 30), abs=0.01)
    assert narrow_openings([PLATE], 2.0) == [()]


def test_the_finding_names_the_narrowest_place_of_a_part_and_where_it_is_in_the_piece():
    shape = less(PLATE, rectangle(5, 1.2, 20, 4), rectangle(25, 1, 35, 4))
    given = checked(part("seat", box(0, 0, 40, 40), upright(100, 0, 0)), carved={"seat": shape})
    (found,) = thin_places(given)
    assert (found.code, found.grade, found.part, found.layer) == ("web-too-thin", "care", "seat", 1)
    assert "1.00 mm wide" in found.message
    assert "8 such places" in found.message  # two in each of four layers
    x, y, z = found.point
    assert (x, z) == pytest.approx((130, 0.5), abs=0.6)
    assert y == pytest.approx(-THICK / 8)


def test_a_laser_leaves_thinner_webs_than_a_knife():
    shape = less(PLATE, rectangle(5, 1.2, 20, 4))
    seat = part("seat", box(0, 0, 40, 40))
    assert codes(thin_places(checked(seat, carved={"seat": shape}))) == ["web-too-thin"]
    assert thin_places(checked(seat, carved={"seat": shape}, cutter="laser")) == ()


def test_small_openings_are_told_once_for_each_part():
    shape = less(PLATE, rectangle(5, 5, 15, 6.5))
    given = checked(part("seat", box(0, 0, 40, 40)), part("top", box(0, 0, 40, 40)), carved={"seat": shape})
    (found,) = small_openings(given)
    assert (found.code, found.part) == ("opening-too-small", "seat")
    assert f"{BOARD.opening_knife:g} mm" in found.message
    assert small_openings(checked(part("seat"), carved={"seat": less(PLATE, rectangle(5, 5, 15, 7.5))})) == ()
