"""What undo and redo go back and forth between: whole texts, bounded in number and bytes."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from laminature.store.steps import Steps

#: The most steps that can be taken back, and the most bytes that they may hold.
MOST_STEPS, MOST_BYTES = 300, 32 << 20
#: What is taken back of a design that has changed while nobody kept count.
SINCE = "what was changed elsewhere"


@dataclass(frozen=True)
class Step:
    """A change: what it is called, and the text on its other side."""

    label: str
    text: bytes


@dataclass
class History:
    """Steps that can be taken back, and those that can be made again."""

    past: deque[Step] = field(default_factory=deque)
    future: list[Step] = field(default_factory=list)

    def changed(self, label: str, before: bytes) -> None:
        """A change was made to ``before``; what was taken back can no longer be made again."""
        self.past.append(Step(label, before))
        self.future.clear()
        held = sum(len(step.text) for step in self.past)
        while len(self.past) > 1 and (len(self.past) > MOST_STEPS or held > MOST_BYTES):
            held -= len(self.past.popleft().text)

    def undo(self, now: bytes) -> bytes | None:
        """The text before the last change, None where there is none."""
        if not self.past:
            return None
        step = self.past.pop()
        self.future.append(Step(step.label, now))
        return step.text

    def redo(self, now: bytes) -> bytes | None:
        """The text after the change that was taken back last, None where there is none."""
        if not self.future:
            return None
        step = self.future.pop()
        self.past.append(Step(step.label, now))
        return step.text

    def kept(self, now: bytes, under_way: Step | None = None) -> Steps:
        """All steps as they are kept on the disk, with a change ``under_way`` that is none of them yet."""
        past = [*self.past, under_way] if under_way is not None else [*self.past]
        future = () if under_way is not None else self.future
        return Steps(now, tuple((s.label, s.text) for s in past), tuple((s.label, s.text) for s in future))

    @classmethod
    def of(cls, steps: Steps | None, now: bytes) -> History:
        """The steps as they were kept; a text that has come since is one more of them."""
        if steps is None:
            return cls()
        found = cls(deque(Step(*s) for s in steps.past), [Step(*s) for s in steps.future])
        if steps.now != now:
            found.changed(SINCE, steps.now)
        return found

    @property
    def undo_label(self) -> str | None:
        """What would be taken back."""
        return self.past[-1].label if self.past else None

    @property
    def redo_label(self) -> str | None:
        """What would be made again."""
        return self.future[-1].label if self.future else None
