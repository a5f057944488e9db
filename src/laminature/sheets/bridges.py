"""Outlines that are not cut all the way round: gaps for the bridges that hold small pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.geometry.walk import nearest_along, path_length, stretch
from laminature.model.drawing import Stroke

#: No stretch between two bridges is shorter than this, mm.
LEAST = 0.5


def with_gaps(strokes: Sequence[Stroke], width: float, kerf: float = 0.0) -> tuple[Stroke, ...]:
    """The strokes with gaps of ``width`` mm at the places of their bridges, so that they become open.

    What is left of a stroke falls into runs; those after the first are named ``NAME-span-2`` and so on. A
    beam burns half its ``kerf`` beyond either end, so the gaps are wider by that, mm. Outlines that are too
    short for a gap stay closed.
    """
    made: list[Stroke] = []
    for stroke in strokes:
        spans = _spans(stroke, width + kerf) if stroke.bridges and stroke.path.closed else []
        if not spans:
            made.append(replace(stroke, bridges=()))
            continue
        for n, (start, end) in enumerate(spans, start=1):
            name = stroke.name if n == 1 else f"{stroke.name}-span-{n}"
            path = stretch(stroke.path, start, end)
            made.append(replace(stroke, name=name, of=stroke.name, path=path, open=True, bridges=()))
    return tuple(made)


def _spans(stroke: Stroke, gap: float) -> list[tuple[float, float]]:
    """What is cut, from and to as lengths along the path; the last may run on over its beginning."""
    whole = path_length(stroke.path)
    at = sorted(nearest_along(stroke.path, point) for point in stroke.bridges)
    spans = [
        (here + gap / 2.0, there - gap / 2.0)
        for here, there in zip(at, [*at[1:], at[0] + whole], strict=True)
    ]
    return spans if min(end - start for start, end in spans) >= LEAST else []
