"""Our own letters of single strokes, for labels on parts and notes on sheets.

They are drawn for a pen, a pencil or a scoring blade, at 2 to 3 mm, and to be read on a
single small part without its neighbours: B has square corners where 8 is round, 1 has a foot,
7 and Z a bar, 0 a slash, 5 a corner where S is round, l a tail, I serifs.

A glyph is written as strokes on a grid: capitals stand 7 high, small letters 5, tails hang
to −2. A stroke is a row of corners ``x,y`` or ``x,y,r``, the latter rounded with radius r;
``z`` closes it; ``|`` parts strokes.
"""

from __future__ import annotations

import math
import unicodedata
from functools import lru_cache
from typing import Literal

from laminature.errors import GeometryError
from laminature.geometry.path import Arc, Line, Path, Point, Segment
from laminature.geometry.pose import cos_sin

Anchor = Literal["start", "middle", "end"]

CAP = 7.0
#: Free space after a glyph, and the width of a space, in units of the grid.
GAP = 1.7
SPACE = 2.6

_BOWL = "0,0,1.8 3.6,0,1.8 3.6,5,1.8 0,5,1.8z"
_DOT = "0,0 0.5,0 0.5,0.5 0,0.5z"
_HIGH_DOT = "0,4 0.5,4 0.5,4.5 0,4.5z"
_P = "0,0 0,7 4,7,1.9 4,3.2,1.9 0,3.2"
_O = "0,0,2.2 4.4,0,2.2 4.4,7,2.2 0,7,2.2z"
_ARCH = "0,2.8 0,5,1.8 3.4,5,1.6 3.4,0"

_GLYPHS = {
    "A": "0,0 2.2,7 4.4,0|0.754,2.4 3.646,2.4",
    "B": "2,3.7 3.7,3.7,1.65 3.7,7,1.65 0,7 0,0 4.2,0,1.85 4.2,3.7,1.85 0,3.7",
    "C": "4.2,5.6 4.2,7,1.4 0,7,2.1 0,0,2.1 4.2,0,1.4 4.2,1.4",
    "D": "0,0 0,7 4.3,7,2.6 4.3,0,2.6z",
    "E": "4,7 0,7 0,0 4,0|0,3.6 3.3,3.6",
    "F": "4,7 0,7 0,0|0,3.6 3.3,3.6",
    "G": "4.3,5.6 4.3,7,1.4 0,7,2.1 0,0,2.1 4.3,0,2.1 4.3,3.2 2.4,3.2",
    "H": "0,0 0,7|4.2,0 4.2,7|0,3.6 4.2,3.6",
    "I": "0,0 2.4,0|0,7 2.4,7|1.2,0 1.2,7",
    "J": "1.4,7 3.4,7 3.4,0,1.7 0,0,1.7 0,1.8",
    "K": "0,0 0,7|4,7 0,2.8|1.4,4.27 4.1,0",
    "L": "0,7 0,0 3.7,0",
    "M": "0,0 0,7 2.5,2.6 5,7 5,0",
    "N": "0,0 0,7 4.3,0 4.3,7",
    "O": _O,
    "P": _P,
    "Q": _O + "|2.2,2.6 4.9,-0.8",
    "R": _P + "|1.9,3.2 4.2,0",
    "S": "4,5.5 4,7,1.5 0,7,1.75 0,3.5,1.75 4,3.5,1.75 4,0,1.75 0,0,1.5 0,1.5",
    "T": "0,7 4.4,7|2.2,7 2.2,0",
    "U": "0,7 0,0,2.1 4.2,0,2.1 4.2,7",
    "V": "0,7 2.2,0 4.4,7",
    "W": "0,7 1.4,0 2.9,5 4.4,0 5.8,7",
    "X": "0,0 4.2,7|0,7 4.2,0",
    "Y": "0,7 2.2,3.4 4.4,7|2.2,3.4 2.2,0",
    "Z": "0,7 4,7 0,0 4,0|0.9,3.5 3.1,3.5",
    "0": "0,0,2 4,0,2 4,7,2 0,7,2z|1.2,2 2.8,5",
    "1": "0.4,5.4 2,7 2,0|0.4,0 3.6,0",
    "2": "0,5.3 0,7,1.7 4,7,2 4,4,2 0,0 4,0",
    "3": "0,7 3.8,7 1.7,4.3 4,4.3,2.1 4,0,2.1 0,0,1.4 0,1.4",
    "4": "3,0 3,7 0,2 4.2,2",
    "5": "3.7,7 0.2,7 0.2,4.1 4,4.1,2.05 4,0,2.05 0,0,1.2 0,1.3",
    "6": "3.4,7 0,7,3.2 0,0,2 4,0,2 4,4.2,2 0,4.2,2 0,2.2",
    "7": "0,7 4,7 1.2,0|1.3,3.6 3.9,3.6",
    "8": "0.4,3.7,1.6 3.6,3.7,1.6 3.6,7,1.6 0.4,7,1.6z|0,0,1.85 4,0,1.85 4,3.7,1.85 0,3.7,1.85z",
    "9": "0.6,0 4,0,3.2 4,7,2 0,7,2 0,2.8,2 4,2.8,2 4,4.8",
    "a": _BOWL + "|3.6,5 3.6,0",
    "b": _BOWL + "|0,7 0,0",
    "c": "3.4,3.7 3.4,5,1.3 0,5,1.7 0,0,1.7 3.4,0,1.3 3.4,1.3",
    "d": _BOWL + "|3.6,7 3.6,0",
    "e": "0,2.6 3.6,2.6 3.6,5,1.8 0,5,1.8 0,0,1.8 3.5,0,1 3.5,1",
    "f": "2.8,7 1.2,7,1.2 1.2,0|0,5 2.6,5",
    "g": _BOWL + "|3.6,5 3.6,-2,1.6 0.4,-2",
    "h": "0,7 0,0|" + _ARCH,
    "i": "0.3,5 0.3,0|0.3,6.4 0.3,7",
    "j": "1.8,5 1.8,-2,1.4 0,-2|1.8,6.4 1.8,7",
    "k": "0,7 0,0|3.2,5 0,1.9|1.2,3.0625 3.4,0",
    "l": "0,7 0,0,1 1.4,0",
    "m": "0,5 0,0|0,3.5 0,5,1.4 2.6,5,1.2 2.6,0|2.6,3.5 2.6,5,1.4 5.2,5,1.2 5.2,0",
    "n": "0,5 0,0|" + _ARCH,
    "o": _BOWL,
    "p": _BOWL + "|0,5 0,-2",
    "q": _BOWL + "|3.6,5 3.6,-2",
    "r": "0,5 0,0|0,3 0,5,1.8 2.4,5",
    "s": "3.2,3.9 3.2,5,1.1 0,5,1.25 0,2.5,1.25 3.2,2.5,1.25 3.2,0,1.25 0,0,1.1 0,1.1",
    "t": "1.2,7 1.2,0,1.2 2.8,0|0,5 2.6,5",
    "u": "0,5 0,0,1.7 3.4,0,1.7 3.4,5|3.4,1.7 3.4,0",
    "v": "0,5 1.8,0 3.6,5",
    "w": "0,5 1.2,0 2.4,3.8 3.6,0 4.8,5",
    "x": "0,0 3.4,5|0,5 3.4,0",
    "y": "0,5 1.8,0|3.6,5 1.08,-2",
    "z": "0,5 3.4,5 0,0 3.4,0",
    "-": "0.2,3 2.8,3",
    "–": "0.2,3 3.8,3",
    "—": "0,3 5.4,3",
    "/": "0,-0.8 2.8,7.6",
    "\\": "0,7.6 2.8,-0.8",
    "|": "0.2,-1 0.2,7.8",
    "_": "0,-1 4,-1",
    ".": _DOT,
    ",": "0.5,0.6 0.5,0 0,-1.2",
    ":": _DOT + "|" + _HIGH_DOT,
    ";": "0.5,0.6 0.5,0 0,-1.2|" + _HIGH_DOT,
    "·": "0,2.8 0.5,2.8 0.5,3.3 0,3.3z",
    "!": "0.25,7 0.25,1.9|" + _DOT,
    "?": "0,5.6 0,7,1.4 3.4,7,1.7 3.4,3.5,1.6 1.7,3.5 1.7,1.9|1.45,0 1.95,0 1.95,0.5 1.45,0.5z",
    "'": "0.2,7 0.2,5.4",
    '"': "0.2,7 0.2,5.4|1.4,7 1.4,5.4",
    "(": "1.5,7.8 0.2,5.6,2 0.2,0.9,2 1.5,-1.3",
    ")": "0,7.8 1.3,5.6,2 1.3,0.9,2 0,-1.3",
    "[": "1.5,7.8 0,7.8 0,-1.3 1.5,-1.3",
    "]": "0,7.8 1.5,7.8 1.5,-1.3 0,-1.3",
    "<": "3.4,5.4 0.2,3 3.4,0.6",
    ">": "0.2,5.4 3.4,3 0.2,0.6",
    "+": "0.2,3 3.8,3|2,1.2 2,4.8",
    "−": "0.2,3 3.8,3",
    "±": "0.2,3.8 3.8,3.8|2,2 2,5.6|0.2,0.6 3.8,0.6",
    "×": "0.3,1.4 3.5,4.6|0.3,4.6 3.5,1.4",
    "=": "0.2,2 3.8,2|0.2,4 3.8,4",
    "*": "1.6,4 1.6,7|0.3,4.75 2.9,6.25|0.3,6.25 2.9,4.75",
    "#": "0.9,0 1.7,7|2.7,0 3.5,7|0,2.3 4.2,2.3|0.3,4.7 4.5,4.7",
    "%": "0.4,0 4.2,7|0,5,0.9 1.8,5,0.9 1.8,7,0.9 0,7,0.9z|2.8,0,0.9 4.6,0,0.9 4.6,2,0.9 2.8,2,0.9z",
    "&": "4.4,0 0.7,4.9,0.9 0.7,7,1 2.9,7,1 2.9,4.7,0.8 0,2.9,0.7 0,0,1.4 3.2,0,1.4 4.4,2.8",
    "²": "0,6.15 0,7,0.85 2,7,1 2,5.5,1 0,3.5 2,3.5",
    "°": "0,5.4,0.8 1.6,5.4,0.8 1.6,7,0.8 0,7,0.8z",
}
#: What is drawn where there is no glyph: a box with a cross, which no letter looks like.
_UNKNOWN = "0,0 4,0 4,7 0,7z|0,0 4,7|0,7 4,0"
#: Accents by their combining character, about x = 0 above y = 0 (the cedilla hangs below the letter).
_ACCENTS = {
    "\u0300": "-0.9,1.2 0.6,0",
    "\u0301": "-0.6,0 0.9,1.2",
    "\u0302": "-1.1,0 0,1.2 1.1,0",
    "\u0303": "-1.2,0.1 -0.5,0.9 0.5,0.2 1.2,1",
    "\u0304": "-1.2,0.5 1.2,0.5",
    "\u0308": "-1.1,0.2 -0.6,0.2 -0.6,0.7 -1.1,0.7z|0.6,0.2 1.1,0.2 1.1,0.7 0.6,0.7z",
    "\u030a": "-0.7,-0.1,0.7 0.7,-0.1,0.7 0.7,1.3,0.7 -0.7,1.3,0.7z",
    "\u030c": "-1.1,1.2 0,0 1.1,1.2",
    "\u0327": "0.2,0 0.2,-1 -0.8,-1.6",
}
_CEDILLA = "\u0327"
#: Letters and signs that Unicode does not take apart, in ours.
_SPELT = {
    "ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "œ": "oe", "Œ": "OE", "ł": "l", "Ł": "L", "đ": "d",
    "ı": "i", "⁄": "/", "’": "'", "‘": "'", "“": '"', "”": '"', "‐": "-", "‑": "-", "′": "'", "″": '"',
}  # fmt: skip


def text_paths(
    text: str, size: float, at: Point = (0.0, 0.0), anchor: Anchor = "start", turn: float = 0.0
) -> tuple[Path, ...]:
    """The strokes of a line of text whose capitals are ``size`` mm high.

    ``at`` is where its baseline starts, has its middle or ends, as ``anchor`` says; ``turn``
    turns it to the left about that point, in degrees. Accents are drawn for Latin letters;
    what has no glyph becomes a crossed box.
    """
    unit = size / CAP
    shift = {"start": 0.0, "middle": -0.5, "end": -1.0}[anchor] * text_width(text, size)
    cosine, sine = cos_sin(turn)
    matrix = ((unit * cosine, -unit * sine), (unit * sine, unit * cosine))
    paths: list[Path] = []
    pen = shift / unit
    for character, accent in _spelt(text):
        if character != " ":
            strokes, width = _glyph(character)
            marks = _accent(accent, character, width / 2.0) if accent else ()
            for stroke in (*strokes, *marks):
                moved = (at[0] + unit * cosine * pen, at[1] + unit * sine * pen)
                paths.append(stroke.mapped(matrix, moved))
        pen += _advance(character)
    return tuple(paths)


def text_width(text: str, size: float) -> float:
    """How wide a line of text is, mm, from the first stroke to the last."""
    letters = _spelt(text)
    if not letters:
        return 0.0
    return (sum(_advance(c) for c, _ in letters) - GAP) * size / CAP


def shortened(text: str, size: float, width: float) -> str:
    """The text, or as much of its beginning as ``width`` mm hold, with three points after it."""
    if text_width(text, size) <= width:
        return text
    end = len(text)
    while end and text_width(text[:end] + "...", size) > width:
        end -= 1 if end < 200 else end // 2
    return text[:end].rstrip() + "..." if end else ""


def _advance(character: str) -> float:
    return SPACE if character == " " else _glyph(character)[1] + GAP


def _spelt(text: str) -> list[tuple[str, str]]:
    """Pairs of a character to draw and its accent ("" for none)."""
    plain = ""
    for c in text:
        written = c if c in _GLYPHS else _SPELT.get(c, unicodedata.normalize("NFKD", c))
        # A fraction in one character, taken apart, must not run into the whole number before it.
        plain += f" {written}" if "\u2044" in written and plain[-1:].isdigit() else written
    found: list[tuple[str, str]] = []
    for c in plain:
        if unicodedata.combining(c):
            if found and c in _ACCENTS:
                found[-1] = (found[-1][0], c)
        elif c.isspace() or unicodedata.category(c) in ("Cc", "Cf"):
            found.append((" ", ""))
        else:
            found.append((_SPELT.get(c, c), ""))
    return found


@lru_cache(maxsize=512)
def _glyph(character: str) -> tuple[tuple[Path, ...], float]:
    strokes = _strokes(_GLYPHS.get(character, _UNKNOWN))
    return strokes, max(float(s.flattened[:, 0].max()) for s in strokes)


@lru_cache(maxsize=512)
def _accent(accent: str, character: str, middle: float) -> tuple[Path, ...]:
    tall = character.isupper() or character in "bdfhklt"
    height = 0.0 if accent == _CEDILLA else 7.8 if tall else 6.0
    return tuple(s.mapped(((1.0, 0.0), (0.0, 1.0)), (middle, height)) for s in _strokes(_ACCENTS[accent]))


def _strokes(written: str) -> tuple[Path, ...]:
    return tuple(_stroke(s) for s in written.split("|"))


def _stroke(written: str) -> Path:
    closed = written.endswith("z")
    corners = [tuple(float(v) for v in c.split(",")) for c in written.rstrip("z").split()]
    return rounded([((c[0], c[1]), c[2] if len(c) > 2 else 0.0) for c in corners], closed)


def rounded(corners: list[tuple[Point, float]], closed: bool) -> Path:
    """A path through corners, each rounded with its own radius (0 leaves it sharp).

    Raises GeometryError where two roundings have no room on the line between them.
    """
    count = len(corners)
    cuts: list[tuple[Point, Point, Point, bool] | None] = []
    taken = [0.0] * count
    for i, (p, r) in enumerate(corners):
        if r <= 0.0 or (not closed and i in (0, count - 1)):
            cuts.append(None)
            continue
        before, after = corners[i - 1][0], corners[(i + 1) % count][0]
        u, v = _way(p, before), _way(p, after)
        half = math.acos(max(-1.0, min(1.0, u[0] * v[0] + u[1] * v[1]))) / 2.0
        tangent = r / math.tan(half)
        bisector = _way((0.0, 0.0), (u[0] + v[0], u[1] + v[1]))
        far = r / math.sin(half)
        cuts.append(
            (
                (p[0] + u[0] * tangent, p[1] + u[1] * tangent),
                (p[0] + v[0] * tangent, p[1] + v[1] * tangent),
                (p[0] + bisector[0] * far, p[1] + bisector[1] * far),
                u[0] * v[1] - u[1] * v[0] < 0.0,
            )
        )
        taken[i] = tangent
    for i in range(count if closed else count - 1):
        j = (i + 1) % count
        if taken[i] + taken[j] > math.dist(corners[i][0], corners[j][0]) + 1e-9:
            raise GeometryError("two rounded corners of a stroke have no room between them")
    segments: list[Segment] = []
    first = cuts[0][1] if cuts[0] else corners[0][0]
    here = first
    for (p, _), cut in zip(corners[1:] + corners[:1], cuts[1:] + cuts[:1], strict=True):
        if p == corners[0][0] and not closed:
            break
        to = cut[0] if cut else p
        if math.dist(here, to) > 1e-9:
            segments.append(Line(here, to))
        here = to
        if cut:
            segments.append(Arc(here, cut[1], cut[2], cut[3]))
            here = cut[1]
    return Path(tuple(segments), closed)


def _way(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
