"""Where tabs and fingers go along a line."""

from __future__ import annotations

import math

from laminature.joinery.intervals import Interval, Intervals

#: Tabs are at least this many times as wide as they project (common practice, no source).
WIDE = 3.0
#: Along a long edge about one tab for so much length, mm (common practice, no source).
PITCH = 28.0
#: A tab wider than this gains nothing, mm (common practice, no source).
WIDEST = 14.0


def tab_cells(
    stretches: Intervals, inset: float, projection: float, count: int | None, width: float | None
) -> Intervals:
    """Tabs along the ``stretches`` of a line, kept ``inset`` mm from each stretch's ends.

    Without ``width`` a tab is at least three times as wide as it projects. A stretch too
    short for that gets none, so the result may be empty. ``count`` is for all stretches together, the
    longest served first.
    """
    rooms = [(lo + inset, hi - inset) for lo, hi in stretches]
    least = width if width is not None else WIDE * projection
    rooms = [r for r in rooms if r[1] - r[0] >= least - 1e-9]
    if not rooms:
        return ()
    out: list[Interval] = []
    if count is None:
        shares = [_natural_count(hi - lo, least) for lo, hi in rooms]
    else:
        shares = [0] * len(rooms)
        by_length = sorted(range(len(rooms)), key=lambda i: rooms[i][0] - rooms[i][1])
        for n in range(count):
            shares[by_length[n % len(rooms)]] += 1
    for (lo, hi), n in zip(rooms, shares, strict=True):
        out.extend(_spread(lo, hi, n, least, width))
    return tuple(sorted(out))


def _natural_count(room: float, least: float) -> int:
    fits = int((room + least) / (2.0 * least) + 1e-9)
    return max(1, min(fits, 1 + int(room / PITCH)))


def _spread(lo: float, hi: float, count: int, least: float, width: float | None) -> list[Interval]:
    if count == 0:
        return []
    room = hi - lo
    if width is None:
        # Tabs and gaps alike, but no wider than is of use; a lone tab takes half the room.
        share = room / (2.0 if count == 1 else 2 * count - 1)
        width = max(least, min(share, WIDEST))
    width = min(width, room / count)
    if count == 1:
        middle = (lo + hi) / 2.0
        return [(middle - width / 2.0, middle + width / 2.0)]
    step = (room - width) / (count - 1)
    return [(lo + i * step, lo + i * step + width) for i in range(count)]


def shared_cells(
    stretches: Intervals, inset: float, projection: float, share: tuple[int, int], apart: float
) -> Intervals:
    """Every ``share[1]``-th cell of the longest stretch, beginning with the ``share[0]``-th.

    Cells of neighbours keep ``apart`` mm of board between their slots. The pattern is repeated as often as
    tabs stay three times as wide as they project.
    """
    if not stretches:
        return ()
    turn, parts = share
    lo, hi = max(stretches, key=lambda s: (s[1] - s[0], -s[0]))
    # The first and last cell's own margin counts towards the inset.
    lo, hi = lo + inset - apart / 2.0, hi - inset + apart / 2.0
    if hi <= lo:
        return ()
    repeats = max(1, int((hi - lo) / (parts * (WIDE * projection * 1.5 + apart))))
    cell = (hi - lo) / (parts * repeats)
    if cell - apart <= 0.0:
        return ()
    return tuple(
        (lo + (r * parts + turn) * cell + apart / 2.0, lo + (r * parts + turn + 1) * cell - apart / 2.0)
        for r in range(repeats)
    )


def finger_cells(run: Interval, projection: float, count: int | None, width: float | None) -> Intervals:
    """The entering part's fingers along a corner: every second of an odd number of equal cells.

    The receiver keeps both ends. ``count`` is the number of the entering part's fingers.
    """
    length = run[1] - run[0]
    if count is None:
        wide = width if width is not None else WIDE * projection
        cells = max(3, 2 * math.floor((length / max(wide, 1e-9) - 1.0) / 2.0 + 1e-9) + 1)
    else:
        cells = 2 * max(1, count) + 1
    step = length / cells
    return tuple((run[0] + i * step, run[0] + (i + 1) * step) for i in range(1, cells, 2))
