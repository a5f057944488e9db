"""In which order a piece is put together, and when there is no order."""

import pathlib
import time
from dataclasses import replace

import numpy as np
import pytest

import laminature as lam
from laminature import pipeline
from laminature.geometry.pose import facing
from laminature.geometry.region import Region, box
from laminature.joinery.contacts import find_contacts
from laminature.joinery.joints import make_joints
from laminature.layering.layers import make_layers
from laminature.model.fit import Fit
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack
from laminature.pipeline.reading import guide_words
from laminature.planning.assembly import order_of_assembly
from laminature.planning.words import step_words

from ...cleated import cleated

WORDS = guide_words("british")

EXAMPLES = pathlib.Path(__file__).parents[3] / "examples"
UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
FIT = Fit("test", across=0.1, along=0.15, end=0.2, lead_in=0.0)


def stack(count=4, layer=0.5):
    return Stack(("b",) * count, (layer,) * count, layer * count)


def part(name, outline, origin, x=(1, 0, 0), y=(0, 1, 0), layers=4, **more):
    return Part(name, name, outline, stack(layers), facing(origin, x, y), **more)


def planned(*parts, rules=(), joints=True):
    piece = Piece("test", tuple(parts), tuple(rules))
    made = make_joints(piece, find_contacts(piece.parts), FIT)[0] if joints else ()
    assembly, found = order_of_assembly(piece, made, make_layers(piece, made, 0.0))
    return assembly.steps, [f.code for f in found], (piece, assembly, found)


def ring(name, half_long, half_short, long, short):
    """A flat frame about the origin, 2 mm wide, its plane spanned by two axes."""
    outer = box(-half_long, -half_short, half_long, half_short)
    inner = box(2 - half_long, 2 - half_short, half_long - 2, half_short - 2)
    normal = np.cross(long, short)
    return part(name, Region(outer.outline, (inner.outline,)), tuple(-1.0 * normal), long, short)


# --- what can be put together ---------------------------------------------------------


def test_a_halved_cross_is_one_step_straight_down():
    x = part("x", box(-20, 0, 20, 30), (0, 1, 0), (1, 0, 0), (0, 0, 1), letter="A")
    y = part("y", box(-20, 0, 20, 30), (-1, 0, 0), (0, 1, 0), (0, 0, 1), letter="A")
    (step,), codes, (piece, *_) = planned(x, y)
    assert codes == []
    assert {*step.moving, *step.onto} == {"x", "y"}
    assert abs(step.way[2]) == pytest.approx(1.0)
    assert step.travel == pytest.approx(15.0)
    assert step.closes == (("halving", 1),)
    assert "1 halving; fine tip; hold by hand until it grabs." in step_words(step, piece, WORDS)


def test_a_piece_of_one_part_has_no_steps():
    steps, codes, _ = planned(part("only", box(0, 0, 9, 9), (0, 0, 0)))
    assert (steps, codes) == ((), [])


def test_parts_that_nothing_joins_are_still_told():
    """That they are not attached is another finding."""
    steps, codes, _ = planned(*(part(f"p{k}", box(0, 0, 9, 9), (0, 0, 10 * k)) for k in range(3)))
    assert codes == []
    assert len(steps) == 2


def test_lots_that_nothing_joins_are_built_by_themselves_and_set_down_from_above():
    x = part("x", box(-20, 0, 20, 30), (0, 1, 0), (1, 0, 0), (0, 0, 1), letter="A")
    y = part("y", box(-20, 0, 20, 30), (-1, 0, 0), (0, 1, 0), (0, 0, 1), letter="A")
    plates = [part(f"p{k}", box(0, 0, 9, 9), (60, 12 * k, 0)) for k in range(2)]
    steps, codes, _ = planned(x, y, *plates)
    assert codes == []
    assert {*steps[0].moving, *steps[0].onto} == {"x", "y"}
    assert [(s.moving, s.way) for s in steps[1:]] == [(("p0",), DOWN), (("p1",), DOWN)]


def test_a_lot_that_another_roofs_over_comes_before_it():
    roof = part("roof", box(-30, -30, 30, 30), (0, 0, 40))
    block = part("block", box(-5, -5, 5, 5), (0, 0, 0))
    (step,), codes, _ = planned(roof, block)
    assert codes == []
    assert (step.moving, step.onto, step.way) == (("roof",), ("block",), DOWN)


def test_a_great_many_that_nothing_joins_take_no_time():
    """Puzzled out part by part 199 of them took half a minute."""
    parts = [part(f"p{k}", box(0, 0, 9, 9), (12 * (k % 15), 12 * (k // 15), 0)) for k in range(199)]
    began = time.process_time()
    steps, codes, _ = planned(*parts, joints=False)
    assert (len(steps), codes) == (198, [])
    assert time.process_time() - began < 5.0


def test_legs_are_crossed_first_and_go_onto_a_top_that_lies_face_down():
    build = lam.build(lam.read(EXAMPLES / "lamp-table.toml"))
    assembly, found = order_of_assembly(build.piece, build.joints, build.layers)
    assert not found
    *legs, last = assembly.steps
    assert {name for s in legs for name in (*s.moving, *s.onto)} == {"panel-1", "half-1", "half-2"}
    assert last.onto == ("top",)
    assert (last.way, last.down) == (UP, UP)
    assert assembly.apart == ((1, 2),)
    assert step_words(last, build.piece, WORDS) == (
        "Put B (panel-1), C (half-1) and D (half-2), put together before, onto A (top) from above, "
        "the work lying upside down: 4 tabs; fine tip; clamp until it has set."
    )


def test_a_triangle_of_boards_closes_all_at_once():
    """The tab of every board goes into the face of the next: none of them can come last."""
    boards, reach = [], 40.0 - 1.0 / np.sin(np.radians(60.0))
    for k, (cx, cy) in enumerate(((0.0, 0.0), (40.0, 0.0), (20.0, 40.0 * np.sin(np.radians(60.0))))):
        dx, dy = np.cos(np.radians(120.0 * k)), np.sin(np.radians(120.0 * k))
        corner = (cx - dy, cy + dx, 0.0)
        boards.append(part(f"b{k}", box(-8.0, 0.0, reach, 20.0), corner, (dx, dy, 0.0), (0, 0, 1)))
    steps, codes, (piece, *_) = planned(*boards)
    assert codes == []
    (last,) = (s for s in steps if s.spread)
    assert last is steps[-1]
    assert "push all home together" in step_words(last, piece, WORDS)


def test_a_seat_closes_together_with_its_splayed_sides():
    build = lam.build(lam.read(EXAMPLES / "slat-chair.toml"))
    assembly, found = order_of_assembly(build.piece, build.joints, build.layers)
    assert not found
    (step,) = (s for s in assembly.steps if s.spread)
    apart = dict(step.spread)
    assert {"seat"} <= {*step.moving, *step.onto}
    assert set(apart) == {"side-1", "side-2"}
    # The rail's joints wait for it.
    assert [s.open_until for s in assembly.steps] == [3, 3, 0, 0]
    assert step_words(assembly.steps[0], build.piece, WORDS).endswith("until step 3, which follows at once.")
    # The sides splay by 6°: over the length of a tab they stand apart by its tangent.
    assert abs(apart["side-1"][0]) * step.travel == pytest.approx(1.75 * np.tan(np.radians(6.0)), abs=0.01)


# --- last things ----------------------------------------------------------------------


def built(text):
    design = pipeline.read_design(text.encode(), "x.toml", pathlib.Path(), pipeline.known_boards(None, ""))
    return pipeline.Build(design)


def test_a_cleat_comes_after_the_parts_that_it_holds():
    build = built(cleated())
    assembly, _ = order_of_assembly(build.piece, build.joints, build.layers)
    assert assembly.steps[-1].moving == ("cleat-1",)


def test_a_glued_frame_comes_after_the_joints_under_a_weight_and_the_cushion_after_that():
    build = lam.build(lam.read(EXAMPLES / "window-seat.toml"))
    assembly, _ = order_of_assembly(build.piece, build.joints, build.layers, build.cushions)
    *walls, frame, cushion = assembly.steps
    assert all(w.onto[0] == "seat" and w.way == UP == w.down for w in walls)
    assert (frame.moving, frame.glue, frame.hold, frame.down) == (("frame",), "tube", "weight", DOWN)
    assert (cushion.moving, cushion.loose, cushion.glue) == (("cushion",), True, "none")


@pytest.mark.parametrize(
    ("size", "face", "hold"),
    [("5 in", "upper", "hand"), ("16 in", "upper", "weight"), ("16 in", "lower", "weight")],
)
def test_a_cushion_is_glued_on_under_a_weight_where_it_is_large(size, face, hold):
    """From 100 mm² on, as docs/assembly.md says; the work lies so that the weight can rest on it."""
    build = built(f"""
title = "Seat"
board = "chipboard-22"
[[part]]
name = "seat"
shape = "rectangle"
width = "{size}"
height = "{size}"
layers = 4
at = [0, 0, 0]
[cushion]
on = "seat"
face = "{face}"
pattern = "plain"
inset = "1 mm"
""")
    (step,) = order_of_assembly(build.piece, build.joints, build.layers, build.cushions)[0].steps
    assert (step.moving, step.glue, step.hold) == (("cushion",), "tube", hold)
    assert hold == "hand" or step.down == step.way


def test_a_face_is_glued_on_when_the_rest_stands():
    text = (EXAMPLES / "tide-chest.toml").read_text().replace('"thumbnail"', '"straight"')
    build = built(text + '\n[[stack]]\nparts = "lid"\nface_last = true\n')
    assembly, found = order_of_assembly(build.piece, build.joints, build.layers)
    assert not found
    *_, face, put_in = assembly.steps
    assert (face.face, face.moving, face.glue, face.hold) == (True, ("lid",), "tube", "weight")
    assert put_in.loose


# --- what cannot ----------------------------------------------------------------------


def test_two_links_of_a_chain_lock_each_other():
    one = ring("one", 10.0, 10.0, (1, 0, 0), (0, 1, 0))
    two = ring("two", 10.0, 10.0, (1, 0, 0), (0, 0, 1))
    two = replace(two, pose=two.pose.moved(dx=9.0))
    steps, codes, (_, _, (found,)) = planned(one, two, joints=False)
    assert (steps, codes, found.grade) == ((), ["locked-together"], "stop")
    assert found.message.startswith("one and two lock each other")


def test_three_rings_lock_each_other_though_no_two_of_them_do():
    """Borromean rings of rigid frames: each lies within the next."""
    x, y, z = (1, 0, 0), (0, 1, 0), (0, 0, 1)
    rings = [ring("one", 20.0, 10.0, x, y), ring("two", 20.0, 10.0, y, z), ring("three", 20.0, 10.0, z, x)]
    _, codes, (_, _, (found,)) = planned(*rings, joints=False)
    assert codes == ["locked-together"]
    assert found.message.startswith("one, two and three lock each other")
    for left_out in rings:
        others = [r for r in rings if r is not left_out]
        assert planned(*others, joints=False)[1] == []


def test_only_those_that_lock_each_other_are_named():
    one = ring("one", 10.0, 10.0, (1, 0, 0), (0, 1, 0))
    two = ring("two", 10.0, 10.0, (1, 0, 0), (0, 0, 1))
    two = replace(two, pose=two.pose.moved(dx=9.0))
    more = [part(f"far{k}", box(0, 0, 9, 9), (60 + 20 * k, 0, 0)) for k in range(3)]
    _, codes, (_, _, (found,)) = planned(one, *more, two, joints=False)
    assert codes == ["locked-together"]
    assert "far" not in found.message


def tray(z=0.0, **more):
    """A box, open above: its floor two layers, its rim eight."""
    from laminature.model.part import Rim

    outline = box(0, 0, 30, 30)
    return Part(
        "box",
        "box",
        outline,
        stack(10),
        facing((0, 0, z), (1, 0, 0), (0, 1, 0)),
        rim=Rim(8, box(2, 2, 28, 28)),
        **more,
    )


def test_a_block_in_a_closed_box_is_caught():
    cover = part("cover", box(0, 0, 30, 30), (0, 0, 5))
    block = part("block", box(5, 5, 20, 20), (0, 0, 1.2), group="block")
    steps, codes, (_, _, (found,)) = planned(tray(), cover, block)
    assert (steps, codes, found.grade) == ((), ["loose-part-caught"], "stop")
    assert "cover" in found.message or "box" in found.message


def test_a_block_under_a_lid_goes_in_first_and_the_lid_after_it():
    cover = part("cover", box(0, 0, 30, 30), (0, 0, 5), group="lid")
    block = part("block", box(5, 5, 20, 20), (0, 0, 1.2), group="block")
    steps, codes, (piece, *_) = planned(tray(), cover, block)
    assert codes == []
    assert [(s.moving, s.way, s.loose, s.glue) for s in steps] == [
        (("block",), DOWN, True, "none"),
        (("cover",), DOWN, True, "none"),
    ]
    assert step_words(steps[1], piece, WORDS) == "Put cover in from above, without glue: it stays loose."


def test_a_box_whose_lid_is_held_by_a_lip_on_both_sides_cannot_be_opened():
    """The lid lies in a groove all round: nothing of the box is open to it."""
    low, high = tray(), part("cover", box(0, 0, 30, 30), (0, 0, 5))
    lid = part("lid", box(2.5, 2.5, 27.5, 27.5), (0, 0, 3.2), layers=2, group="lid")
    _, codes, _ = planned(low, high, lid)
    assert codes == ["loose-part-caught"]


def test_parts_that_lie_in_each_other_are_left_to_the_finding_that_says_so():
    one, two = part("one", box(0, 0, 9, 9), (0, 0, 0)), part("two", box(0, 0, 9, 9), (3, 3, 1))
    _, codes, _ = planned(one, two, joints=False)
    assert codes == []
