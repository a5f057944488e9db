"""What a step of assembly is about."""

from __future__ import annotations

from laminature.model.step import Step
from laminature.planning.bench import Bench


def is_soft(bench: Bench, step: Step) -> bool:
    """Whether a cushion moves with this step. It may have the name of a part: then the part is meant."""
    names = {made.name for made in bench.cushions} - {part.name for part in bench.piece.parts}
    return not names.isdisjoint(step.moving)


def short_words(bench: Bench, step: Step) -> str:
    """What moves and onto what, by letters; a single part by its title too."""
    known = {s.name: s for s in bench.stacks}
    moving = [known[name].letter if name in known else name for name in step.moving]
    what = ", ".join(dict.fromkeys(moving))
    if len(step.moving) == 1 and step.moving[0] in known:
        what += f", {known[step.moving[0]].title},"
    onto = dict.fromkeys(known[name].letter if name in known else name for name in step.onto)
    number = str(step.number)
    if not onto:
        return bench.words.of("task_step", n=number, what=what)
    return bench.words.of("task_step_onto", n=number, what=what, onto=", ".join(onto))
