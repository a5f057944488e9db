"""Where a cut may begin: on a straight run away from corners, else where a curve is smooth."""

from __future__ import annotations

from itertools import accumulate

from laminature.geometry.path import Line, Path
from laminature.geometry.walk import Place, corners, segment_length, split, turn_between

#: A cut begins at least this far from a corner, mm: the place where it closes may show.
CLEAR = 1.0
#: From this length on, a straight run offers its two ends besides its middle, mm.
LONG = 6.0
#: A turn of more than this is a corner, degrees; of less than STRAIGHT, none at all.
CORNER = 12.0
STRAIGHT = 0.01
#: Places that are kept of a curve.
MOST = 12


def places(path: Path) -> tuple[Place, ...]:
    """Places of a closed path where cutting may begin, in the order of the path; one at least."""
    return _on_straight_runs(path) or _on_curves(path) or (_in_the_longest(path),)


def _on_straight_runs(path: Path) -> tuple[Place, ...]:
    s = path.segments
    n = len(s)
    bends = [
        not (
            isinstance(s[i - 1], Line)
            and isinstance(s[i], Line)
            and abs(turn_between(s[i - 1], s[i])) < STRAIGHT
        )
        for i in range(n)
    ]
    if not any(bends):
        return ()
    first = bends.index(True)
    runs: list[list[int]] = []
    for k in range(n):
        i = (first + k) % n
        if bends[i]:
            runs.append([])
        runs[-1].append(i)
    found = []
    for run in runs:
        if not isinstance(s[run[0]], Line):
            continue
        lengths = [segment_length(s[i]) for i in run]
        whole = sum(lengths)
        if whole < 2.0 * CLEAR:
            continue
        ways = [1.5 * CLEAR, whole / 2.0, whole - 1.5 * CLEAR] if whole >= LONG else [whole / 2.0]
        found += [_along(path, run, lengths, way) for way in ways]
    return tuple(sorted(found, key=lambda p: (p.index, p.share)))


def _along(path: Path, run: list[int], lengths: list[float], way: float) -> Place:
    for i, length in zip(run, lengths, strict=True):
        if way < length or i == run[-1]:
            share = min(way / length, 1.0)
            return Place(i, share, split(path.segments[i], share)[0].end)
        way -= length
    raise AssertionError("a run has segments")


def _on_curves(path: Path) -> tuple[Place, ...]:
    """Joints where the path runs on smoothly, and the middles of its curves, well away from corners."""
    s = path.segments
    at = [0.0, *accumulate(segment_length(x) for x in s)]
    sharp = [at[i] for i in corners(path, CORNER)]

    def clear(way: float) -> bool:
        apart = (abs(way - c) for c in sharp)
        return all(min(d, at[-1] - d) >= CLEAR for d in apart)

    found = []
    for i, segment in enumerate(s):
        if clear(at[i]):
            found.append(Place(i, 0.0, segment.start))
        if not isinstance(segment, Line) and clear((at[i] + at[i + 1]) / 2.0):
            found.append(Place(i, 0.5, split(segment, 0.5)[0].end))
    if len(found) <= MOST:
        return tuple(found)
    return tuple(found[k * len(found) // MOST] for k in range(MOST))


def _in_the_longest(path: Path) -> Place:
    lengths = [round(segment_length(x), 6) for x in path]
    i = lengths.index(max(lengths))
    return Place(i, 0.5, split(path.segments[i], 0.5)[0].end)
