"""The tasks of a kit: what is done at the bench, how long hands are on it, and what waits for what.

Times come from the piece's own areas, edges and counts, and from the rates. Alike stacks go through the bench
together, as many as are glued in one go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from laminature.model.aid import KeyUse
from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.rates import Rates
from laminature.model.sheet import Sheet
from laminature.model.step import Assembly
from laminature.model.task import Task
from laminature.model.words import Words
from laminature.planning.bench import Bench
from laminature.planning.coating import coat_first, finish
from laminature.planning.covering import put_in, upholster
from laminature.planning.joining import assemble
from laminature.planning.keys import glue_keys
from laminature.planning.making import cut, fit, glue, harden, sand
from laminature.planning.measures import Measured


def tasks_for(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    sheets: Sequence[Sheet],
    assembly: Assembly | None,
    cushions: Sequence[Upholstery],
    rates: Rates,
    seconds: Mapping[str, float],
    words: Words,
    cutter: Literal["knife", "laser"] = "knife",
    keys: Sequence[KeyUse] = (),
    stacks: Sequence[Measured] | None = None,
) -> tuple[Task, ...]:
    """All tasks, in the order in which a maker would write them down: stage after stage.

    ``seconds`` is how long the cutter runs on each sheet, by the sheet's name: a knife by itself, a laser
    never unattended. ``keys`` say which parts are glued on which keys. Without an ``assembly`` putting
    together is one task. CA comes only after the water glue below it has dried, stain after CA but on faces
    that a brush does not reach later, and cloth only after everything that was hardened or coated has aired.
    ``stacks`` are given where they are measured already.
    """
    bench = Bench(piece, joints, layers, sheets, cushions, rates, words, stacks)
    cut(bench, seconds, cutter)
    glue_keys(bench, layers, keys)
    if bench.stacks:
        glue(bench)
        harden(bench)
        fit(bench)
        sand(bench)
        coat_first(bench)
        assemble(bench, assembly)
        finish(bench)
        upholster(bench)
        put_in(bench, assembly)
    return tuple(bench.tasks)
