"""Which of the design's rules speak of a pair of parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from fnmatch import fnmatchcase

from laminature.model.joint import JointRule


def rule_for(rules: Sequence[JointRule], one: str, other: str) -> JointRule:
    """All rules that match the pair, either way round, laid over each other; later ones win."""
    said: dict[str, object] = {}
    for rule in rules:
        first, second = rule.parts
        straight = fnmatchcase(one, first) and fnmatchcase(other, second)
        if straight or (fnmatchcase(other, first) and fnmatchcase(one, second)):
            for f in fields(rule):
                value = getattr(rule, f.name)
                if f.name != "parts" and value is not None:
                    said[f.name] = value
    return JointRule(parts=(one, other), **said)  # type: ignore[arg-type]
