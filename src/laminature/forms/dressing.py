"""What a design says of parts by patterns of their names, put onto the parts that a form has made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fnmatch import fnmatchcase

from laminature.errors import FormError
from laminature.model.cushion import CushionEnvelope
from laminature.model.design import CushionSpec
from laminature.model.part import GrainRule
from laminature.model.piece import Cushion, Piece


def with_grain(piece: Piece, grains: Sequence[tuple[str, GrainRule]]) -> Piece:
    """The piece whose parts have the grain rule of the last pattern that their name matches."""
    parts = []
    for part in piece.parts:
        rules = [rule for pattern, rule in grains if fnmatchcase(part.name, pattern)]
        parts.append(replace(part, grain=rules[-1]) if rules else part)
    return replace(piece, parts=tuple(parts))


def with_cushions(piece: Piece, specs: Sequence[CushionSpec], room: Mapping[str, CushionEnvelope]) -> Piece:
    """The piece with all cushions of the design: those that its form has placed, and those that it has not.

    ``room`` holds their envelopes by name. Raises FormError for a cushion on a part that is not there.
    """
    names = [part.name for part in piece.parts]
    made = []
    for spec in specs:
        placed = next((c for c in piece.cushions if spec.on in ("", c.on)), None)
        if placed is not None:
            made.append(replace(placed, name=spec.name))
        elif spec.on in names:
            made.append(Cushion(spec.name, spec.on, room[spec.name]))
        else:
            what = f"lies on {spec.on!r}, which is no part of this piece" if spec.on else "lies on no part"
            raise FormError(
                f"the cushion {spec.name!r} {what}.",
                "on",
                f"Name one of {', '.join(names[:20])}{' and more' if len(names) > 20 else ''}.",
            )
    return replace(piece, cushions=tuple(made))
