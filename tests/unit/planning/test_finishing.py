"""What the finish page knows: faces a brush hardly reaches, strips to mask, and what is sanded and coated."""

from dataclasses import replace

import pytest

from laminature import front
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
from laminature.planning.tasks import tasks_for
from laminature.planning.words import step_words
from laminature.writers.finish_words import finish_page

from ...planned import BOLLARD, EXAMPLES, RATES, WORDS, built, supplies_of

BOARD = Board("card", "Card", 0.5, 300.0, 200.0)


def plate(name, origin=(0.0, 0.0, 0.0), size=(40.0, 40.0)):
    return Part(name, name, box(0.0, 0.0, *size), stack(BOARD, 2), Pose(origin))


def finish_of(name, rates=RATES, fit=None):
    b = built(name)
    joints = b.joints if fit is None else [replace(joint, fit=fit) for joint in b.joints]
    return finishing(b.piece, joints, b.layers, b.cushions, rates)


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
    assert finish.area == pytest.approx(sum(p.area * p.count for p in finish.parts))
    bought = {s.kind: s.amount for s in supplies_of(name)}
    left = 1.0 + RATES.spread.left
    assert bought["stain"] == pytest.approx(finish.stain * finish.area * finish.stains * left)
    assert bought["top_coat"] == pytest.approx(finish.top * finish.area * finish.tops * left)


def dm2(title):
    return float(title.rpartition(", ")[2].removesuffix(" dm²"))


@pytest.mark.parametrize("stains", [0, 2])
@pytest.mark.parametrize("tops", [0, 1, 2])
@pytest.mark.parametrize("name", EXAMPLES)
def test_page_and_plan_say_the_same_of_what_is_coated_before_assembly(name, stains, tops):
    """The same parts, the same areas, the same order; what is coated already is not counted again."""
    rates = replace(RATES, coat=replace(RATES.coat, stains=stains, tops=tops))
    b, finish = built(name), finish_of(name, rates)
    tasks = tasks_for(b.piece, b.joints, b.cut_layers, b.sheets, b.assembly, b.cushions, rates, {}, WORDS)
    first = [t for t in tasks if t.name.startswith("first/")]
    letters = {p.name: p.letter for p in b.piece.parts}
    early = {p.letter for p in finish.parts if p.before}
    assert {letters[part] for t in first for part in t.parts} == early
    coats = [t for t in first if t.kind in ("stain", "top")]
    assert len(coats) == (stains + tops if early else 0)
    rest = [t for t in tasks if t.kind in ("stain", "top") and t not in first]
    assert len(rest) == stains + tops
    assert all(dm2(t.title) == pytest.approx(finish.first / 1e4, abs=0.051) for t in coats)
    assert all(dm2(t.title) == pytest.approx(finish.rest / 1e4, abs=0.051) for t in rest)
    told = finish_page(finish, WORDS).steps
    before = [n for n, line in enumerate(told) if line.startswith("Before assembly coat")]
    join = [n for n, line in enumerate(told) if line.startswith("Put the piece together")]
    stain = [n for n, line in enumerate(told) if line.startswith(("Stain", "First stain", "Top coat"))]
    assert bool(before) == bool(early)
    assert [*before, *join, *stain] == sorted([*before, *join, *stain])
    if early:
        assert f"{finish.first / 100.0:.0f} cm²" in told[before[0]]
        assert f"{finish.rest / 100.0:.0f} cm²" in next(x for x in told if x.startswith("Go over"))


def test_the_fit_is_that_of_the_joints_not_of_the_design():
    """Layers of the slat chair are held by pins, so its joints are narrower than the design's own fit."""
    sides = {f"{j.fit.side:.2f}" for j in built("slat-chair").joints if j.kind not in ("glue", "cleat")}
    told = finish_page(finish_of("slat-chair"), WORDS).bare[0]
    assert sides == {"0.04"} and "the fit is 0.04 mm" in told
    b = built("slat-chair")
    mixed = [replace(j, fit=HAND_STACKED) if n == 0 else j for n, j in enumerate(b.joints)]
    told = finish_page(finishing(b.piece, mixed, b.layers, b.cushions, RATES), WORDS).bare[0]
    assert "the fits are 0.04 to 0.09 mm" in told
    butted = [replace(j, kind="glue") for j in b.joints]
    told = finish_page(finishing(b.piece, butted, b.layers, b.cushions, RATES), WORDS).bare[0]
    assert "mm on each side" not in told


def test_a_face_that_is_glued_on_last_is_named_and_its_core_sanded_flush(tmp_path):
    file = tmp_path / "bollard.toml"
    file.write_text(BOLLARD, "utf-8")
    b = front.build(front.read(file))
    assert any(layer.last for layer in b.layers)
    told = finish_page(b.finish, WORDS)
    letter = b.piece.part("top").letter
    assert any(f"upper ({letter}4)" in row.faces for row in told.rows)
    flush = [n for n, line in enumerate(told.steps) if line.startswith(f"Sand the core of {letter} flush")]
    assert len(flush) == 1 and told.steps[flush[0] - 1].startswith("Put the piece together")
    assert any(f"Sand the core of {letter}" in t.title and t.name == "face/top" for t in b.plan.tasks)
    (step,) = (s for s in b.assembly.steps if s.face)
    assert f"Sand the core of {letter} (top) flush" in step_words(step, b.piece, WORDS)


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
    wanted = ["Try", "Sand", "Put", *(["When"] if finish_of("window-seat").seam >= 5.0 else []), "Go"]
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
