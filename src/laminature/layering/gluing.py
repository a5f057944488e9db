"""The design's rules for stacks, settled part by part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from fnmatch import fnmatchcase

from laminature.model.gluing import BY_HAND, Gluing, StackRule
from laminature.model.piece import Piece


def with_gluing(piece: Piece, rules: Sequence[StackRule]) -> Piece:
    """The piece with the rules laid over each other on every part; later ones win."""
    if not rules:
        return piece
    return replace(piece, parts=tuple(replace(p, gluing=_settled(p.name, rules)) for p in piece.parts))


def _settled(name: str, rules: Sequence[StackRule]) -> Gluing:
    said: dict[str, object] = {}
    for rule in rules:
        if fnmatchcase(name, rule.parts):
            for f in fields(Gluing):
                value = getattr(rule, f.name)
                if value is not None:
                    said[f.name] = value
    return replace(BY_HAND, **said)  # type: ignore[arg-type]
