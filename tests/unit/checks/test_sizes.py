"""Stacks off their thickness, outer sizes, parts larger than a sheet, parts that fall apart."""

from dataclasses import replace
from pathlib import Path

import pytest

from laminature import pipeline
from laminature.checks.sizes import outer_sizes, sheet_sizes, thicknesses
from laminature.checks.whole import fallen_apart
from laminature.errors import BuildError
from laminature.geometry.flat import pieces, rectangle
from laminature.geometry.pose import Pose, turned
from laminature.geometry.region import box
from laminature.model.board import Board

from .by_hand import BOARD, THICK, checked, part, upright

THIN_BOARD = Board("thin", "Thin card", 0.254, 300.0, 200.0)


def test_a_stack_within_the_limit_is_fine():
    assert thicknesses(checked(part("top", wanted_thickness=THICK + 0.14))) == ()
    assert thicknesses(checked(part("top"))) == ()


def test_a_stack_beyond_the_limit_is_told_in_mm_and_full_size():
    (found,) = thicknesses(checked(part("top", wanted_thickness=THICK - 0.4), scale=12.0))
    assert (found.code, found.grade, found.part) == ("thickness-off", "care", "top")
    assert "0.40 mm (4.8 mm full size) thicker than wanted" in found.message


def test_another_number_of_layers_is_offered_where_it_comes_nearer():
    (found,) = thicknesses(checked(part("top", wanted_thickness=THICK + 0.5)))
    assert "5 layers come to 2.79 mm" in found.remedy


def test_a_mix_of_two_calipers_is_offered_where_it_halves_the_error():
    wanted = THICK + 0.25
    (found,) = thicknesses(checked(part("top", wanted_thickness=wanted), boards=[BOARD, THIN_BOARD]))
    assert found.grade == "note"  # within the limit of 0.3 mm
    assert "Thin card" in found.remedy
    assert "comes to" in found.remedy
    assert (
        thicknesses(checked(part("top", wanted_thickness=wanted))) == ()
    )  # no second board, within the limit


def test_alike_parts_are_told_together():
    parts = [part(f"leg-{n}", wanted_thickness=THICK + 0.5) for n in range(4)]
    (found,) = thicknesses(checked(*parts))
    assert "leg-0 and 3 more" in found.message


@pytest.mark.parametrize(("asked", "expected"), [(40.005, []), (40.05, ["size-off"]), (39.9, ["size-off"])])
def test_the_outer_size_is_kept_within_a_hundredth(asked, expected):
    found = outer_sizes(checked(part("top"), size=(asked, None, None)))
    assert [f.code for f in found] == expected
    if asked == 39.9:
        assert "width of the piece is 40.00 mm instead of 39.90 mm" in found[0].message
        assert "too large" in found[0].message


def test_a_lid_may_or_may_not_count_in_the_size():
    lid = part("lid", pose=Pose((0.0, 0.0, THICK)), group="lid")
    assert outer_sizes(checked(part("box"), lid, size=(None, None, THICK))) == ()
    assert outer_sizes(checked(part("box"), lid, size=(None, None, 2 * THICK))) == ()
    assert len(outer_sizes(checked(part("box"), lid, size=(None, None, 3 * THICK)))) == 1


def test_a_part_may_be_turned_to_fit_its_sheet():
    assert sheet_sizes(checked(part("side", box(0, 0, 180, 280)))) == ()
    (found,) = sheet_sizes(checked(part("side", box(0, 0, 195, 280))))
    assert (found.code, found.grade, found.part) == ("part-too-large", "stop", "side")
    assert "195.0 × 280.0 mm" in found.message
    assert "290.0 × 190.0 mm" in found.message


def test_checks_and_sheets_tell_of_the_same_layer_and_the_same_size():
    text = b'scale = "1:2"\nboard = "chipboard-22"\n[form]\nname = "boxed-seat"\n'
    build = pipeline.Build(pipeline.read_design(text, "design", Path(), pipeline.known_boards(None, "")))
    told = [f.message for f in build.findings if f.code == "part-too-large"]
    with pytest.raises(BuildError) as refused:
        build.sheets  # noqa: B018
    assert len(told) == 3
    assert all(message in str(refused.value) for message in told)


def test_a_part_whose_grain_is_fixed_may_not():
    board = Board("card", "Card", 0.5588, 300, 200, grain="y")
    along = part("side", box(0, 0, 280, 40), grain="along")
    (found,) = sheet_sizes(checked(along, boards=[board]))
    assert 'grain = "free"' in found.remedy
    assert sheet_sizes(checked(along)) == ()
    assert sheet_sizes(checked(part("side", box(0, 0, 280, 40)), boards=[board])) == ()


def test_a_slanting_part_is_laid_along_the_grain():
    slanting = part("rail", box(-140, -5, 140, 5), grain="along")
    turned_flat = slanting.outline.flat
    assert sheet_sizes(checked(slanting, carved={"rail": turned_flat})) == ()


def test_a_part_cut_in_two_is_a_stop():
    halves = rectangle(0, 0, 40, 30).difference(rectangle(20, -1, 23, 31))
    (found,) = fallen_apart(checked(part("top"), carved={"top": halves}))
    assert (found.code, found.grade, found.layer) == ("part-falls-apart", "stop", 1)
    assert "falls into 2 pieces" in found.message
    assert found.point[0] > 21  # the smaller piece
    assert fallen_apart(checked(part("top"))) == ()


def test_a_layer_that_a_groove_cuts_in_two_is_held_by_the_others():
    wall = part("wall")
    grooved = pieces(rectangle(0, 0, 40, 30).difference(rectangle(-1, 5, 41, 8)))
    whole = checked(wall)
    layers = (replace(whole.layers[0], regions=grooved), *whole.layers[1:])
    (found,) = fallen_apart(replace(whole, layers=layers))
    assert (found.code, found.grade, found.layer) == ("layer-in-pieces", "note", 1)
    assert "Layer A1 of wall is cut in 2 pieces" in found.message


def test_layers_grooved_in_the_same_place_from_both_sides_fall_apart_where_none_is_left():
    wall = part("wall", count=2)
    grooved = pieces(rectangle(0, 0, 40, 30).difference(rectangle(-1, 5, 41, 8)))
    shifted = pieces(rectangle(0, 0, 40, 30).difference(rectangle(-1, 12, 41, 14)))
    whole = checked(wall)
    first, second = whole.layers
    apart = replace(whole, layers=(replace(first, regions=grooved), replace(second, regions=grooved)))
    assert [f.code for f in fallen_apart(apart)] == ["part-falls-apart"]
    held = replace(whole, layers=(replace(first, regions=grooved), replace(second, regions=shifted)))
    assert [f.code for f in fallen_apart(held)] == ["layer-in-pieces"]


def test_a_layer_of_which_nothing_is_left_is_a_stop():
    (found,) = fallen_apart(checked(part("top"), carved={"top": rectangle(0, 0, 0.001, 0.001)}))
    assert found.code == "layer-empty"


def test_sizes_are_measured_in_the_piece_not_in_the_part():
    leg = part("leg", pose=upright(0, 0, 0).then(turned((0, 0, 1), 90)))
    assert outer_sizes(checked(leg, size=(THICK, 40.0, 30.0))) == ()
