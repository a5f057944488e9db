"""Words that we add to what the maker wrote, by key; the tables are in ``data/words.toml``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_PLACE = re.compile(r"\{([A-Za-z_]+)\}")
#: How deep one entry may stand in another; entries that stand in each other would never end.
_DEEPEST = 4


@dataclass(frozen=True)
class Words:
    """The words of one language. An entry may name others as ``{key}``: trade words stand in sentences so."""

    table: Mapping[str, str]

    def of(self, key: str, **fields: str) -> str:
        """The entry with ``fields`` filled in; what a field holds is never looked at for places itself.

        Raises KeyError for an entry, or a place in one, that is not there.
        """
        return self._filled(self.table[key], fields, _DEEPEST)

    def some(self, key: str, number: int, **fields: str) -> str:
        """The entry for one, ``KEY_one``, or for several, ``KEY_many``, with ``{n}`` the number."""
        return self.of(f"{key}_{'one' if number == 1 else 'many'}", n=str(number), **fields)

    def plain(self) -> dict[str, str]:
        """All entries, with other entries filled in and every other place left as it is."""
        kept = {name: f"{{{name}}}" for text in self.table.values() for name in _PLACE.findall(text)}
        fields = {name: place for name, place in kept.items() if name not in self.table}
        return {key: self.of(key, **fields) for key in self.table}

    def _filled(self, text: str, fields: Mapping[str, str], deeper: int) -> str:
        def fill(found: re.Match[str]) -> str:
            name = found[1]
            if name in fields:
                return fields[name]
            if not deeper:
                raise KeyError(name)
            return self._filled(self.table[name], fields, deeper - 1)

        return _PLACE.sub(fill, text)
