"""What waits to be done to a work, and the pages that hear of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from laminature.worktable.drawer import Drawn, Path

if TYPE_CHECKING:
    from laminature.worktable.work import Work


class Page(Protocol):
    """A page that shows a work."""

    def show(self, work: Work, drawn: Drawn, seq: int, mark: int | None) -> None:
        """Send a scene, with the meshes that this page lacks."""

    def send(
        self, header: Mapping[str, Any], blobs: Mapping[str, Any] | None = None, mark: int | None = None
    ) -> None:
        """Send a message; ``mark`` is the id of the one that it answers."""

    def take(self, work: Work, mark: int | None) -> None:
        """Show this work from now on."""

    def forward(self, message: bytes) -> None:
        """Send a message that is packed already."""


@dataclass(frozen=True)
class Pending:
    """A value that was typed and cannot be, and why."""

    value: Any
    message: str
    remedy: str = ""


@dataclass
class Command:
    """What waits to be done to a work, and who is to hear of it."""

    page: Page | None = None
    seq: int = 0
    mark: int | None = None


@dataclass
class SetValues(Command):
    """Change values."""

    changes: dict[Path, Any] = field(default_factory=dict)
    label: str = ""
    settle: bool = True

    def takes_in(self, later: SetValues) -> bool:
        """Whether a later change of the same gesture takes the place of this one."""
        same_hand = self.page is later.page and self.label == later.label
        return same_hand and (not self.settle or self.changes.keys() == later.changes.keys())


@dataclass
class GoTo(Command):
    """Put another text in place of the whole: undo, redo, an older copy, a file rewritten."""

    text: Callable[[], bytes | None] = lambda: None
    label: str | None = None
    must_draw: bool = False


@dataclass
class LetGo(Command):
    """Give up what was typed and refused, at a path or as the whole text."""

    path: Path = ()


@dataclass
class Show(Command):
    """Send all to a page that has just come."""


@dataclass
class Soften(Command):
    """Upholster what was drawn, now that hands rest: that takes longer than a frame."""
