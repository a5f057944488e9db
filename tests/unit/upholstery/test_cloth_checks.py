"""What is said about cloth, in full-size terms."""

from dataclasses import replace

import pytest

from laminature.geometry.region import box, disc, regular
from laminature.model.design import CushionSpec
from laminature.upholstery.cloth_checks import cloth_findings, pillow_findings
from laminature.upholstery.marks import placed_marks
from laminature.upholstery.surface import solve_surface

from ...buttonings import diamonds

SPEC = CushionSpec(manner="deep", pattern="diamond")
SEAT = box(-45.0, -22.0, 45.0, 22.0)


def said(spec=SPEC, side=0.45, outline=SEAT):
    return {f.code: f for f in cloth_findings(spec, 12.0, outline, side)}


def test_the_usual_cloth_gives_nothing_to_say():
    assert said() == {}


def test_thick_cloth_is_told_at_full_size():
    finding = said(replace(SPEC, cloth_thickness=0.4), side=1.2)["cloth-too-thick"]
    # 0.4 mm × 12 = 4.8 mm = 0.19 in
    assert "0.19 in (4.8 mm)" in finding.message
    assert said(replace(SPEC, cloth_thickness=0.3), side=0.9) == {}


def test_a_print_that_repeats_less_than_once_is_too_large():
    # 24 in at full size is 50.8 mm at 1:12, wider than a cushion of 44 mm.
    finding = said(replace(SPEC, print_repeat=50.8))["print-too-large"]
    assert "24 in" in finding.message
    assert "25.4 mm" in finding.remedy
    assert said(replace(SPEC, print_repeat=25.4)) == {}


@pytest.mark.parametrize(("outline", "told"), [(SEAT, False), (regular(3, 60.0), True), (disc(20.0), False)])
def test_a_sharp_corner_has_a_pleat_of_five_and_a_round_edge_none(outline, told):
    # 5 × 0.15 = 0.75 > 0.45 + 0.2; 3 × 0.15 = 0.45 is not.
    assert ("folds-too-thick" in said(outline=outline)) == told


def flatness(spacing):
    buttoning = diamonds(4, 3, spacing, spacing)
    outline = box(-3 * spacing, -2 * spacing, 3 * spacing, 2 * spacing)
    surface = solve_surface(outline, buttoning, 4.0, SPEC.dip, 1.6, 2.5, "deep")
    _, lengths = placed_marks(buttoning, surface)
    return pillow_findings(SPEC, buttoning, surface, tuple(lengths), 12.0)


def test_crowded_deep_buttons_leave_no_pillows():
    (finding,) = flatness(3.4)
    assert finding.code == "pillows-flat"
    assert "2.4 mm apart (29 mm at full size)" in finding.message
    assert flatness(12.0) == ()


def test_buttons_that_only_dent_need_no_pillows():
    buttoning = diamonds(4, 3, 3.4, 3.4)
    surface = solve_surface(box(-10.0, -7.0, 10.0, 7.0), buttoning, 4.0, 0.6, 1.6, 2.5, "pulled-in")
    assert pillow_findings(replace(SPEC, manner="pulled-in"), buttoning, surface, (2.4,) * 20, 12.0) == ()
