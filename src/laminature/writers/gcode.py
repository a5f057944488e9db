"""G-code: the words of ISO 6983-1 for a knife that is raised and lowered, or for a laser.

Words used: G0 G1 G2 G3 (I and J from the arc's start), G17 (the plane of x and y), G21 (mm), G90
(absolute), G94 (feed per minute), F, S, M3 and M5 (the beam on and off), M0 (stop and wait), M2 (end).
Z is 0 on the board's upper face. Machines differ in what else they want: that goes into the header
and footer, which are the maker's own text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from laminature.geometry.path import Arc, Cubic, Line, Path, Point
from laminature.model.board import Board
from laminature.model.cutting import Cutting
from laminature.model.drawing import Drawing, Stroke
from laminature.model.words import Words
from laminature.writers.strokes import checked, number, parts_of

#: How far the chords that stand for a cubic curve may lie from it, mm.
FINE = 0.002
#: Share of the board's thickness to which a score is cut, common practice, no source.
SCORE_DEPTH = 0.5
_CUTS = ("opening", "outline")
#: What a tool follows; all else is only looked at.
_FOLLOWED = ("marking", "score", *_CUTS)


def gcode(drawing: Drawing, kind: str, cutting: Cutting, board: Board, words: Words) -> bytes:
    """The bytes of a G-code file for a ``kind`` of cutter, "knife" or "laser", with cautions in comments.

    The strokes are cut as they stand, openings and outlines in several passes as ``cutting`` or the board
    says; a knife goes deeper with each. Raises WriterError for a drawing without a size.
    """
    checked(drawing)
    passes = cutting.passes or board.passes(kind)
    laser = kind == "laser"
    places = {"sheet": drawing.name, "board": board.title, "passes": str(passes)}
    width, height = number(drawing.width), number(drawing.height)
    said = [words.of("gcode_size", sheet=drawing.title or drawing.name, width=width, height=height)]
    said += words.of("gcode_caution").splitlines()
    said += words.of("gcode_laser" if laser else "gcode_knife").splitlines()
    lines = [_comment(one) for one in said]
    lines += _filled(cutting.header, places)
    lines += ["G21", "G90", "G17", "G94"]
    tool = _Beam(cutting) if laser else _Blade(cutting, board.caliper)
    lines += tool.up()
    previous = ""
    for stroke in drawing.strokes:
        if stroke.operation not in _FOLLOWED or (stroke.operation == "marking" and not cutting.marks):
            continue
        if not laser and "marking" in (previous, stroke.operation) and previous != stroke.operation:
            fit = "gcode_fit_pen" if stroke.operation == "marking" else "gcode_fit_knife"
            lines += [_comment(words.of(fit)), "M0"]
        previous = stroke.operation
        lines += _stroke(stroke, tool, passes)
    lines += [*tool.up(), "G0 X0 Y0"]
    lines += _filled(cutting.footer, places) or ["M2"]
    return ("\n".join(lines) + "\n").encode("ascii")


class _Beam:
    """A laser: on with its power, off between the cuts."""

    def __init__(self, cutting: Cutting) -> None:
        self._cutting = cutting

    def up(self) -> list[str]:
        return ["M5"]

    def down(self, operation: str, share: float) -> list[str]:  # noqa: ARG002  (a beam has no depth)
        power = self._cutting.power if operation in _CUTS else self._cutting.mark_power
        return [f"M3 S{number(power, 3)}"]

    @property
    def feed(self) -> str:
        return f"F{number(self._cutting.speed * 60.0, 3)}"


class _Blade(_Beam):
    """A knife or pen: lowered to a depth, raised between the cuts."""

    def __init__(self, cutting: Cutting, caliper: float) -> None:
        super().__init__(cutting)
        self._caliper = caliper

    def up(self) -> list[str]:
        return [f"G0 Z{number(self._cutting.safe_height, 4)}"]

    def down(self, operation: str, share: float) -> list[str]:
        depth = 0.0
        if operation == "score":
            depth = SCORE_DEPTH * self._caliper
        elif operation in _CUTS:
            depth = share * (self._caliper + self._cutting.below)
        return [f"G1 Z{number(-depth, 4)} {self.feed}"]


def _stroke(stroke: Stroke, tool: _Beam, passes: int) -> Iterator[str]:
    yield _comment(stroke.name or stroke.operation)
    rounds = passes if stroke.operation in _CUTS else 1
    for k in range(1, rounds + 1):
        if k == 1 or not stroke.path.closed:
            yield f"G0 {_at(stroke.path.start)}"
        # Round and round: a closed cut is not left between its passes.
        if k == 1 or not stroke.path.closed or isinstance(tool, _Blade):
            yield from tool.down(stroke.operation, k / rounds)
        yield from _moves(stroke.path, tool.feed)
        if k == rounds or not stroke.path.closed:
            yield from tool.up()


def _moves(path: Path, feed: str) -> Iterator[str]:
    for whole in path:
        if isinstance(whole, Cubic):
            yield from (f"G1 {_at(p)} {feed}" for p in whole.points(FINE))
            continue
        for segment in parts_of(whole, 170.0):
            if isinstance(segment, Line):
                yield f"G1 {_at(segment.end)} {feed}"
            elif isinstance(segment, Arc):
                word = "G3" if segment.ccw else "G2"
                i, j = (segment.centre[k] - segment.start[k] for k in (0, 1))
                yield f"{word} {_at(segment.end)} I{number(i, 4)} J{number(j, 4)} {feed}"


def _at(p: Point) -> str:
    return f"X{number(p[0], 4)} Y{number(p[1], 4)}"


def _comment(text: str) -> str:
    """A comment in parentheses, which may hold neither parentheses nor anything but ASCII."""
    plain = text.replace("·", "-").replace("×", "x").encode("ascii", "replace").decode()
    return "(" + re.sub(r"[^ -'*-~]", " ", plain) + ")"


def _filled(template: str, words: dict[str, str]) -> list[str]:
    """The maker's lines, with {sheet}, {board} and {passes} filled in; other braces stay."""
    for name, value in words.items():
        template = template.replace("{" + name + "}", re.sub(r"[^ -'*-~]", " ", value))
    lines = template.encode("ascii", "replace").decode().splitlines()
    return [line.rstrip() for line in lines if line.strip()]
