"""How a blade closes its cuts: on over the beginning, and a little beyond corners.

A drag blade trails behind its pivot, so a cut that ends just where it began leaves a thread, and an
inside corner is not quite parted. Both lengths are common practice without a source; generous ones
cut through narrow webs.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from laminature.geometry.path import Line, Path, Segment
from laminature.geometry.walk import continued, direction, turn_between
from laminature.model.cutting import Cutting
from laminature.model.drawing import Stroke
from laminature.model.part import Part

#: A turn of less than this, in degrees, is cut round without lifting.
CORNER = 20.0


def closed_over(
    strokes: Sequence[Stroke], cutting: Cutting, shown: Collection[tuple[str, int | None]] = ()
) -> tuple[Stroke, ...]:
    """Cuts that run on over their beginning by ``cutting.overlap`` mm, along the path.

    With an overcut each is cut in runs from corner to corner, each run that much longer at its
    corners; the further runs are named ``NAME-run-2`` and so on. ``shown`` holds part and layer of what
    is seen in the finished piece: no overcut there.
    """
    made: list[Stroke] = []
    for stroke in strokes:
        if stroke.operation not in ("outline", "opening"):
            made.append(stroke)
            continue
        over = cutting.overlap > 0.0 and stroke.path.closed
        path = continued(stroke.path, cutting.overlap) if over else stroke.path
        beyond = 0.0 if (stroke.part, stroke.layer) in shown else cutting.overcut
        for n, run in enumerate(_runs(path, beyond), start=1):
            name = stroke.name if n == 1 else f"{stroke.name}-run-{n}"
            made.append(replace(stroke, name=name, path=run, open=not run.closed))
    return tuple(made)


def show_layers(parts: Sequence[Part]) -> frozenset[tuple[str, int | None]]:
    """Part and layer of every layer whose face is seen in the finished piece."""
    found: set[tuple[str, int | None]] = set()
    for part in parts:
        if "lower" in part.show:
            found.add((part.name, 1))
        if "upper" in part.show:
            found.add((part.name, part.stack.count))
    return frozenset(found)


def _runs(path: Path, beyond: float) -> list[Path]:
    """The path from corner to corner, each run longer by ``beyond`` mm at its corners."""
    if beyond == 0.0:
        return [path]
    runs: list[list[Segment]] = [[]]
    for segment in path:
        if runs[-1] and abs(turn_between(runs[-1][-1], segment)) > CORNER:
            runs.append([])
        runs[-1].append(segment)
    corner = abs(turn_between(path.segments[-1], path.segments[0])) > CORNER
    if len(runs) == 1 and not (path.closed and corner):
        return [path]
    if path.closed and not corner:
        runs = [runs[-1] + runs[0], *runs[1:-1]]
    longer: list[list[Segment]] = []
    for n, run in enumerate(runs):
        start = [_before(run[0], beyond)] if path.closed or n > 0 else []
        end = [_after(run[-1], beyond)] if path.closed or n < len(runs) - 1 else []
        longer.append([*start, *run, *end])
    return [Path(tuple(run), closed=False) for run in longer]


def _before(segment: Segment, length: float) -> Line:
    (x, y), (dx, dy) = segment.start, direction(segment)
    return Line((x - length * dx, y - length * dy), segment.start)


def _after(segment: Segment, length: float) -> Line:
    (x, y), (dx, dy) = segment.end, direction(segment, at_end=True)
    return Line(segment.end, (x + length * dx, y + length * dy))
