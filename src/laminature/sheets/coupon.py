"""A coupon: test cuts that measure a board, a cutter and a fit.

Four questions, each answered with a calliper: how thick are glued stacks, how wide must
a slot be, and how much does the cutter take away. The answers go into the board's data, so
that the next kit fits without filing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from laminature.errors import FormError
from laminature.geometry.flat import Flat, flat, rectangle
from laminature.geometry.path import Path, Point
from laminature.model.board import Board
from laminature.model.fit import LEAST, Fit
from laminature.model.layer import Layer
from laminature.model.sheet import Sheet
from laminature.model.stack import thickness
from laminature.model.words import Words
from laminature.sheets.nesting import lay_out
from laminature.sheets.numerals import numerals

#: Stacks that are glued and measured.
STACKS = (2, 3, 4, 5)
#: Strips are long enough to be held and measured in three places, mm.
STRIP = (45.0, 12.0)
#: The comb: its slots, the step from one to the next and their depth, mm.
SLOTS = 9
STEP = 0.04
DEPTH = 10.0
#: Solid board above the slots, for the numbers, and at the comb's left end, for its label, mm.
BACK = 10.0
END = 16.0
TOOTH = 7.0
#: The tongue, mm: long enough to be held while it is tried.
TONGUE = (30.0, 14.0)
#: Side of the square and of the square opening that measure the kerf, mm, and the frame's width.
SQUARE = 20.0
FRAME = 10.0
NUMBER_HEIGHT = 2.4


def coupon_sheets(
    board: Board,
    cutter: Literal["knife", "laser"],
    fit: Fit,
    words: Words,
    *,
    spacing: float = 1.5,
    margin: float = 5.0,
) -> tuple[tuple[Layer, ...], tuple[Sheet, ...], str]:
    """Layers, sheets and notes of a coupon for ``board``, cut with ``cutter``, around ``fit``.

    Raises FormError where the sheet is too small for the coupon.
    """
    count = comb_layers(board, cutter)
    widths = slot_widths(thickness(board, count), fit)
    layers: list[Layer] = []
    for letter, n in zip("ABCD", STACKS, strict=True):
        layers += _stacked(f"strip-{n}", letter, rectangle(0.0, 0.0, *STRIP), n, board)
    comb, numbers = _comb(widths, board.smallest_web(cutter))
    layers += _stacked("comb", "E", comb, count, board, marks=numbers)
    layers += _stacked("tongue", "F", rectangle(0.0, 0.0, *TONGUE), count, board)
    layers += _stacked("square", "G", rectangle(0.0, 0.0, SQUARE, SQUARE), 1, board)
    layers += _stacked("frame", "H", _frame(), 1, board)
    sheets, findings = lay_out(layers, {board.name: board}, spacing, margin)
    for finding in findings:
        raise FormError(f"A coupon cannot be laid out: {finding.message}", remedy=finding.remedy)
    return tuple(layers), sheets, _notes(board, fit, count, widths, words)


def comb_layers(board: Board, cutter: Literal["knife", "laser"], most: int = 40) -> int:
    """Layers of comb and tongue: four, or as many more as the smallest opening wants on thin board."""
    opening = board.smallest_opening(cutter)
    return next((n for n in range(4, most) if thickness(board, n) >= opening), most)


def slot_widths(stack: float, fit: Fit) -> tuple[float, ...]:
    """Widths of the comb's slots, mm, in whole hundredths so that what is engraved is exact.

    They lie around the width that ``fit`` gives a stack so thick, and none is tighter
    than the least clearance on both sides.
    """
    middle = stack + 2.0 * fit.side
    least = stack + 2.0 * LEAST
    first = max(middle - STEP * (SLOTS // 2), least)
    hundredths = -int(-round(first * 100.0, 6) // 1)
    return tuple((hundredths + round(STEP * 100.0) * k) / 100.0 for k in range(SLOTS))


def _stacked(
    part: str, letter: str, shape: Flat, count: int, board: Board, *, marks: tuple[Path, ...] = ()
) -> list[Layer]:
    """Alike layers; what is to be read on the finished stack is on the last one."""
    step = thickness(board, count) / count
    return [
        Layer(
            part,
            letter,
            n + 1,
            board.name,
            n * step,
            (n + 1) * step,
            (shape,),
            (shape,),
            label_face="upper",
            marks=marks if n + 1 == count else (),
        )
        for n in range(count)
    ]


def _comb(widths: Sequence[float], web: float) -> tuple[Flat, tuple[Path, ...]]:
    """The comb's outline, slots open downwards, and the width of each slot written above it."""
    tooth = max(TOOTH, 3.0 * web)
    height = DEPTH + BACK
    points = [(0.0, height), (0.0, 0.0)]
    numbers: list[Path] = []
    x = END
    for width in widths:
        points += [(x, 0.0), (x, DEPTH), (x + width, DEPTH), (x + width, 0.0)]
        numbers += numerals(f"{width:.2f}", x + width / 2.0, DEPTH + 2.0, NUMBER_HEIGHT)
        x += width + tooth
    points += [(x, 0.0), (x, height)]
    return flat(points), tuple(numbers)


def _frame() -> Flat:
    def square(low: float, high: float) -> list[Point]:
        return [(low, low), (high, low), (high, high), (low, high)]

    return flat(square(0.0, SQUARE + 2.0 * FRAME), [square(FRAME, FRAME + SQUARE)])


def _notes(board: Board, fit: Fit, count: int, widths: Sequence[float], words: Words) -> str:
    stacks = "\n".join(
        "  " + words.of("coupon_stack", letter=letter, n=str(n), thickness=f"{thickness(board, n):.2f}")
        for letter, n in zip("ABCD", STACKS, strict=True)
    )
    return words.of(
        "coupon_notes",
        title=board.title,
        name=board.name,
        stacks=stacks,
        measured=", ".join(f'{n} = "____ mm"' for n in STACKS),
        count=str(count),
        narrow=f"{widths[0]:.2f}",
        wide=f"{widths[-1]:.2f}",
        step=f"{STEP:.2f}",
        fit=fit.name,
        across=f"{fit.across:.2f}",
        side=f"{SQUARE:.0f}",
    )
