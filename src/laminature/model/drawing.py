"""A drawing: strokes with an operation each. Every file format is written from this."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.path import Path, Point
from laminature.geometry.region import Region

#: What is cut, scored or marked on a sheet, and notes; then the lines of drawings to look at, which no
#: machine follows: outlines and other edges that are seen, lines between layers, lines seen through a part,
#: hidden edges, centre lines and ways, and thin lines of dimensions and leaders.
Operation = Literal[
    "outline",
    "opening",
    "score",
    "marking",
    "notes",
    "visible",
    "edge",
    "seam",
    "faint",
    "hidden",
    "centre",
    "dimension",
]
#: What a filled area shows: card, a part that is new in this step, cloth, bare paper, an arrow, or ink.
Tone = Literal["card", "new", "cloth", "paper", "arrow", "ink"]


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
class Fill:
    """An area in a colour, under all strokes or, where ``over`` is set, over them.

    ``shade`` is 0 for what looks up, 1 and 2 for what looks to one side and the other, turned from the light.
    """

    region: Region
    tone: Tone
    shade: int = 0
    over: bool = False


@dataclass(frozen=True)
class Drawing:
    """Strokes on a page of ``width`` × ``height`` mm; the origin is the lower left corner, y goes up.

    ``wide`` is the width of visible edges in a drawing to look at, mm; its other lines follow from it.
    Files for cutting take no notice of it nor of ``fills``.
    """

    name: str
    width: float
    height: float
    strokes: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()
    title: str = ""
    fills: tuple[Fill, ...] = ()
    wide: float = 0.5
