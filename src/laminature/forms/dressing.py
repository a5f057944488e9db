"""What a design says of parts by patterns of their names, put onto the parts that a form has made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fnmatch import fnmatchcase

from laminature.model.part import GrainRule
from laminature.model.piece import Piece


def with_grain(piece: Piece, grains: Sequence[tuple[str, GrainRule]]) -> Piece:
    """The piece whose parts have the grain rule of the last pattern that their name matches."""
    parts = []
    for part in piece.parts:
        rules = [rule for pattern, rule in grains if fnmatchcase(part.name, pattern)]
        parts.append(replace(part, grain=rules[-1]) if rules else part)
    return replace(piece, parts=tuple(parts))
