"""Tasks as numbers: who waits for whom, and for how long."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.errors import ChoiceError
from laminature.model.task import Task


@dataclass(frozen=True)
class Network:
    """Tasks by number, in an order in which each comes after those that it waits for.

    ``before`` and ``behind`` are the numbers of the tasks right before and right behind each; ``tails`` the
    minutes from the end of a task's hands-on time to the end of all that follows from it, at least.
    """

    tasks: tuple[Task, ...]
    before: tuple[tuple[int, ...], ...]
    behind: tuple[tuple[int, ...], ...]
    hands: tuple[float, ...]
    waits: tuple[float, ...]
    tails: tuple[float, ...]

    def __len__(self) -> int:
        return len(self.tasks)


def network(tasks: Sequence[Task]) -> Network:
    """The network of ``tasks``, in their order as far as that can be.

    Raises ChoiceError for a name that two tasks have or none has, times below nothing, and tasks that wait
    for each other in a circle.
    """
    known = {task.name: n for n, task in enumerate(tasks)}
    if len(known) < len(tasks):
        raise ChoiceError("Two tasks have one name.", "Give every task a name of its own.")
    for task in tasks:
        if not (task.hands >= 0.0 and task.wait >= 0.0):
            raise ChoiceError(
                f"The task {task.name!r} takes less than no time.", "Give it 0 or more minutes."
            )
        for name in task.after:
            if name not in known:
                raise ChoiceError(f"The task {task.name!r} waits for {name!r}, and there is none.")
    order = _sorted(tasks, known)
    tasks = [tasks[n] for n in order]
    place = {task.name: n for n, task in enumerate(tasks)}
    before = tuple(tuple(sorted({place[name] for name in task.after})) for task in tasks)
    behind: list[list[int]] = [[] for _ in tasks]
    for n, those in enumerate(before):
        for m in those:
            behind[m].append(n)
    tails = [task.wait for task in tasks]
    for n in reversed(range(len(tasks))):
        follow = max((tasks[m].hands + tails[m] for m in behind[n]), default=0.0)
        tails[n] = tasks[n].wait + follow
    return Network(
        tuple(tasks),
        before,
        tuple(tuple(x) for x in behind),
        tuple(task.hands for task in tasks),
        tuple(task.wait for task in tasks),
        tuple(tails),
    )


def _sorted(tasks: Sequence[Task], known: dict[str, int]) -> list[int]:
    left = [len(set(task.after)) for task in tasks]
    behind: list[list[int]] = [[] for _ in tasks]
    for n, task in enumerate(tasks):
        for name in set(task.after):
            behind[known[name]].append(n)
    ready = [n for n, count in enumerate(left) if count == 0]
    heapq.heapify(ready)
    order = []
    while ready:
        n = heapq.heappop(ready)
        order.append(n)
        for m in behind[n]:
            left[m] -= 1
            if left[m] == 0:
                heapq.heappush(ready, m)
    if len(order) < len(tasks):
        stuck = next(task.name for n, task in enumerate(tasks) if left[n] > 0)
        raise ChoiceError(f"Some tasks wait for each other in a circle, {stuck!r} among or behind them.")
    return order
