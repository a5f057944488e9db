"""Changes to a design file that keep all the rest as the maker wrote it, comments too.

A new file is begun by :func:`laminature.design.starter.new_design`, which can be had from here too.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from laminature.design.decoding import decode
from laminature.design.lines import KeyPath
from laminature.design.starter import new_design
from laminature.errors import DesignError, Place

__all__ = ["TomlValue", "new_design", "with_values"]

TomlValue = str | int | float | bool | Sequence["TomlValue"]

#: A plain key and value on a line of their own.
_OWN_LINE = re.compile(
    r"""\s*(?P<key>[A-Za-z0-9_-]+)[ \t]*=[ \t]*
    (?P<value>"[^"\\\n]*"|'[^'\n]*'|[-+0-9A-Za-z_.]+)(?P<rest>[ \t]*(?:\#[^\n]*)?)""",
    re.VERBOSE,
)
_BOM = b"\xef\xbb\xbf"
#: Tables that may be written as a name alone, and the key which that name then has.
_SHORTHAND: Mapping[KeyPath, str] = {
    ("board",): "name",
    ("fit",): "name",
    ("form",): "name",
    ("cutter",): "kind",
}


def with_values(source: bytes, changes: Mapping[KeyPath, TomlValue | None], file: str = "design") -> bytes:
    """The file with these values set, everything else as it was.

    A path names tables and keys, and items of lists by their number from 0. None takes a key or an item
    away (nothing happens where there is none). A table that is not there yet is made, and so is the next
    one of a list of tables (``[[joint]]``), by the number after the last; one
    written as a name alone (``board = "chipboard-22"``) becomes a table when a key in it is
    set. Raises DesignError where the file is no TOML, or a path leads through something that
    is no table; KeyError for a list's item that does not exist.
    """
    import tomlkit

    text = source.removeprefix(_BOM)
    lines = decode(text, file).lines
    spliced = _spliced(text.decode("utf-8"), changes, lines)
    if spliced is not None:
        return (_BOM if source.startswith(_BOM) else b"") + spliced.encode("utf-8")
    document = tomlkit.parse(text.decode("utf-8"))
    spaced: list[Any] = []
    for path, value in changes.items():
        if not path:
            raise KeyError("a change needs a key")
        _set(document, path, value, file, spaced)
    for table in spaced:
        table.add(tomlkit.nl())
    written = tomlkit.dumps(document).encode("utf-8")
    decode(written, file)
    return (_BOM if source.startswith(_BOM) else b"") + written


def _spliced(
    text: str, changes: Mapping[KeyPath, TomlValue | None], lines: Mapping[KeyPath, int]
) -> str | None:
    """The text with plain values put in the place of plain values that each have a line of their own.

    That is what a slider changes, a hundred times as fast as the whole way; None where it is more than that.
    """
    import tomlkit

    rows = text.split("\n")
    for path, value in changes.items():
        if not path or not isinstance(value, str | int | float) or path not in lines:
            return None
        row = rows[lines[path] - 1]
        found = _OWN_LINE.fullmatch(row)
        if found is None or found["key"] != path[-1]:
            return None
        rows[lines[path] - 1] = row[: found.start("value")] + tomlkit.item(value).as_string() + found["rest"]
    return "\n".join(rows)


def _set(document: Any, path: KeyPath, value: TomlValue | None, file: str, spaced: list[Any]) -> None:
    from tomlkit.items import String

    table = document
    for depth, key in enumerate(path[:-1]):
        if isinstance(key, int) and isinstance(table, list) and key == len(table):
            if value is None:
                return
            _begin_item(table, spaced)
        inner = _step(table, key, path)
        if inner is None:
            if value is None:
                return
            inner = _new_table(table, key, listed=path[depth + 1] == 0)
        elif isinstance(inner, String) and path[: depth + 1] in _SHORTHAND:
            if value is None:
                return
            inner = _from_name(table, key, inner.unwrap(), _SHORTHAND[path[: depth + 1]])
        elif not isinstance(inner, dict | list):
            raise DesignError(f"{key!r} is no table, so nothing in it can be set.", Place(file, key=str(key)))
        table = inner
    last = path[-1]
    if value is None:
        listed = isinstance(table, list) and isinstance(last, int) and 0 <= last < len(table)
        if listed or (isinstance(table, dict) and last in table):
            del table[last]
    elif isinstance(last, int):
        _step(table, last, path)
        table[last] = value
    else:
        table[last] = value


def _step(table: Any, key: str | int, path: KeyPath) -> Any:
    """What stands at ``key``; None where a table has no such key."""
    if isinstance(key, int):
        if not isinstance(table, list) or not 0 <= key < len(table):
            raise KeyError(f"there is no item {key} on the way to {path!r}")
        return table[key]
    if not isinstance(table, dict):
        raise KeyError(f"there is no table on the way to {path!r}")
    return table.get(key)


def _begin_item(tables: Any, spaced: list[Any]) -> None:
    """One more table at the end of a list of tables; in ``spaced`` if an empty line is to come after it.

    Raises KeyError for a list of anything else.
    """
    import tomlkit
    from tomlkit.items import AoT, Whitespace

    if isinstance(tables, AoT):
        item = tomlkit.table()
        item.trivia.indent = "\n"
        if tables and (body := tables[-1].value.body) and isinstance(body[-1][1], Whitespace):
            # The empty line that came after the last one comes after this one from now on.
            item.trivia.indent = ""
            spaced.append(item)
        tables.append(item)
    elif all(isinstance(item, dict) for item in tables):
        tables.append(tomlkit.inline_table())
    else:
        raise KeyError("only a list of tables can be gone on with")


def _new_table(table: Any, key: str | int, *, listed: bool) -> Any:
    """An empty table at a key, or an empty list of tables."""
    import tomlkit
    from tomlkit.items import InlineTable

    if listed:
        table[key] = tomlkit.array() if isinstance(table, InlineTable) else tomlkit.aot()
        return table[key]
    table[key] = tomlkit.inline_table() if isinstance(table, InlineTable) else tomlkit.table()
    return table[key]


def _from_name(table: Any, key: str | int, name: str, name_key: str) -> Any:
    """``board = "x"`` becomes ``board = { name = "x" }``, in its place."""
    import tomlkit

    inline = tomlkit.inline_table()
    inline[name_key] = name
    table[key] = inline
    return table[key]
