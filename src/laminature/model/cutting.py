"""How the cutter is driven: what the maker may set beyond its kind.

Speeds, passes and depths are common practice without a source, to be changed by whoever knows the
machine; they only drive HP-GL and G-code and the estimate of time, never the shape of the model.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FileKind = Literal["svg", "dxf", "pdf", "hpgl", "gcode"]


@dataclass(frozen=True)
class Cutting:
    """Settings of a cutter. Lengths are mm, speeds mm/s, times s.

    ``kerf`` is the width that a laser burns away. ``overlap`` is how far a cut runs on over its own
    beginning, ``overcut`` how far cuts go beyond corners, never on show layers: both in HP-GL and G-code,
    and with ``in_drawings`` in SVG and DXF too. ``passes`` is how often each line is cut, 0 for what the
    board says. ``power`` is the S word of a laser's full cut, ``mark_power`` that of lines that are only to
    be seen. ``safe_height`` is that of a raised knife above the board, ``below`` how far its last pass goes
    beyond the board's thickness. ``lift`` is the time to raise and lower the tool once. Without ``marks``
    HP-GL and G-code leave out labels and marks. With ``bridges`` pieces whose longer side is below
    ``bridges_below`` (None: what their board says) stay tied to the sheet; with ``gather`` they lie
    together in a frame that is lifted out whole. ``header`` and ``footer`` are put
    at the ends of G-code.
    """

    kerf: float = 0.0
    overlap: float = 0.5
    overcut: float = 0.0
    in_drawings: bool = False
    passes: int = 0
    speed: float = 20.0
    travel_speed: float = 100.0
    lift: float = 0.3
    power: float = 800.0
    mark_power: float = 100.0
    safe_height: float = 3.0
    below: float = 0.1
    marks: bool = True
    bridges: bool = False
    bridges_below: float | None = None
    gather: bool = False
    files: tuple[FileKind, ...] = ("svg", "dxf", "pdf")
    header: str = ""
    footer: str = ""


#: Common practice, no source: a blade runs faster than a beam, and has to be lifted.
KNIFE = Cutting()
LASER = Cutting(overlap=0.0, speed=12.0, travel_speed=150.0, lift=0.05)


def usual(kind: str) -> Cutting:
    """The settings that ``kind`` ("knife" or "laser") has before the maker changes any."""
    return LASER if kind == "laser" else KNIFE
