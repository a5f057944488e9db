"""Piping: how long, how wide its strip, where it turns too tightly; and how a cushion sits in its frame."""

import math

import pytest

from laminature.design.outlines import rounded
from laminature.geometry.region import Region, box, disc, regular, shape
from laminature.geometry.svgpath import Ellipse, whole_ellipse
from laminature.model.design import CushionSpec
from laminature.upholstery.envelope import envelope
from laminature.upholstery.piping import make_piping, panel_inset, proud, rim_findings, turns

SPEC = CushionSpec(piping=0.6, cloth_thickness=0.1)
# Covered 0.8 mm; its middle is 0.3 + 0.4 = 0.7 mm beyond the panel; least radius 1.2 mm.


def test_the_length_is_the_way_round_the_middle_of_the_cord_and_a_tenth_more():
    made, _ = make_piping(disc(20), SPEC)
    assert made.length == pytest.approx(1.1 * math.tau * 20.7, rel=1e-4)
    made, _ = make_piping(box(-20, -10, 20, 10), SPEC)
    assert made.length == pytest.approx(1.1 * (120 + math.tau * 0.7), rel=1e-4)
    assert made.strip == (pytest.approx(math.pi * 0.6 + 4.0), made.length)


def test_without_a_cord_there_is_none():
    assert make_piping(disc(20), CushionSpec()) == (None, ())


def test_sharp_corners_are_too_tight_and_the_remedy_is_enough():
    _, found = make_piping(box(-20, -10, 20, 10), SPEC)
    assert [f.code for f in found] == ["piping-corner-tight"]
    assert "4 places" in found[0].message
    assert "at least 0.5 mm" in found[0].remedy
    assert make_piping(Region(rounded(-20, -10, 40, 20, 0.5)), SPEC)[1] == ()
    assert make_piping(Region(rounded(-20, -10, 40, 20, 0.49)), SPEC)[1] != ()


def test_an_inner_corner_needs_more_rounding():
    ell = shape([(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)])
    _, found = make_piping(ell, SPEC)
    assert "6 places" in found[0].message
    assert "at least 1.9 mm" in found[0].remedy


def test_blunt_polygons_of_many_sides_count_as_curves():
    assert make_piping(regular(40, 60), SPEC)[1] == ()


def test_the_tightest_place_of_an_ellipse_is_at_its_tips():
    found = turns(whole_ellipse(Ellipse((0.0, 0.0), 20.0, 10.0)))
    tips = min(found, key=lambda t: t.radius)
    assert tips.radius == pytest.approx(10.0**2 / 20.0, rel=0.01)
    assert abs(tips.point[0]) == pytest.approx(20.0, abs=0.05)
    assert all(t.outwards for t in found)


def test_turns_know_inner_from_outer_whichever_way_a_path_is_walked():
    ell = shape([(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)]).outline
    for path in (ell, ell.reversed()):
        assert [t.point for t in turns(path) if not t.outwards] == [(10.0, 10.0)]


def test_a_panel_is_drawn_in_by_its_cloth_and_what_shows_of_the_piping():
    assert panel_inset(SPEC) == pytest.approx(0.3 + 0.8)
    assert panel_inset(SPEC, shows=0.4) == pytest.approx(0.7)
    assert panel_inset(SPEC, shows=5.0) == pytest.approx(1.1)
    assert panel_inset(CushionSpec(cloth_thickness=0.1)) == pytest.approx(0.3)


def test_a_cushion_proud_of_its_frame_and_one_below():
    room = envelope(CushionSpec(), 1.1176)  # 5.7176 high
    assert proud(room, 3.0) == pytest.approx(2.7176)
    (said,) = rim_findings(room, CushionSpec(), 3.0, 12.0)
    assert (said.code, said.grade) == ("cushion-proud", "note")
    assert "2.72 mm proud" in said.message
    assert "1.73 mm below" in said.message
    (said,) = rim_findings(room, CushionSpec(), 6.0, 12.0)
    assert (said.code, said.grade) == ("cushion-below-rim", "care")
