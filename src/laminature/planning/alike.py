"""Steps that repeat each other: a guide tells and draws them once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from laminature.model.piece import Piece
from laminature.model.step import Assembly, Step

#: So many steps in a row that are alike are still told one by one.
FEW = 4


def runs_of_alike(assembly: Assembly, piece: Piece) -> Iterator[tuple[Step, ...]]:
    """The steps in their order, those that are told together as one run.

    In a run of more than ``FEW`` steps, parts of the same letters go onto parts of the same letters, the same
    way in, with the same joints, glue and hold, the work lying alike. All other steps stand alone.
    """
    letters = {part.name: part.letter or part.name for part in piece.parts}

    def kind(step: Step) -> object:
        if step.spread or step.open_until:
            return step.number
        moving, onto = ([letters.get(name, name) for name in names] for names in (step.moving, step.onto))
        way, down = (tuple(round(v, 3) + 0.0 for v in vector) for vector in (step.way, step.down))
        what = (tuple(moving), frozenset(onto), way, down)
        return (*what, step.closes, step.glue, step.hold, step.loose, step.face)

    for _, alike in groupby(assembly.steps, key=kind):
        run = tuple(alike)
        if len(run) > FEW:
            yield run
        else:
            yield from ((step,) for step in run)
