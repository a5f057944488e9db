"""What the finish page knows: faces a brush hardly reaches, strips to mask, and what is sanded and coated."""

from dataclasses import replace

import pytest

from laminature.geometry.pose import Pose
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.fit import HAND_STACKED
from laminature.model.part import Part
from laminature.model.stack import stack
from laminature.pipeline.reading import guide_words
from laminature.planning.finishing import finishing
from laminature.planning.measures import measured, surface
from laminature.planning.reaching import OPEN, openness
from laminature.writers.finish_words import finish_page

from ...planned import EXAMPLES, RATES, built, supplies_of

BOARD = Board("card", "Card", 0.5, 300.0, 200.0)


def plate(name, origin=(0.0, 0.0, 0.0), size=(40.0, 40.0)):
    return Part(name, name, box(0.0, 0.0, *size), stack(BOARD, 2), Pose(origin))


def finish_of(name, rates=RATES, fit=HAND_STACKED):
    b = built(name)
    return finishing(b.piece, b.joints, b.layers, b.cushions, rates, fit)


def parts_of(name):
    return {p.letter: p for p in finish_of(name).parts}


def test_a_plate_alone_is_open_and_one_close_to_another_is_not():
    low, high = plate("low"), plate("high", (0.0, 0.0, 6.0))
    assert openness(low, "upper", ()) == 1.0
    assert openness(low, "upper", [high]) < OPEN
    assert openness(low, "lower", [high]) == 1.0
    # The same plate far off hinders nobody.
    assert openness(low, "upper", [plate("far", (0.0, 0.0, 80.0))]) == 1.0


def test_what_lies_flat_on_a_face_covers_it_and_is_in_no_ones_way():
    low, half = plate("low"), plate("half", (0.0, 0.0, 1.0), (20.0, 40.0))
    whole = plate("whole", (0.0, 0.0, 1.0))
    assert openness(low, "upper", [half]) > 0.9
    assert openness(low, "upper", [whole]) == 1.0


def test_half_of_all_ways_are_free_beside_a_wall_without_end():
    """Ways are weighed as light is: of a strip at the foot of a tall wall half are hidden."""
    wall = Part("wall", "wall", box(-500.0, -500.0, 500.0, 500.0), stack(BOARD, 1))
    wall = wall.placed(Pose((0.0, -0.3, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)))
    strip = plate("strip", size=(300.0, 0.4))
    near = openness(strip, "upper", [wall])
    assert near == pytest.approx(0.5, abs=0.06)


def test_a_rack_is_coated_inside_before_assembly_and_a_table_afterwards():
    rack = parts_of("chart-rack")
    assert [face for face, _ in rack["E"].before] == ["lower", "upper"]
    assert [face for face, _ in rack["A"].before] == ["lower"]
    assert not any(p.before for p in finish_of("lamp-table").parts)


def test_a_wall_of_the_chest_is_masked_where_bottom_and_walls_meet_it():
    """The front wall, inside: two corners over its height and the bottom's edge."""
    wall, b = parts_of("tide-chest")["A"], built("tide-chest")
    assert [face for face, _ in wall.before] == ["lower"]
    mine = [j for j in b.joints if j.receiver == "wall-front" and j.contact.kind != "faces"]
    lengths = [sum(run.length for run in j.contact.runs) for j in mine]
    assert sum(s.length for s in wall.masked) == pytest.approx(sum(lengths))
    assert {round(s.width, 2) for s in wall.masked} == {2.32} or len(wall.masked) == len(mine)


@pytest.mark.parametrize("name", EXAMPLES)
def test_lengths_and_areas_are_those_of_plan_and_supplies(name):
    b, finish = built(name), finish_of(name)
    stacks = [s for s in measured(b.piece, b.joints, b.layers, b.cushions) if not s.cushion]
    assert finish.edge == pytest.approx(sum(p.edge * p.count for p in finish.parts), rel=1e-3)
    assert finish.area == pytest.approx(surface(stacks))
    assert sum(p.count for p in finish.parts) == len(b.piece.parts)
    bought = {s.kind: s.amount for s in supplies_of(name)}
    left = 1.0 + RATES.spread.left
    assert bought["stain"] == pytest.approx(finish.stain * finish.stains * left)
    assert bought["top_coat"] == pytest.approx(finish.top * finish.tops * left)


def test_what_stays_loose_is_named_and_the_room_for_coats_too():
    told = finish_page(finish_of("tide-chest"), guide_words("british"))
    assert any("D, E stay loose" in line for line in told.bare)
    assert not any("kept for coats" in line for line in told.bare)
    told = finish_page(finish_of("chart-rack", fit=replace(HAND_STACKED, coats=0.04)), guide_words("british"))
    assert any("0.04 mm on each side are kept for coats" in line for line in told.bare)
    assert any("the fit is 0.13 mm" in line for line in told.bare)


@pytest.mark.parametrize("stains", [0, 1, 2, 3])
@pytest.mark.parametrize("tops", [0, 1, 2])
def test_coats_come_in_their_order_and_as_many_as_the_rates_say(stains, tops):
    rates = replace(RATES, coat=replace(RATES.coat, stains=stains, tops=tops))
    told = finish_page(finish_of("window-seat", rates), guide_words("american"))
    firsts = [line.partition(":")[0].partition(",")[0].partition(" ")[0] for line in told.steps]
    wanted = ["Try", "Sand", *(["When"] if finish_of("window-seat").seam >= 5.0 else []), "Go"]
    wanted += [["Stain", "First"][stains > 1], "If"] if stains else []
    wanted += [["Second", "Stain"][stains > 2]] if stains > 1 else []
    wanted += ["Top"] if tops else []
    assert firsts == [*wanted, "Let"]
    assert "batting" in told.steps[-1] and any("batting" in line for line in told.bare)


def test_a_lone_board_has_a_finish_page_without_joints():
    finish = finish_of("lamp-table")
    alone = finish_page(replace(finish, parts=finish.parts[:1], joints=0, seam=0.0), guide_words("british"))
    assert alone.bare == ()
    assert alone.rows[0].part == "A  Top" and alone.rows[0].before == ""
