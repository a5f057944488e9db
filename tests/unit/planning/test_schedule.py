"""Plans of a few tasks, whose best order one sees; and what is no plan."""

import pytest

from laminature.errors import ChoiceError
from laminature.model.task import Task
from laminature.planning.schedule import plan

from ...planned import DAY, check


def task(name, hands, wait=0.0, after=(), kind=""):
    return Task(name, kind or name, name, hands, wait, tuple(after))


def test_what_waits_longest_is_begun_first():
    tasks = (task("sweep", 10.0), task("glue", 10.0, 60.0), task("harden", 10.0, after=["glue"]))
    made = plan(tasks)
    assert [s.task for s in made.slots] == ["glue", "sweep", "harden"]
    assert (made.length, made.bound, made.naive) == (80.0, 80.0, 90.0)


def test_waits_run_overnight():
    tasks = (task("glue", 20.0, 720.0), task("harden", 20.0, after=["glue"]))
    made = plan(tasks, 60.0)
    assert [(s.start, s.end, s.evening) for s in made.slots] == [(0.0, 20.0, 1), (DAY, DAY + 20.0, 2)]
    assert made.length == made.bound == DAY + 20.0
    check(made, tasks, 60.0)


def test_no_task_is_torn_that_an_evening_holds():
    tasks = (task("a", 40.0), task("b", 40.0), task("long", 150.0))
    made = plan(tasks, 60.0)
    check(made, tasks, 60.0)
    assert [s.task for s in made.slots].count("long") == 3
    # Whichever comes first, the three need five evenings, and the long one leaves least for the last.
    assert made.length == 4 * DAY + 30.0


def test_kinds_are_changed_seldom_where_that_costs_no_time():
    tasks = tuple(
        task(f"{kind}-{n}", 5.0, 100.0 if kind == "glue" else 0.0, kind=kind)
        for n in range(4)
        for kind in ("sand", "glue")
    )
    made = plan(tasks)
    kinds = [next(t.kind for t in tasks if t.name == s.task) for s in made.slots]
    assert kinds == ["glue"] * 4 + ["sand"] * 4


def test_fewer_evenings_come_before_fewer_changes():
    tasks = (
        task("a", 30.0, 2000.0, kind="x"),
        task("b", 30.0, kind="y"),
        task("c", 10.0, after=["a"], kind="x"),
    )
    made = plan(tasks, 60.0)
    assert sorted({s.evening for s in made.slots}) == [1, 3]


def test_what_needs_nobody_takes_no_hands():
    tasks = (task("coat", 5.0), task("air", 0.0, 1440.0, ["coat"]), task("tidy", 30.0))
    made = plan(tasks)
    check(made, tasks)
    assert made.length == 1445.0


def test_one_input_has_one_plan():
    tasks = tuple(
        task(f"t{n}", 3.0 + n % 5, 10.0 * (n % 7), [f"t{n - 3}"] if n > 5 else ()) for n in range(20)
    )
    assert plan(tasks, 45.0) == plan(tasks, 45.0)


def test_nothing_to_do_is_a_plan_of_nothing():
    assert plan(()).length == 0.0
    assert plan((), 60.0).slots == ()


@pytest.mark.parametrize(
    ("tasks", "words"),
    [
        ((task("a", 1.0), task("a", 2.0)), "one name"),
        ((task("a", 1.0, after=["b"]),), "'b'"),
        ((task("a", 1.0, after=["b"]), task("b", 1.0, after=["a"])), "circle"),
        ((task("a", -1.0),), "less than no time"),
        ((task("a", float("nan")),), "less than no time"),
    ],
)
def test_what_is_no_plan_is_said(tasks, words):
    with pytest.raises(ChoiceError, match=words):
        plan(tasks)


@pytest.mark.parametrize("evening", [0.0, 5.0, -60.0, 1441.0, float("nan")])
def test_what_is_no_evening_is_said(evening):
    with pytest.raises(ChoiceError, match="evening"):
        plan((task("a", 1.0),), evening)


def test_hundreds_of_tasks_are_planned():
    tasks = tuple(
        task(f"t{n}", 4.0, 30.0, [f"t{n - 20}"] if n >= 20 else (), f"k{n // 20}") for n in range(600)
    )
    made = plan(tasks, 120.0)
    check(made, tasks, 120.0)
