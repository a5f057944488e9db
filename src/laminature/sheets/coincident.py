"""Cuts that lie on each other: a beam or blade goes there once only.

Where parts are laid edge to edge, two outlines share a line; cut twice it burns, or the blade
wanders off. The line stays with the cut that comes first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Line, Path, Segment
from laminature.geometry.walk import split
from laminature.model.drawing import Stroke

Array = NDArray[np.float64]
#: Cuts this near to each other are one cut, mm: a step of the coarsest cutters (HP-GL's unit).
WITHIN = 0.025
#: Lines that lie together on less than this are left as they are, mm.
LEAST = 0.2


def without_doubles(strokes: Sequence[Stroke], within: float = WITHIN) -> tuple[Stroke, ...]:
    """The strokes in their order, without the straight runs that an earlier cut has made already.

    What is left of a stroke is open; where it falls into several, the further ones are named
    ``NAME-rest-2`` and so on. A cut that repeats an earlier one whole is dropped.
    """
    made: list[Stroke] = []
    earlier: list[tuple[Array, Array]] = []
    for stroke in strokes:
        if stroke.operation not in ("outline", "opening"):
            made.append(stroke)
            continue
        points = stroke.path.flattened
        box = np.array([points.min(axis=0) - within, points.max(axis=0) + within])
        near = [a for b, a in earlier if (b[0] <= box[1]).all() and (box[0] <= b[1]).all() and len(a)]
        ends = [(*s.start, *s.end) for s in stroke.path if isinstance(s, Line)]
        earlier.append((box, np.array(ends).reshape(-1, 4)))
        left = _left(stroke.path, np.concatenate(near), within) if near else [stroke.path]
        for n, path in enumerate(left, start=1):
            name = stroke.name if n == 1 else f"{stroke.name}-rest-{n}"
            made.append(replace(stroke, name=name, path=path, open=not path.closed))
    return tuple(made)


def _left(path: Path, cuts: Array, within: float) -> list[Path]:
    """What is left of a path, in runs."""
    runs: list[list[Segment]] = [[]]
    whole = True
    for segment in path:
        for kept in _kept(segment, cuts, within):
            if kept is None:
                whole = False
                if runs[-1]:
                    runs.append([])
            else:
                runs[-1].append(kept)
    if whole:
        return [path]
    first, last = runs[0], runs[-1]
    joined = path.closed and len(runs) > 1 and first and last
    if joined and math.dist(last[-1].end, first[0].start) < 1e-9:
        runs = [last + first, *runs[1:-1]]
    return [Path(tuple(run), closed=False) for run in runs if run]


def _kept(segment: Segment, cuts: Array, within: float) -> list[Segment | None]:
    """The segment in pieces; None stands for each stretch that is cut already."""
    if not isinstance(segment, Line):
        return [segment]
    start, end = np.asarray(segment.start), np.asarray(segment.end)
    length = math.dist(segment.start, segment.end)
    if length < LEAST:
        return [segment]
    along = (end - start) / length
    aside = np.array([-along[1], along[0]])
    p, q = cuts[:, :2] - start, cuts[:, 2:] - start
    a, b = p @ along, q @ along
    low, high = np.clip(np.minimum(a, b), 0.0, length), np.clip(np.maximum(a, b), 0.0, length)
    da, db = p @ aside, q @ aside
    # Apart at both ends of the stretch that they share, not at ends that lie far away.
    slope = np.divide(db - da, b - a, out=np.zeros_like(a), where=np.abs(b - a) > 1e-12)
    apart = np.maximum(np.abs(da + slope * (low - a)), np.abs(da + slope * (high - a)))
    shared = sorted(
        (float(x), float(y))
        for x, y, d in zip(low, high, apart, strict=True)
        if y - x >= LEAST and d <= within
    )
    pieces: list[Segment | None] = []
    at = 0.0
    for x, y in shared:
        if x - at > within:
            pieces.append(_stretch(segment, at / length, x / length))
        if y > at:
            pieces.append(None)
            at = y
    if not shared:
        return [segment]
    if length - at > within:
        pieces.append(_stretch(segment, at / length, 1.0))
    return pieces


def _stretch(line: Line, low: float, high: float) -> Segment:
    start = split(line, low)[1].start if low > 0.0 else line.start
    end = split(line, high)[0].end if high < 1.0 else line.end
    return Line(start, end)
