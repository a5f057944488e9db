"""What a check says about a design."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from laminature.geometry.pose import Vector

Setting = str | float | bool | Sequence[str | float] | None
Grade = Literal["stop", "care", "note"]


@dataclass(frozen=True)
class Mend:
    """Changes to the design that certainly remove a finding, and bring no new stop.

    ``label`` says what is done, as one says it ("Pull the buttons in"). Each of ``changes`` is a path of keys
    (and numbers of a list's items, from 0) and the value to set there, None to take it out. A cushion's
    values are at ``("cushion", NAME, KEY)``, whether it is the only one or not.
    """

    label: str
    changes: tuple[tuple[tuple[str | int, ...], Setting], ...]


@dataclass(frozen=True)
class Finding:
    """One thing the maker should know, with its place and a remedy.

    ``code`` is stable and lower case (``"web-too-thin"``). ``stop`` means that the kit
    cannot be built, ``care`` that it can with attention, ``note`` is information.
    ``point`` is in the piece's frame, mm; ``layer`` counts from 1. ``mend`` is there where the remedy
    is certain. ``parts`` are the parts that meet there, the receiving one first, where it is about joints.
    """

    code: str
    grade: Grade
    message: str
    remedy: str = ""
    part: str | None = None
    layer: int | None = None
    point: Vector | None = None
    mend: Mend | None = None
    parts: tuple[str, ...] = ()
