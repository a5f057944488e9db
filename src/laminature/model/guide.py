"""What the illustrated guide tells, before it is set: words, numbers, and drawings as SVG."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.model.photo import Photo

Language = Literal["british", "american"]


@dataclass(frozen=True)
class Size:
    """A measure, as written: full-size and in miniature."""

    name: str
    full: str
    mini: str


@dataclass(frozen=True)
class GuideStack:
    """A part as the guide shows it: letter, how many alike, layers from the lowest up, and a picture."""

    letter: str
    title: str
    count: int
    thickness: str
    layers: tuple[str, ...]
    picture: bytes | None = None


@dataclass(frozen=True)
class GuideStep:
    """A step of assembly in words, with a picture."""

    number: int
    words: str
    picture: bytes | None = None


@dataclass(frozen=True)
class Shopping:
    """A supply as a row: what, how much, how many packs, why, and what it costs ("" if unknown)."""

    title: str
    amount: str
    packs: str
    why: str
    price: str = ""


@dataclass(frozen=True)
class Page:
    """A drawing with its size in mm, which is true size where it is a template.

    Of a page of the bench its ``foot`` and as much as ``edge`` at both sides are empty, mm.
    """

    name: str
    svg: bytes
    width: float
    height: float
    foot: float = 0.0
    edge: float = 0.0


@dataclass(frozen=True)
class Tile:
    """A part of a template that fits on a sheet of paper: its left upper corner on the template, mm.

    A ``turned`` one lies across, a quarter turn clockwise on the paper. ``mirrored`` names layers on it that
    are cut mirrored, as said; ``grain`` is how the board's grain runs on the template, "" for no board.
    """

    template: int
    x: float
    y: float
    label: str
    turned: bool = False
    mirrored: str = ""
    grain: Literal["x", "y", "none", ""] = ""


@dataclass(frozen=True)
class FinishRow:
    """Alike parts on the finish page, as written: edges to sand, faces that show, what gets coats, and which
    faces are coated before assembly, with what is masked there ("" for none).
    """

    part: str
    edge: str
    faces: str
    area: str
    before: str


@dataclass(frozen=True)
class FinishPage:
    """The finish: a row for each letter, what is done in its order, and what stays bare."""

    rows: tuple[FinishRow, ...]
    steps: tuple[str, ...]
    bare: tuple[str, ...]


@dataclass(frozen=True)
class Guide:
    """All of a guide. ``templates`` are cut up into ``tiles``; ``pages`` are shown whole at true size, the
    ``first`` of them below what is said of all.

    ``photo`` stands on the title page beside the drawing, with its ``caption``; ``photo_file`` names it in
    errors. ``held`` are rows of letter and words of what holds layers in line, ``held_about`` what is said
    of it; ``small`` tells of small pieces. ``photos`` follow with the maker's notes. ``cushions`` holds for
    each what it is made of, then what is done in its order.
    """

    title: str
    scale: str
    language: Language = "british"
    sizes: tuple[Size, ...] = ()
    whole: bytes | None = None
    exploded: bytes | None = None
    dimensions: bytes | None = None
    cautions: tuple[str, ...] = ()
    supplies: tuple[Shopping, ...] = ()
    total: str = ""
    maps: tuple[Page, ...] = ()
    stacks: tuple[GuideStack, ...] = ()
    held: tuple[tuple[str, str], ...] = ()
    held_about: tuple[str, ...] = ()
    small: tuple[str, ...] = ()
    steps: tuple[GuideStep, ...] = ()
    plan: tuple[Page, ...] = ()
    cushions: tuple[tuple[str, ...], ...] = ()
    first: Page | None = None
    pages: tuple[Page, ...] = ()
    templates: tuple[Page, ...] = ()
    tiles: tuple[Tile, ...] = ()
    gauges: bool = False
    jigs: bool = False
    finish: FinishPage | None = None
    notes: str = ""
    credit: str = ""
    licence: str = ""
    photo: bytes | None = None
    photo_file: str = ""
    caption: str = ""
    photos: tuple[Photo, ...] = ()
