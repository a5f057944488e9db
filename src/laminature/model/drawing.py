"""A drawing: strokes with an operation each. Every file format is written from this."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.path import Path, Point

Operation = Literal["outline", "opening", "score", "marking", "notes"]


@dataclass(frozen=True)
class Stroke:
    """One path to be cut, scored or drawn.

    ``name`` is unique in its drawing (``B3``, ``B3-1``). ``part`` and ``layer`` say what
    it belongs to; both are empty for notes. A path that is left open on purpose has
    ``open`` set. Cuts of a higher ``wave`` wait until all of the lower ones are done: a part
    that lies in another's opening is cut before the opening lets go of it.
    ``bridges`` are places at which it is to be left uncut, on or near the path. A stroke that is a run of a
    longer one names that in ``of``.
    """

    operation: Operation
    path: Path
    name: str = ""
    part: str = ""
    layer: int | None = None
    open: bool = False
    wave: int = 0
    bridges: tuple[Point, ...] = ()
    of: str = ""

    @property
    def whole(self) -> str:
        """The name of the whole outline or opening."""
        return self.of or self.name


@dataclass(frozen=True)
class Text:
    """A line of text for maps and notes, never cut. ``size`` is its height in mm."""

    text: str
    x: float
    y: float
    size: float = 3.0
    anchor: Literal["start", "middle", "end"] = "start"


@dataclass(frozen=True)
class Drawing:
    """Strokes on a page of ``width`` × ``height`` mm; the origin is the lower left corner, y goes up."""

    name: str
    width: float
    height: float
    strokes: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()
    title: str = ""
