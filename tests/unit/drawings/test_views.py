"""Drawings of a piece: whole, taken apart, step by step."""

import math
from dataclasses import replace

import numpy as np
import pytest

from laminature.drawings.exploded import exploded, step_drawing
from laminature.drawings.whole import whole
from laminature.geometry.pose import Pose
from laminature.geometry.region import box
from laminature.model.memory import Memory
from laminature.model.step import Assembly, Step

from .pieces_by_hand import DOWN, bottom_up, part, piece, table


def tones(drawing):
    return {f.tone for f in drawing.fills}


def letters(drawing):
    return sorted(t.text for t in drawing.texts)


def bounds(paths):
    points = np.concatenate([p.flattened for p in paths])
    return (*points.min(axis=0), *points.max(axis=0))


def everything(drawing):
    return [s.path for s in drawing.strokes] + [f.region.outline for f in drawing.fills]


def leaders(drawing):
    return [s.path.flattened for s in drawing.strokes if s.operation == "dimension" and not s.path.closed]


@pytest.mark.parametrize("room", [(150.0, 120.0), (60.0, 200.0), (300.0, 30.0)])
def test_a_whole_piece_fits_its_room_and_the_page_fits_the_piece(room):
    drawing = whole(*table(), room=room)
    x0, y0, x1, y1 = bounds(everything(drawing))
    assert drawing.width <= room[0] + 1e-9
    assert drawing.height <= room[1] + 1e-9
    assert min(x0, y0, drawing.width - x1, drawing.height - y1) >= 1.9


def test_lines_are_wide_for_large_drawings_and_narrow_for_small_ones():
    small, large = whole(*table(), room=(40, 40)), whole(*table(), room=(150, 150))
    assert small.wide == 0.25
    assert large.wide == 0.35


def test_a_part_alone_is_drawn_to_the_length_its_view_gives_it():
    drawing = whole(*piece(part("block", box(0, 0, 20, 10))), view=(0.0, 0.0), room=(44.0, 44.0))
    x0, y0, x1, y1 = bounds([s.path for s in drawing.strokes])
    # 20 × 10 mm in a room of 40: twice as large.
    assert (x1 - x0, y1 - y0) == pytest.approx((40.0, 20.0), abs=0.01)


def test_layer_lines_can_be_left_out():
    assert {s.operation for s in whole(*table(), seams=False).strokes} == {"visible", "edge"}
    assert "seam" in {s.operation for s in whole(*table()).strokes}


def test_a_memory_changes_nothing():
    memory = Memory()
    made, layers = table()
    assert whole(made, layers, memory=memory) == whole(made, layers, memory=memory) == whole(made, layers)


def test_taken_apart_each_part_has_its_letter():
    made, layers = table()
    for assembly in (None, bottom_up(made)):
        assert letters(exploded(made, layers, assembly)) == ["A", "B", "C"]
    assert letters(exploded(made, layers, bottom_up(made), labelled=False)) == []


def test_alike_parts_have_one_letter_between_them():
    made, layers = table()
    parts = tuple(replace(p, letter="A") if p.name == "right" else p for p in made.parts)
    assert letters(exploded(replace(made, parts=parts), layers)) == ["A", "C"]


def test_taken_apart_a_part_stands_off_along_its_way():
    made, layers = piece(
        part("foot", box(0, 0, 20, 20), letter="A"),
        part("top", box(0, 0, 20, 20), Pose((0, 0, 10)), letter="B"),
    )
    flat = {"view": (0.0, 0.0), "labelled": False, "room": (200.0, 200.0)}
    closed = bounds([s.path for s in whole(made, layers, view=(0.0, 0.0), room=(200.0, 200.0)).strokes])
    drawing = exploded(made, layers, bottom_up(made), **flat)
    apart = bounds([s.path for s in drawing.strokes])
    assert apart[3] - apart[1] > 1.1 * (closed[3] - closed[1])
    chains = [s.path for s in drawing.strokes if s.operation == "centre"]
    assert chains
    for chain in chains:
        (ax, _), (bx, _) = chain.flattened[[0, -1]]
        assert ax == pytest.approx(bx, abs=0.01)


def test_leaders_do_not_cross_and_circles_are_apart():
    made, layers = piece(
        *(part(f"p{n}", box(0, 0, 8, 30), Pose((11.0 * n, 0, 0)), letter="ABCDEFGH"[n]) for n in range(8))
    )
    drawing = exploded(made, layers)
    assert len(drawing.texts) == 8
    at = [(t.x, t.y) for t in drawing.texts]
    assert min(math.dist(a, b) for i, a in enumerate(at) for b in at[:i]) > 2 * 2.9
    lines = leaders(drawing)
    assert len(lines) == 8
    for i, one in enumerate(lines):
        for other in lines[:i]:
            assert not crossing(one, other)


def crossing(one, other):
    def left(a, b, c):
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return left(a, b, c) * left(a, b, d) < 0 and left(c, d, a) * left(c, d, b) < 0


def test_in_a_step_only_what_is_new_is_tinted_and_an_arrow_shows_its_way():
    made, layers = table()
    first, last = (step_drawing(made, layers, bottom_up(made), n) for n in (1, 2))
    assert tones(first) == {"card", "new", "arrow", "paper", "ink"}
    assert letters(first) == ["A", "B"]
    assert letters(last) == ["A", "B", "C"]
    arrow = next(f.region.outline.flattened for f in last.fills if f.tone == "arrow")
    # It comes from above: the head's tip is the lowest point.
    tip = arrow[np.argmin(arrow[:, 1])]
    assert tip[0] == pytest.approx(arrow[:, 0].mean(), abs=0.2)


def test_a_step_shows_what_hangs_together_with_it_and_nothing_else():
    made, layers = table()
    assembly = Assembly(
        (Step(1, ("top",), ("left",), DOWN, 10.0), Step(2, ("right",), ("top",), (0.0, 0.0, 1.0), 10.0))
    )
    assert letters(step_drawing(made, layers, assembly, 1)) == ["A", "C"]
    # The left part is there too, though the step does not name it.
    assert letters(step_drawing(made, layers, assembly, 2)) == ["B", "C"]
    few, more = (len(step_drawing(made, layers, assembly, n).fills) for n in (1, 2))
    assert more > few


def test_a_step_done_upside_down_is_drawn_upside_down():
    made, layers = table()
    way = (0.0, 0.0, 1.0)
    assembly = Assembly((Step(1, ("left",), ("top",), way, 10.0, down=way),))
    drawing = step_drawing(made, layers, assembly, 1)
    new = bounds([f.region.outline for f in drawing.fills if f.tone == "new"])
    old = bounds([f.region.outline for f in drawing.fills if f.tone == "card"])
    assert new[3] > old[3]


def test_a_step_that_is_not_there_is_refused():
    made, layers = table()
    with pytest.raises(KeyError):
        step_drawing(made, layers, bottom_up(made), 9)


def test_what_is_laid_down_first_has_no_arrow():
    made, layers = table()
    assembly = Assembly((Step(1, ("left",), (), DOWN, 0.0), Step(2, ("top",), ("left",), DOWN, 10.0)))
    assert tones(step_drawing(made, layers, assembly, 1)) == {"new", "ink"}
    assert letters(exploded(made, layers, assembly)) == ["A", "B", "C"]


def test_a_step_of_parts_without_layers_is_refused():
    made, layers = table()
    assembly = Assembly((Step(1, ("ghost",), ("spectre",), DOWN, 10.0),))
    with pytest.raises(KeyError):
        step_drawing(made, layers, assembly, 1)


def test_an_assembly_without_steps_is_none():
    made, layers = table()
    assert exploded(made, layers, Assembly()) == exploded(made, layers, None)


def test_many_parts_all_have_room_for_their_letters():
    many = [
        part(f"p{n}", box(0, 0, 2, 2), Pose((3.0 * (n % 7), 3.0 * (n // 7), 0)), count=1, letter=f"{n}")
        for n in range(49)
    ]
    assert len(exploded(*piece(*many)).texts) == 49
