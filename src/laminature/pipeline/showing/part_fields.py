"""The sizes of parts that a design lists itself."""

from __future__ import annotations

from typing import Any

from laminature.model.design import Design
from laminature.pipeline.showing.fielding import Desk, Field, group, plain
from laminature.units import Measure, Scale, UnitError, length

#: No more parts than this have fields; the rest are changed in the file's text.
MOST = 40
_LENGTHS = ("width", "height", "diameter", "across", "across_flats", "thickness")


def part_groups(desk: Desk, design: Design) -> list[dict[str, Any]]:
    """A group for each of the first parts, with the sizes that are written for it."""
    made = []
    for n, part in enumerate(design.parts[:MOST]):
        found = [f for key in _LENGTHS if (f := _size(desk, design, n, key)) is not None]
        if part.layers is not None:
            found.append(
                desk.number(
                    ("part", n, "layers"), "Layers", "How many layers.", "layers", part.layers, None, 1, 40
                )
            )
        if found:
            made.append(group("sizes", part.title or part.name, found))
    return made


def _size(desk: Desk, design: Design, n: int, key: str) -> Field | None:
    written = desk.written(("part", n, key))
    if written is None:
        return None
    try:
        measure: Measure = length(written, desk.ruler.bare)
    except UnitError:
        return None
    full = float(Scale(design.scale).full(measure))
    return desk.length(("part", n, key), plain(key), "", full, None, full / 4.0, full * 3.0, "full")
