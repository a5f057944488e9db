"""What can go wrong, named by whose data is wrong.

The tree::

    LaminatureError
    ├── DesignError          the maker's design cannot be read (exit code 2)
    │   └── DesignErrors     several of them, from one file, all told at once
    ├── FormError            sizes that a form cannot be made from (exit code 1)
    ├── ChoiceError          something was asked for that is not there (exit code 2)
    ├── BuildError           findings of grade "stop" forbid a kit (exit code 1)
    ├── GeometryError        an outline or pose that is no geometry (exit code 1)
    ├── StoreError           a file of the maker's that cannot be read or written
    ├── WriterError          a value that a file format cannot hold
    └── Cancelled            the caller asked a long computation to stop

Exceptions are for input that cannot be used. What a check *finds* about a
usable design is a :class:`laminature.model.finding.Finding`, never an exception.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field


class LaminatureError(Exception):
    """Base of every error that is meant for the maker's eyes.

    ``str(error)`` is a complete message: what is wrong, where, what to do.
    """


@dataclass(frozen=True)
class Place:
    """Where in a design file something stands. ``line`` counts from 1.

    ``path`` names the tables, keys and items (from 0) that lead to the value, as far as they are known.
    """

    file: str
    line: int | None = None
    key: str = ""
    path: tuple[str | int, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        """Write the place the way editors and compilers do: ``file:line: key``."""
        at = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{at}: {self.key}" if self.key else at


class DesignError(LaminatureError):
    """One thing in a design file that cannot be used."""

    def __init__(self, message: str, place: Place, remedy: str = "") -> None:
        self.message = message
        self.place = place
        self.remedy = remedy
        super().__init__(f"{place}: {message}" + (f" {remedy}" if remedy else ""))


class DesignErrors(DesignError):
    """All the errors of one design file, in the order of their lines."""

    def __init__(self, errors: Sequence[DesignError]) -> None:
        self.errors = tuple(errors)
        first = self.errors[0]
        super().__init__(first.message, first.place, first.remedy)
        self.args = ("\n".join(str(e) for e in self.errors),)


class FormError(LaminatureError):
    """Sizes that contradict each other, so that no piece can be made from them."""

    def __init__(self, message: str, parameter: str = "", remedy: str = "") -> None:
        self.message = message
        self.parameter = parameter
        self.remedy = remedy
        super().__init__(message + (f" {remedy}" if remedy else ""))


class ChoiceError(LaminatureError):
    """A layer, part or size that was asked for and is not there."""

    def __init__(self, message: str, remedy: str = "") -> None:
        self.message = message
        self.remedy = remedy
        super().__init__(message + (f" {remedy}" if remedy else ""))


class BuildError(LaminatureError):
    """A kit was asked for although findings say that it cannot be built."""


class GeometryError(LaminatureError):
    """An outline, opening or pose that does not describe a region of board."""


class StoreError(LaminatureError):
    """A file or folder of the maker's that cannot be read, or must not be written."""


class WriterError(LaminatureError):
    """A value that the file format asked for cannot hold."""


class Cancelled(LaminatureError):
    """The caller asked a long computation to stop."""
