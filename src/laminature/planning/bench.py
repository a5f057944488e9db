"""The bench: tasks as they are added, and the last one of each part, for which the next has to wait."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.rates import Rates
from laminature.model.sheet import Sheet
from laminature.model.task import Task
from laminature.model.words import Words
from laminature.planning.batches import Batch, batches_of
from laminature.planning.beforehand import beforehand
from laminature.planning.measures import Measured, measured

M = 1e3


class Bench:
    """What is worked on, and the tasks so far."""

    def __init__(
        self,
        piece: Piece,
        joints: Sequence[Joint],
        layers: Sequence[Layer],
        sheets: Sequence[Sheet],
        cushions: Sequence[Upholstery],
        rates: Rates,
        words: Words,
        stacks: Sequence[Measured] | None = None,
    ) -> None:
        self.piece, self.joints, self.sheets = piece, joints, sheets
        self.cushions, self.rates, self.words = cushions, rates, words
        self.stacks = tuple(stacks or measured(piece, joints, layers, cushions))
        self.batches = batches_of(self.stacks, rates)
        #: What is coated before assembly, by part.
        self.early = beforehand(piece, joints, self.stacks, rates.coat)
        self.wood = tuple(s.name for s in self.stacks if not s.cushion)
        self.tasks: list[Task] = []
        #: The last task of each part so far.
        self.last: dict[str, str] = {}
        #: The tasks that free the layers of each part from their sheets.
        self.weeded: dict[str, tuple[str, ...]] = {}

    def add(
        self,
        name: str,
        kind: str,
        title: str,
        hands: float,
        wait: float = 0.0,
        after: Sequence[str] = (),
        parts: Sequence[str] = (),
    ) -> str:
        """A task more, its hands-on time in half minutes, and that it is the last so far of its parts."""
        minutes = max(0.5, round(2.0 * hands) / 2.0) if hands > 0.0 else 0.0
        waits = tuple(dict.fromkeys(after))
        self.tasks.append(Task(name, kind, title, minutes, round(2.0 * wait) / 2.0, waits, tuple(parts)))
        self.last.update(dict.fromkeys(parts, name))
        return name

    def so_far(self, parts: Sequence[str]) -> tuple[str, ...]:
        """The last tasks of parts, each once."""
        return tuple(dict.fromkeys(self.last[p] for p in parts if p in self.last))

    def ready(self, batch: Batch) -> tuple[str, ...]:
        """What a batch waits for: the tasks before, or the sheets that its layers lie on."""
        return self.so_far(batch.parts) or tuple(n for p in batch.parts for n in self.weeded.get(p, ()))
