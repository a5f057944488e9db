"""A sheet's drawing on its way to the cutter: kerf, order, no line twice; and closed for a blade."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from laminature.model.cutting import Cutting
from laminature.model.drawing import Drawing
from laminature.sheets.bridges import with_gaps
from laminature.sheets.closing import closed_over
from laminature.sheets.coincident import WITHIN, without_doubles
from laminature.sheets.kerf import with_kerf
from laminature.sheets.route import Route, routed


def prepared(
    drawing: Drawing, cutting: Cutting, spacing: float, bridge: float = 0.0
) -> tuple[Drawing, Route]:
    """The drawing as it is cut, its strokes in the order of cutting, and that route.

    ``spacing`` is the gap between layers on the sheet, mm: only where the kerf leaves nothing of it do
    cuts lie on each other. ``bridge`` is the width of bridges that hold small pieces, mm. Raises BuildError
    where the kerf does not fit into an opening.
    """
    strokes = with_gaps(with_kerf(drawing.strokes, cutting.kerf), bridge, cutting.kerf)
    made, route = routed(replace(drawing, strokes=strokes))
    if spacing - cutting.kerf <= 2.0 * WITHIN:
        made = replace(made, strokes=without_doubles(made.strokes))
        route = route.recounted(made.strokes)
    return made, route


def driven(drawing: Drawing, cutting: Cutting, shown: Collection[tuple[str, int | None]]) -> Drawing:
    """The prepared drawing as a blade follows it: with overlap and, but on ``shown`` layers, overcut."""
    return replace(drawing, strokes=closed_over(drawing.strokes, cutting, shown))
