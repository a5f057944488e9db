"""HP-GL: pen up, pen down, in units of 0.025 mm (40 to the millimetre), y going up.

Only IN, SP, PU and PD are used, which every plotter and cutter that reads HP-GL or HP-GL/2 knows.
Curves are written as chords within 0.002 mm, because rounding to whole units already takes up to
0.018 mm. Each operation has a pen of its own, so that a machine can be told what to do with it; notes
are left out.
"""

from __future__ import annotations

from laminature.errors import WriterError
from laminature.geometry.path import Path
from laminature.model.cutting import Cutting
from laminature.model.drawing import Drawing, Operation
from laminature.writers.strokes import checked

UNITS_PER_MM = 40
#: In the order of work.
PENS: dict[Operation, int] = {"marking": 1, "score": 2, "opening": 3, "outline": 4}
#: Coordinates of HP-GL end at 32 767 units.
LARGEST = 32767 / UNITS_PER_MM


def hpgl(drawing: Drawing, cutting: Cutting, passes: int = 1) -> bytes:
    """The bytes of an HP-GL file; openings and outlines are cut ``passes`` times, one after the other.

    Raises WriterError for a drawing without a size, or larger than 819 mm.
    """
    checked(drawing)
    out = ["IN;"]
    pen = 0
    for stroke in drawing.strokes:
        mine = PENS.get(stroke.operation)
        if mine is None or (stroke.operation == "marking" and not cutting.marks):
            continue
        if mine != pen:
            out.append(f"PU;SP{mine};")
            pen = mine
        points = _points(stroke.path, drawing.name)
        rounds = passes if stroke.operation in ("opening", "outline") else 1
        if stroke.path.closed:
            # A closed cut goes round and round without lifting.
            points = [points[0], *(points[1:] + points[:1]) * rounds]
            rounds = 1
        for _ in range(rounds):
            out.append(f"PU{points[0]};PD{','.join(points[1:])};")
    out.append("PU;SP0;")
    return ("\n".join(out) + "\n").encode("ascii")


def _points(path: Path, name: str) -> list[str]:
    """Points in whole units, none twice in a row; a closed path's first is not repeated."""
    found: list[tuple[int, int]] = []
    for x, y in path.flattened.tolist():
        if max(abs(x), abs(y)) > LARGEST:
            raise WriterError(
                f"{name} reaches beyond {LARGEST:.0f} mm, which HP-GL cannot say. Choose a smaller sheet, "
                "or another kind of file."
            )
        at = (round(x * UNITS_PER_MM), round(y * UNITS_PER_MM))
        if not found or at != found[-1]:
            found.append(at)
    if len(found) > 1 and path.closed and found[0] == found[-1]:
        found.pop()
    if len(found) == 1:
        found *= 2
    return [f"{x},{y}" for x, y in found]
