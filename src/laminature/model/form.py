"""What a form of furniture declares: its parameters, and how parts are made from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from laminature.model.board import Board
from laminature.model.cushion import CushionEnvelope
from laminature.model.fit import Fit
from laminature.model.piece import Piece
from laminature.model.stack import Stack

ParameterKind = Literal["length", "count", "choice", "angle", "flag", "layers", "path"]
Value = float | int | str | bool


@dataclass(frozen=True)
class Parameter:
    """One size or choice of a form.

    A ``length`` is written full-size by default; ``low``, ``high`` and ``default`` of a
    length are full-size mm here, and the form's function gets it at miniature scale, mm.
    ``default`` None means "worked out from the others" (0 for a count is a real zero).
    ``realm`` "mini" marks lengths that are declared at miniature scale (a rim's width, a scallop).
    ``layers`` is a number of layers of board, ``path`` SVG path data as a string.
    ``source`` says where default and range come from.
    """

    name: str
    kind: ParameterKind
    help: str
    default: Value | None = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    realm: Literal["full", "mini"] = "full"
    source: str = "common practice, no source"


@dataclass(frozen=True)
class Workshop:
    """What a form may know of the maker's bench.

    ``scale`` is n of 1:n; ``stack_for`` gives the stack nearest to a wanted thickness (mm
    at miniature scale); ``layers`` a stack of so many layers of ``board``; ``cushions``
    the room that each cushion of the design takes, by the part that it lies on ("" where that is left to
    the form).
    """

    scale: float
    board: Board
    fit: Fit
    stack_for: Callable[[float], Stack]
    layers: Callable[[int], Stack]
    cutter: Literal["knife", "laser"] = "knife"
    edge_sanding: float = 0.15
    cushions: Mapping[str, CushionEnvelope] = field(default_factory=dict)

    def cushion(self, on: str) -> CushionEnvelope | None:
        """The room of the cushion on the form's main part, called ``on``; None without one."""
        return self.cushions.get(on, self.cushions.get(""))


Values = Mapping[str, Value | None]


@dataclass(frozen=True)
class Form:
    """A kind of furniture. ``make`` raises FormError for sizes that contradict each other."""

    name: str
    title: str
    summary: str
    parameters: tuple[Parameter, ...]
    make: Callable[[Values, Workshop], Piece]
