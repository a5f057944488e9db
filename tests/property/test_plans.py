"""Plans of any tasks: they can be followed, never end later than the naive order, and the bound is one.

The optimum of small cases is found by enumeration of every order, placed by a few lines of its own.
"""

import itertools
import math

from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.model.task import Task
from laminature.planning.schedule import plan

from ..planned import DAY, check

MINUTES = st.sampled_from([0.0, 0.5, 1.0, 2.0, 5.0, 10.0, 17.0, 30.0, 45.0])
WAITS = st.sampled_from([0.0, 0.0, 5.0, 15.0, 60.0, 300.0, 720.0, 1440.0])
EVENINGS = st.sampled_from([None, None, 45.0, 60.0])


@st.composite
def some_tasks(draw, most):
    tasks = []
    for n in range(draw(st.integers(1, most))):
        after = draw(st.lists(st.integers(0, n - 1), max_size=2, unique=True)) if n else []
        kind = draw(st.sampled_from("abc"))
        tasks.append(Task(f"t{n}", kind, f"t{n}", draw(MINUTES), draw(WAITS), tuple(f"t{m}" for m in after)))
    return draw(st.permutations(tasks))


def placed(order, evening):
    """The end of the last wait when tasks are done in this order, each as early as it can be."""
    free, over = 0.0, {}
    for task in order:
        if any(name not in over for name in task.after):
            return math.inf
        start = max((over[name] for name in task.after), default=0.0)
        if task.hands > 0.0:
            start = max(start, free)
            if evening is not None and start % DAY + task.hands > evening:
                start = (start // DAY + 1.0) * DAY
            free = start + task.hands
        over[task.name] = start + task.hands + task.wait
    return max(over.values())


@settings(max_examples=40)
@given(some_tasks(25), EVENINGS)
def test_a_plan_can_be_followed_and_is_never_later_than_the_naive_order(tasks, evening):
    check(plan(tasks, evening), tasks, evening)


@settings(max_examples=60)
@given(some_tasks(6), EVENINGS)
def test_the_bound_is_never_above_the_optimum_and_small_plans_reach_it(tasks, evening):
    best = min(placed(order, evening) for order in itertools.permutations(tasks))
    made = plan(tasks, evening)
    assert made.bound <= best + 1e-6
    assert made.length == best or abs(made.length - best) < 1e-6
