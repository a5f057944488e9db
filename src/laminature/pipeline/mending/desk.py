"""What the mends of a design are thought of from."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cached_property
from typing import Any

from laminature.design.lines import KeyPath
from laminature.design.writing import TomlValue
from laminature.model.cushion import Upholstery
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding, Mend, Setting
from laminature.pipeline.making import Making


@dataclass(frozen=True)
class Desk:
    """A design that was made, and its file's values as they stand there."""

    made: Making

    @cached_property
    def values(self) -> Mapping[str, Any]:
        """The file's values."""
        return tomllib.loads(self.made.design.source.decode("utf-8-sig"))

    def tables(self, key: str) -> list[Mapping[str, Any]]:
        """A list of tables of the file; none where there is no such list."""
        found = self.values.get(key)
        return [t for t in found if isinstance(t, dict)] if isinstance(found, list) else []

    def rule(self, label: str, receiver: str, entering: str, **keys: Setting) -> Mend:
        """A mend by a rule for the joints between two parts: the last one, where it is just for them."""
        return Mend(label, self.rule_changes(receiver, entering, 0, **keys))

    def rule_changes(
        self, receiver: str, entering: str, more: int, **keys: Setting
    ) -> tuple[tuple[tuple[str | int, ...], Setting], ...]:
        """The same as changes, where ``more`` rules are begun before it in the same mend."""
        rules = self.tables("joint")
        number = len(rules) + more
        begun: tuple[tuple[tuple[str | int, ...], Setting], ...] = (
            (("joint", number, "parts"), (receiver, entering)),
        )
        if (
            rules
            and not more
            and sorted(map(str, rules[-1].get("parts", ()))) == sorted([receiver, entering])
        ):
            number, begun = number - 1, ()
        return (*begun, *((("joint", number, key), value) for key, value in keys.items()))

    def stack_rules(self, part: str, key: str) -> Iterator[tuple[int, Any]]:
        """The numbers of the rules for a part's stack that set a key, the last first, and what they set."""
        for number, rule in reversed(list(enumerate(self.tables("stack")))):
            if key in rule and fnmatchcase(part, str(rule.get("parts", ""))):
                yield number, rule[key]

    def cushion(self, found: Finding) -> tuple[CushionSpec, Upholstery] | None:
        """The cushion that a finding is about, as it is asked for and as it is made."""
        made = next((c for c in self.made.cushions if c.name == found.part), None)
        spec = next((s for s in self.made.design.cushions if s.name == found.part), None)
        return None if made is None or spec is None else (spec, made)

    def real(self, mend: Mend) -> dict[KeyPath, TomlValue | None]:
        """The changes of a mend with the paths of this file, as they can be written there."""
        several = isinstance(self.values.get("cushion"), list)
        numbers = {spec.name: n for n, spec in enumerate(self.made.design.cushions)}
        changes: dict[KeyPath, TomlValue | None] = {}
        for path, value in mend.changes:
            real = path
            if path[0] == "cushion":
                at = numbers[str(path[1])]
                real = ("cushion", at, *path[2:]) if several else ("cushion", *path[2:])
            changes[real] = value if value is None or isinstance(value, str | int | float) else list(value)
        return changes


def full(mm: float, scale: float) -> str:
    """A length at miniature scale as a full-size one, to the next eighth of an inch up."""
    eighths = -int(-(mm * scale / 25.4 * 8.0) // 1)
    return f"{eighths / 8:g} in"
