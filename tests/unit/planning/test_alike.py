"""Steps in a row that repeat each other are told as one run; all others stand alone."""

from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.region import box
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack
from laminature.model.step import Assembly, Step
from laminature.planning.alike import FEW, runs_of_alike

DOWN = (0.0, 0.0, -1.0)
STACK = Stack(("b",), (1.0,), 1.0)


def post(name, letter):
    return Part(name, name, box(0.0, 0.0, 1.0, 1.0), STACK, letter=letter)


def row(letters, **differs):
    """A step for each letter, onto one board; ``differs`` gives fields of a step by its number."""
    names = [f"{letter}-{n}" for n, letter in enumerate(letters, start=1)]
    piece = Piece("Row", (post("board", "Z"), *(post(n, n[0]) for n in names)))
    steps = tuple(
        Step(n, (name,), ("board",), DOWN, 1.0, **differs.get(f"step_{n}", {}))
        for n, name in enumerate(names, start=1)
    )
    return [[s.number for s in run] for run in runs_of_alike(Assembly(steps), piece)]


def test_many_alike_are_one_run_and_a_few_are_not():
    assert row("B" * (FEW + 1)) == [list(range(1, FEW + 2))]
    assert row("B" * FEW) == [[n] for n in range(1, FEW + 1)]


def test_another_letter_way_or_hold_ends_a_run():
    assert row("BBBBBCBBBBB") == [[1, 2, 3, 4, 5], [6], [7, 8, 9, 10, 11]]
    assert row("BBBBBB", step_6={"hold": "clamp"}) == [[1, 2, 3, 4, 5], [6]]
    assert row("BBBBBB", step_1={"down": (0.0, 0.0, 1.0)}) == [[1], [2, 3, 4, 5, 6]]


def test_steps_that_wait_for_others_are_never_put_together():
    waits = {f"step_{n}": {"open_until": 9} for n in range(1, 7)}
    assert row("BBBBBB", **waits) == [[n] for n in range(1, 7)]


@given(st.text("BC", max_size=40))
def test_every_step_is_in_one_run_and_none_changes_its_place(letters):
    assert [n for run in row(letters) for n in run] == list(range(1, len(letters) + 1))
