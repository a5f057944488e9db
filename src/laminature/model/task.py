"""Tasks at the bench, and a plan of them: one pair of hands, waits that run by themselves."""

from __future__ import annotations

from dataclasses import dataclass

Kind = str


@dataclass(frozen=True)
class Task:
    """Something to do: ``hands`` minutes of work, then ``wait`` minutes that pass by themselves.

    ``name`` is unique; ``kind`` is what it is (cut, glue, harden …), for which tools are got out. It can
    begin when all tasks of ``after`` are done, their waits too. ``parts`` it is about, ``title`` for people.
    """

    name: str
    kind: Kind
    title: str
    hands: float
    wait: float = 0.0
    after: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Slot:
    """A task's place in the plan: minutes from the beginning of hands-on work, evenings counted from 1."""

    task: str
    start: float
    end: float
    evening: int = 1


@dataclass(frozen=True)
class Plan:
    """All tasks in their places. ``length`` is when the last wait ends, ``bound`` a proved lower bound
    of it, and ``naive`` the length in the order written, minutes.
    """

    tasks: tuple[Task, ...]
    slots: tuple[Slot, ...]
    length: float
    bound: float
    naive: float
