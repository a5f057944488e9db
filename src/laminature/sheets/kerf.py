"""A laser's kerf, taken into account on the way out: outlines larger, openings smaller by half of it.

Cut with a kerf of 0.2 mm, a drawn rectangle of 2 × 4 mm is a part of 1.8 × 3.8; so it is drawn
2.2 × 4.2, and the model keeps its sizes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.errors import BuildError
from laminature.geometry.offset import moved_path
from laminature.model.drawing import Operation, Stroke

#: Which way half the kerf goes.
_WAY: dict[Operation, float] = {"outline": 0.5, "opening": -0.5}


def with_kerf(strokes: Sequence[Stroke], kerf: float) -> tuple[Stroke, ...]:
    """The strokes as a beam of ``kerf`` mm has to walk so that the parts get the sizes drawn.

    Open cuts stay where they are: nobody can say which of their sides is kept. Raises BuildError where
    an opening, a slit or a neck is too narrow for the beam.
    """
    if kerf == 0.0:
        return tuple(strokes)
    made = []
    for stroke in strokes:
        way = _WAY.get(stroke.operation)
        if way is None or not stroke.path.closed:
            made.append(stroke)
            continue
        path = moved_path(stroke.path, way * kerf)
        if path is None:
            what = "The opening" if stroke.operation == "opening" else "A slit in the outline"
            raise BuildError(
                f"{what} {stroke.name} of {stroke.part or 'the sheet'} is somewhere narrower than "
                f"the kerf of {kerf:g} mm, so a laser cannot cut it to its size. "
                "Make it wider, or measure the kerf again."
            )
        made.append(replace(stroke, path=path))
    return tuple(made)
