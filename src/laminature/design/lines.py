"""Where each key of a TOML file stands.

The standard library's reader knows no positions, so this walks the text once more and
notes the line of every key, table and array item. It runs *before* that reader, in time
linear in the text: it also finds what would take the reader too long or too deep. It
trusts nothing; at the first thing that is no TOML it stops and leaves the complaint to the reader.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

#: The path of a value: names of keys, and numbers of items counted from 0.
KeyPath = tuple[str | int, ...]

#: Nothing in a design file is nested deeper than this.
DEEPEST = 16
#: More keys and items than this are no design that a person wrote.
MOST_KEYS = 100_000

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BASIC = re.compile(r'"((?:[^"\\\n]|\\.)*)"')
_LITERAL = re.compile(r"'([^'\n]*)'")
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL)
_SCALAR = re.compile(r"[^\s,#\[\]{}=][^,#\[\]{}\n]*")
_PLAIN = r"""(?:"[^"\\\n]*"(?!")|'[^'\n]*'(?!')|[-+0-9A-Za-z_.:]+)"""
#: A pair on a line of its own, with a plain key and a plain value or a row of such values; and a
#: table's plain header: nearly all that any design has, so these are walked at a step.
_USUAL_PAIR = re.compile(
    rf"""([A-Za-z0-9_-]+)[ \t]*=[ \t]*
        (?:{_PLAIN}|\[[ \t]*({_PLAIN}(?:[ \t]*,[ \t]*{_PLAIN})*)[ \t]*,?[ \t]*\])
        [ \t]*(?:\#[^\n]*)?(?=\n|\Z)""",
    re.VERBOSE,
)
_ONE = re.compile(_PLAIN)
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|(.))")
_SHORT = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


class Refused(Exception):
    """What no reader should be asked to read. ``line`` counts from 1."""

    def __init__(self, message: str, line: int) -> None:
        self.message = message
        self.line = line
        super().__init__(message)


class _Stop(Exception):
    """The text is no TOML from here on."""


@dataclass
class _Open:
    """An array or inline table that is not closed yet."""

    path: KeyPath
    is_array: bool
    items: int = 0


@dataclass
class _Walk:
    text: str
    at: int = 0
    line: int = 1
    lines: dict[KeyPath, int] = field(default_factory=dict)

    def note(self, path: KeyPath) -> None:
        self.lines.setdefault(path, self.line)
        if len(path) > DEEPEST:
            raise Refused(f"Nothing in a design is nested more than {DEEPEST} deep.", self.line)
        if len(self.lines) > MOST_KEYS:
            raise Refused(f"There are more than {MOST_KEYS} values here; no design needs so many.", self.line)

    def skip(self, pattern: re.Pattern[str]) -> str:
        """Walk over what ``pattern`` matches here and return it. Raises _Stop where it does not."""
        match = pattern.match(self.text, self.at)
        if match is None:
            raise _Stop
        self.at = match.end()
        self.line += self.text.count("\n", match.start(), match.end())
        return match[0]

    def is_next(self, sign: str) -> bool:
        """Walk over ``sign`` if it comes next."""
        if self.text.startswith(sign, self.at):
            self.at += len(sign)
            return True
        return False


def lines_of(text: str) -> Mapping[KeyPath, int]:
    """The line of every key, table and array item in ``text``, counted from 1.

    Raises Refused for text nested too deep or with too many values.
    """
    walk = _Walk(text.replace("\r\n", "\n"))
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    try:
        while True:
            walk.skip(_BLANK)
            if walk.at >= len(walk.text):
                break
            if usual := _USUAL_PAIR.match(walk.text, walk.at):
                path = (*table, usual[1])
                walk.note(path)
                for i in range(len(_ONE.findall(usual[2])) if usual[2] else 0):
                    walk.note((*path, i))
                walk.at = usual.end()
            elif walk.text[walk.at] == "[":
                table = _header(walk, counts)
            else:
                _value(walk, _assigned(walk, table))
    except _Stop:
        pass
    return walk.lines


def _header(walk: _Walk, counts: dict[KeyPath, int]) -> KeyPath:
    """``[table]`` or ``[[array of tables]]``: where the keys below it belong."""
    is_array = walk.is_next("[[")
    if not is_array:
        walk.is_next("[")
    keys = _keys(walk)
    if not walk.is_next("]]" if is_array else "]"):
        raise _Stop
    path: KeyPath = ()
    for i, key in enumerate(keys):
        path = (*path, key)
        walk.note(path)
        if is_array and i == len(keys) - 1:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
            walk.note(path)
    return path


def _assigned(walk: _Walk, table: KeyPath) -> KeyPath:
    """``a.b =``: the path that is given a value."""
    path = table
    for key in _keys(walk):
        path = (*path, key)
        walk.note(path)
    if not walk.is_next("="):
        raise _Stop
    walk.skip(_SPACE)
    return path


def _keys(walk: _Walk) -> list[str]:
    """``a."b c".d``, with blanks around the dots."""
    found = []
    while True:
        walk.skip(_SPACE)
        sign = walk.text[walk.at : walk.at + 1]
        if sign == '"':
            found.append(_unescaped(walk.skip(_BASIC)[1:-1]))
        elif sign == "'":
            found.append(walk.skip(_LITERAL)[1:-1])
        else:
            found.append(walk.skip(_BARE))
        if len(found) > DEEPEST:
            raise Refused(f"Nothing in a design is nested more than {DEEPEST} deep.", walk.line)
        walk.skip(_SPACE)
        if not walk.is_next("."):
            return found


def _unescaped(text: str) -> str:
    def character(match: re.Match[str]) -> str:
        code = match[1] or match[2]
        if code is None:
            return _SHORT.get(match[3], match[3])
        number = int(code, 16)
        if number > 0x10FFFF:
            raise _Stop
        return chr(number)

    return _ESCAPE.sub(character, text) if "\\" in text else text


def _value(walk: _Walk, path: KeyPath) -> None:
    """Walk over a value; arrays and inline tables within it are kept on a stack, not on Python's."""
    opened: list[_Open] = []
    _begin(walk, path, opened)
    while opened:
        inner = opened[-1]
        walk.skip(_BLANK if inner.is_array else _SPACE)
        if walk.is_next("]" if inner.is_array else "}"):
            opened.pop()
            continue
        if inner.items:
            if not walk.is_next(","):
                raise _Stop
            walk.skip(_BLANK if inner.is_array else _SPACE)
            if inner.is_array and walk.is_next("]"):
                opened.pop()
                continue
        item: KeyPath
        if inner.is_array:
            item = (*inner.path, inner.items)
            walk.note(item)
        else:
            item = _assigned(walk, inner.path)
        inner.items += 1
        _begin(walk, item, opened)


def _begin(walk: _Walk, path: KeyPath, opened: list[_Open]) -> None:
    sign = walk.text[walk.at : walk.at + 1]
    if sign in ("[", "{") and sign:
        walk.at += 1
        opened.append(_Open(path, sign == "["))
        if len(opened) > DEEPEST:
            raise Refused(f"Nothing in a design is nested more than {DEEPEST} deep.", walk.line)
    elif walk.text.startswith('"""', walk.at):
        walk.skip(_LONG_BASIC)
    elif walk.text.startswith("'''", walk.at):
        walk.skip(_LONG_LITERAL)
    elif sign == '"':
        walk.skip(_BASIC)
    elif sign == "'":
        walk.skip(_LITERAL)
    else:
        walk.skip(_SCALAR)
