"""Plans against a published one-machine example, enumeration, and OR-Tools' CP-SAT.

J. Carlier, "The one-machine sequencing problem", European Journal of Operational Research 11 (1982) 42-47:
seven jobs with heads, times and tails. The longest-tail rule ends at 53, the optimum is 50.
"""

import itertools

import pytest

from laminature.model.task import Task
from laminature.planning.bound import lower_bound
from laminature.planning.calendar import Calendar
from laminature.planning.network import network
from laminature.planning.placing import Order
from laminature.planning.rules import longest_tail
from laminature.planning.schedule import plan

from ..planned import EXAMPLES, check, tasks_of
from .cp_sat import shortest

HEADS = (10, 13, 11, 20, 30, 0, 30)
TIMES = (5, 6, 7, 4, 3, 6, 2)
TAILS = (7, 26, 24, 21, 8, 17, 0)

#: A head is a wait that a task without work has: work can begin when it is over.
JOBS = tuple(
    task
    for n, (head, time, tail) in enumerate(zip(HEADS, TIMES, TAILS, strict=True), start=1)
    for task in (
        Task(f"head-{n}", "head", "", 0.0, float(head)),
        Task(f"job-{n}", "job", "", float(time), float(tail), (f"head-{n}",)),
    )
)


def end_of(order):
    free = end = 0
    for n in order:
        free = max(free, HEADS[n]) + TIMES[n]
        end = max(end, free + TAILS[n])
    return end


def test_the_published_example_by_enumeration():
    assert min(end_of(order) for order in itertools.permutations(range(7))) == 50


def test_the_longest_tail_rule_ends_at_53():
    net, calendar = network(JOBS), Calendar()
    assert Order(net, calendar, longest_tail(net, calendar)).length == 53.0


def test_the_plan_reaches_the_optimum_and_the_bound_is_below_it():
    made = plan(JOBS)
    check(made, JOBS)
    assert made.length == 50.0
    # Preemption saves at most something: the bound of the paper's root node lies just below.
    assert 49.0 <= lower_bound(network(JOBS), Calendar()) <= 50.0


@pytest.mark.parametrize("evening", [None, 120.0])
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_plans_of_the_examples_are_within_two_per_cent(name, evening):
    tasks = tasks_of(name)
    made = plan(tasks, evening)
    check(made, tasks, evening)
    best, proved = shortest(tasks, evening, seconds=5.0)
    assert made.bound <= best + 1e-6
    assert proved <= made.length + 1e-6
    assert made.length <= 1.02 * best
