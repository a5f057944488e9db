"""What the tasks of a kit are, and what waits for what."""

from dataclasses import replace

import pytest

from laminature import front
from laminature.geometry.flat import rectangle
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.step import Assembly, Step
from laminature.planning.tasks import tasks_for

from ...planned import BOLLARD, EXAMPLES, RATES, WORDS, built, tasks_of


def named(tasks):
    return {t.name: t for t in tasks}


def before(tasks, name):
    """All that has to be over before a task begins."""
    known, found, left = named(tasks), set(), [name]
    while left:
        for other in known[left.pop()].after:
            if other not in found:
                found.add(other)
                left.append(other)
    return found


def tasks_with(name, assembly=None, rates=RATES, cutter="knife", seconds=600.0):
    b = built(name)
    times = {sheet.name: seconds for sheet in b.sheets}
    return tasks_for(
        b.piece, b.joints, b.cut_layers, b.sheets, assembly, b.cushions, rates, times, WORDS, cutter
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_is_glued_hardened_on_both_faces_and_assembled(name):
    tasks = tasks_of(name)
    for part in built(name).piece.parts:
        mine = [t for t in tasks if part.name in t.parts]
        kinds = [t.kind for t in mine]
        for kind in ("glue", "dry", "check", "dry-fit", "sand", "assemble", "reinforce", "stain", "air"):
            assert kind in kinds, (part.name, kind)
        assert [t.name.rpartition("/")[2] for t in mine if t.kind == "harden"] == ["lower", "upper"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_ca_comes_only_after_water_glue_has_dried(name):
    """12 h between the glue of a stack, or of the joints, and the CA on it."""
    tasks = tasks_of(name)
    known = named(tasks)
    for task in tasks:
        if task.kind in ("harden", "reinforce"):
            glued = {n for n in before(tasks, task.name) if known[n].kind in ("glue", "assemble")}
            drying = {n for n in before(tasks, task.name) if known[n].kind == "dry"}
            assert all(any(g in known[d].after or g in before(tasks, d) for d in drying) for g in glued)
            assert all(known[d].wait >= 720.0 for d in drying)


@pytest.mark.parametrize("name", EXAMPLES)
def test_stain_comes_after_ca_but_where_a_brush_does_not_reach_later(name):
    """What is coated before assembly is masked, coated, dry and uncovered before its parts are glued."""
    tasks = tasks_of(name)
    early = [t for t in tasks if t.name.startswith("first/")]
    coats = [t for t in tasks if t.kind in ("stain", "top")]
    wood = {p.name for p in built(name).piece.parts}
    ca = {t.name for t in tasks if t.kind in ("harden", "reinforce") and wood.intersection(t.parts)}
    for task in coats:
        assert task in early or ca <= before(tasks, task.name)
    glued = [t for t in tasks if t.kind == "assemble" and t.name.startswith("step/")]
    for task in early:
        assert all(
            task.name in before(tasks, t.name)
            for t in glued
            if set(t.parts) & set(task.parts) and t.name in before(tasks, "reinforce")
        )
    assert {t.kind for t in early} == ({"mask", "stain", "top"} if early else set())
    assert bool(early) == (name in ("chart-rack", "tide-chest"))


@pytest.mark.parametrize("name", ["window-seat", "lookout-stool"])
def test_cloth_comes_only_after_everything_has_aired(name):
    tasks = tasks_of(name)
    fumes = {t.name for t in tasks if t.kind in ("harden", "reinforce", "stain", "top", "air")}
    soft = [t for t in tasks if t.kind == "upholster"]
    assert soft
    assert all(fumes <= before(tasks, t.name) for t in soft)
    assert named(tasks)["air"].wait == 1440.0


def test_the_order_of_stages():
    tasks = tasks_of("lamp-table")
    known = named(tasks)
    stages = ["cut", "weed", "glue", "dry", "harden", "check", "ease", "dry-fit", "sand", "assemble"]
    last = [t for t in before(tasks, "top") if known[t].kind in stages]
    assert {known[t].kind for t in last} == set(stages)
    assert before(tasks, "dry-fit") >= {t.name for t in tasks if t.kind in ("ease", "check")}
    assert all("dry-fit" in before(tasks, t.name) for t in tasks if t.kind == "sand")


def test_one_cutter_cuts_one_sheet_at_a_time():
    tasks = named(tasks_with("window-seat"))
    assert tasks["cut/sheet-2"].after == ("cut/sheet-1",)
    assert (tasks["cut/sheet-1"].hands, tasks["cut/sheet-1"].wait) == (RATES.cut.sheet, 10.0)


def test_a_laser_is_never_unattended():
    task = named(tasks_with("lamp-table", cutter="laser"))["cut/sheet-1"]
    assert (task.hands, task.wait) == (RATES.cut.sheet + 10.0, 0.0)


def test_alike_stacks_are_glued_in_one_go_of_bounded_length():
    tasks = tasks_of("chart-rack")
    parts = {p.name: p for p in built("chart-rack").piece.parts}
    dividers = next(t for t in tasks if t.kind == "glue" and "divider-1" in t.parts)
    assert len(dividers.parts) == 4
    short = replace(RATES, glue=replace(RATES.glue, batch=0.0))
    single = [t for t in tasks_with("chart-rack", rates=short) if t.kind == "glue"]
    assert sorted(p for t in single for p in t.parts) == sorted(parts)
    assert all(len(t.parts) == 1 for t in single)


def test_steps_wait_only_for_steps_that_hold_the_same_parts():
    """Two halves that cure apart, and then are put together."""
    steps = (
        Step(1, ("side-1",), ("seat",), (0.0, 0.0, 1.0), 5.0, ("seat/side-1",), hold="clamp"),
        Step(2, ("back",), ("rail",), (0.0, 0.0, 1.0), 5.0, (), hold="weight"),
        Step(3, ("rail", "back"), ("side-1",), (0.0, 1.0, 0.0), 5.0, ("side-1/rail",), hold="hand"),
    )
    tasks = tasks_with("slat-chair", Assembly(steps, ((2,),)))
    known = named(tasks)
    assert "step/1" not in before(tasks, "step/2")
    assert {"step/1", "step/2"} <= set(known["step/3"].after)
    assert known["step/1"].wait == RATES.join.clamp
    assert known["step/2"].wait == RATES.join.weight
    assert known["step/3"].wait == 0.0
    assert known["step/3"].hands == RATES.join.step + RATES.join.joint + RATES.join.hand
    assert {"step/1", "step/2", "step/3"} <= before(tasks, "reinforce")


def test_what_stays_loose_is_put_in_last():
    steps = (
        Step(1, ("wall-left",), ("wall-front",), (0.0, 0.0, 1.0), 5.0, ()),
        Step(2, ("lid",), ("wall-front",), (0.0, 0.0, -1.0), 5.0, (), "none", hold="none", loose=True),
    )
    tasks = tasks_with("tide-chest", Assembly(steps))
    assert "step/2" not in named(tasks)
    assert tasks[-1].name == "put-in"
    assert "air" in before(tasks, "put-in")


def test_a_cushion_that_is_glued_on_comes_after_its_cloth():
    steps = (
        Step(1, ("panel-2",), ("top",), (0.0, 0.0, 1.0), 5.0, ("top/panel-2",)),
        Step(2, ("panel-1",), ("top", "panel-2"), (0.0, 0.0, 1.0), 5.0, ("top/panel-1",)),
        Step(3, ("cushion",), ("top",), (0.0, 0.0, -1.0), 5.0, (), "tube", hold="weight"),
    )
    tasks = tasks_with("lookout-stool", Assembly(steps))
    assert {"air", "piping/cushion"} <= before(tasks, "step/3")
    assert "step/3" not in before(tasks, "reinforce")
    assert named(tasks)["step/3"].wait == RATES.join.weight
    assert named(tasks)["step/1"].title == "Step 1: C, Leg panel, to A"
    assert "put-in" not in named(tasks)


def test_a_cushion_of_a_parts_name_leaves_the_part_in_its_step():
    b = built("lookout-stool")
    cushions = tuple(replace(made, name="panel-1") for made in b.cushions)
    steps = (Step(1, ("panel-1",), ("top",), (0.0, 0.0, 1.0), 5.0, ("top/panel-1",)),)
    tasks = tasks_for(b.piece, b.joints, b.cut_layers, b.sheets, Assembly(steps), cushions, RATES, {}, WORDS)
    assert "step/1" in before(tasks, "reinforce")


def test_a_single_part_is_not_assembled():
    region = (rectangle(0.0, 0.0, 40.0, 30.0),)
    layers = [Layer("slab", "A", n, "card", 0.5 * n - 0.5, 0.5 * n, region, region) for n in (1, 2)]
    tasks = tasks_for(Piece("A slab", ()), (), layers, (), None, (), RATES, {}, WORDS)
    kinds = {t.kind for t in tasks}
    assert not kinds & {"assemble", "reinforce", "dry-fit", "fill", "upholster"}
    assert {"glue", "harden", "sand", "stain", "air"} <= kinds


def test_nothing_has_no_tasks():
    assert tasks_for(Piece("Nothing", ()), (), (), (), None, (), RATES, {}, WORDS) == ()


def test_no_coats_are_no_tasks():
    bare = replace(RATES, coat=replace(RATES.coat, stains=0, tops=0))
    kinds = {t.kind for t in tasks_with("lamp-table", rates=bare)}
    assert not kinds & {"stain", "top"}
    assert "air" in kinds


def test_hands_on_time_comes_from_geometry():
    """The bottom of the chest: 2255 mm² on each glue line, its edges 201 mm long."""
    known = named(tasks_of("tide-chest"))
    # 1 min for the stack, 4 × 0.75 for the layers, 3 × 0.2255 dm² at 1 min: 4.68, in half minutes 4.5.
    assert known["glue/C"].hands == 4.5
    # 1 min for the face and 0.2255 dm² at 2 min: 1.45; the upper one besides 0.201 m at 1.5 min: 1.75.
    assert known["harden/C/lower"].hands == 1.5
    assert known["harden/C/upper"].hands == 2.0
    # Walls A: two fingers' slots at either end and a housing, in two parts: 10 min.
    assert known["ease/A"].hands == 10.0


def test_a_face_that_is_glued_on_last_comes_after_the_joints(tmp_path):
    file = tmp_path / "bollard.toml"
    file.write_text(BOLLARD, "utf-8")
    b = front.build(front.read(file))
    assert any(layer.last for layer in b.layers)
    tasks = tasks_for(b.piece, b.joints, b.cut_layers, b.sheets, None, (), RATES, {}, WORDS)
    assert "reinforce" in before(tasks, "face/top")
    assert "face-dry/top" in before(tasks, "face-harden/top")
    assert "face-harden/top" in before(tasks, "stain/1")
