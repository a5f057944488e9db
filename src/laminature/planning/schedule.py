"""A plan for one pair of hands: tasks are worked on one at a time, waits run by themselves.

This is the one-machine problem with delays between tasks. A plan is an order: every task begins as soon as
its turn has come and what it waits for is over. First orders come from the longest-tail rule and from
one that stays with a kind of task where nothing is made late by it. Then single tasks and runs of one
kind are moved to where the plan ends earlier, needs fewer evenings, or changes less often from one kind to
another; in this order of worth. Searches count steps, not seconds: one input has one plan.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from laminature.errors import ChoiceError
from laminature.model.task import Plan, Task
from laminature.planning.bound import lower_bound
from laminature.planning.calendar import SAME, Calendar
from laminature.planning.network import Network, network
from laminature.planning.placing import Order, Score
from laminature.planning.rules import latest_starts, longest_tail, most_urgent, staying

#: Tasks that a search may place; an order to be scored counts for so many more.
STEPS = 100_000
EACH = 5
#: What a plan aims at where it is above the bound: shares of the way from there to its length.
AIMS = (0.0, 0.5)
#: Minutes that an evening can have.
SHORTEST, LONGEST = 10.0, 1200.0


def plan(tasks: Sequence[Task], evening: float | None = None) -> Plan:
    """The plan of ``tasks``: in one go, or in evenings of ``evening`` minutes, one a day.

    A slot's start and end are minutes by the clock from the beginning. A task that no evening holds
    has a slot in each of several evenings; no other is torn. Raises ChoiceError for tasks that cannot be
    ordered, and for an evening of less than 10 minutes or more than 20 hours.
    """
    if evening is not None and not SHORTEST <= evening <= LONGEST:
        raise ChoiceError(
            f"An evening cannot have {evening:g} minutes.",
            f"Give {SHORTEST:g} to {LONGEST:g} minutes, or none to plan without evenings.",
        )
    net, calendar = network(tasks), Calendar(evening)
    bound = lower_bound(net, calendar)
    written = Order(net, calendar, range(len(net)))
    first = [written, Order(net, calendar, longest_tail(net, calendar))]
    for more in (1.0, 1.02, 1.05, 1.1, 1.2, 1.4):
        for rule in (most_urgent, staying):
            first.append(Order(net, calendar, rule(net, calendar, bound * more)))
    best = _improved(min(first, key=_score), bound)
    return Plan(net.tasks, best.slots(), best.length, min(bound, best.length), written.length)


def _improved(best: Order, bound: float) -> Order:
    """Local search; where it comes to rest above the bound, it aims at lengths between, and shakes orders."""
    best, _ = _settled(best, STEPS)
    for share in AIMS:
        best = _aimed(best, bound + share * (best.length - bound))
    left, chance = STEPS, random.Random(1)
    while left > 0 and best.length > bound + SAME and len(best.sequence) > 2:
        tried, left = _settled(_shaken(best, chance), left - len(best.sequence) - EACH)
        if tried.score < best.score:
            best = tried
    return best


def _aimed(best: Order, target: float) -> Order:
    """A better order, if one is found by making less late what is late for a plan of ``target`` minutes.

    The length alone is a poor guide: with evenings it stays the same until all that is late fits in.
    """
    if best.length <= target + SAME:
        return best
    net, calendar = best.net, best.calendar
    due = latest_starts(net, calendar, target)
    urgent = Order(net, calendar, most_urgent(net, calendar, target), due)
    aimed, left = _settled(min(urgent, Order(net, calendar, best.sequence, due), key=_score), STEPS)
    chance = random.Random(2)
    while left > 0 and aimed.score[0] > SAME:
        tried, left = _settled(_shaken(aimed, chance), left - len(aimed.sequence) - EACH)
        if tried.score <= aimed.score:
            aimed = tried
    found, _ = _settled(Order(net, calendar, aimed.sequence), STEPS)
    return min(best, found, key=_score)


def _score(order: Order) -> Score:
    return order.score


def _settled(order: Order, left: int) -> tuple[Order, int]:
    """The order after moves, each for the better, until none is or ``left`` steps are used up."""
    moved = True
    while moved and left > 0:
        moved = False
        for first, sequence in _moves(order):
            left -= len(sequence) - first + EACH
            if order.scored(first, sequence) < order.score:
                order, moved = Order(order.net, order.calendar, sequence, order.due), True
                break
            if left <= 0:
                break
    return order, left


def _moves(order: Order) -> Iterator[tuple[int, list[int]]]:
    """Orders in which one task, or a run of tasks of one kind, stands elsewhere; first what is near."""
    sequence, net = order.sequence, order.net
    for start, stop in _blocks(net, sequence):
        block = sequence[start:stop]
        inside = set(block)
        before = {m for n in block for m in net.before[n]} - inside
        behind = {m for n in block for m in net.behind[n]} - inside
        for to in range(start - 1, -1, -1):
            if sequence[to] in before:
                break
            yield to, [*sequence[:to], *block, *sequence[to:start], *sequence[stop:]]
        for to in range(stop, len(sequence)):
            if sequence[to] in behind:
                break
            yield (
                start,
                [*sequence[:start], *sequence[stop : to + 1], *block, *sequence[to + 1 :]],
            )


def _blocks(net: Network, sequence: Sequence[int]) -> Iterator[tuple[int, int]]:
    start = 0
    for k in range(1, len(sequence) + 1):
        ends = k == len(sequence) or net.tasks[sequence[k]].kind != net.tasks[sequence[start]].kind
        if ends:
            if k - start > 1:
                yield start, k
            start = k
    for k in range(len(sequence)):
        yield k, k + 1


def _shaken(order: Order, chance: random.Random) -> Order:
    """The order after a few moves of single tasks to anywhere they may stand."""
    sequence = list(order.sequence)
    for _ in range(3):
        k = chance.randrange(len(sequence))
        n = sequence.pop(k)
        places = {m: p for p, m in enumerate(sequence)}
        low = max((places[m] + 1 for m in order.net.before[n]), default=0)
        high = min((places[m] for m in order.net.behind[n]), default=len(sequence))
        sequence.insert(chance.randint(low, high), n)
    return Order(order.net, order.calendar, sequence, order.due)
