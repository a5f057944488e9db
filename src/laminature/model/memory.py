"""What earlier builds worked out, kept by content, so that one slider remakes only what it changed."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

T = TypeVar("T")
H = TypeVar("H", bound=Hashable)


class Memory:
    """Results by what they were made from. Only what the last two builds used is kept.

    Every key holds all that its result depends on, so a result is never out of date. The
    stages are pure with or without it; it is the one thing in the core that changes.
    """

    def __init__(self) -> None:
        self._now: dict[Hashable, object] = {}
        self._before: dict[Hashable, object] = {}

    def turn(self) -> None:
        """Begin another build: what the build before the last one used alone is forgotten."""
        self._before, self._now = self._now, {}

    def recall(self, key: Hashable, make: Callable[[], T]) -> T:
        """The result kept under ``key``, or else what ``make`` returns, which is kept."""
        if key in self._now:
            return cast(T, self._now[key])
        made = self._before[key] if key in self._before else make()
        self._now[key] = made
        return cast(T, made)

    def same(self, value: H) -> H:
        """The equal value that was seen first, so that what hangs on it need not be made again."""
        return self.recall(value, lambda: value)
