"""The ledger of offcuts: a file ``offcuts.toml`` in the configuration folder, or one that the maker names.

Written whole or not at all, and only from what has just been read of it under a lock, so that neither
a kill nor another run loses an entry. Where the maker has changed the file by hand, the changed file is kept
beside it before it is written anew.
"""

from __future__ import annotations

import difflib
import os
import pathlib
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from typing import Any

from laminature.errors import StoreError
from laminature.model.offcut import LETTER, Keep, Offcut
from laminature.store import locks
from laminature.store.boards import config_folder
from laminature.store.files import half_of, plain, read_bounded, write_whole
from laminature.store.one_offcut import check_keys, length_of, offcut_lines, read_offcut, short, text_of
from laminature.store.toml import number, string

FORMAT = 1
_CAP = 1 << 24
_MOST = 5000
_COUNTED = re.compile(LETTER + r"([1-9][0-9]{0,8})", re.IGNORECASE)
_KEYS = ("format", "next", "keep", "keep_drop_outs", "offcuts", "cuts")
_CUT_KEYS = ("kit", "title", "used", "made")
_HEAD = """\
# Your offcuts. Laminature writes this file, and you may change it: before Laminature writes it
# again, it keeps what you changed beside it as offcuts-edited.toml. Lengths are mm.
"""


@dataclass(frozen=True)
class Entered:
    """A kit that was cut: ``kit`` is the seal of its ``kit.toml``; names of offcuts that it used and made."""

    kit: str
    title: str = ""
    used: tuple[str, ...] = ()
    made: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ledger:
    """What the maker keeps. The next name is ``K`` and ``next``; no name is given twice."""

    offcuts: tuple[Offcut, ...] = ()
    next: int = 1
    keep: Keep = field(default_factory=Keep)
    cuts: tuple[Entered, ...] = ()

    def named(self, name: str) -> Offcut | None:
        """The offcut of that name, in whatever case it is written."""
        return next((o for o in self.offcuts if o.name.casefold() == name.casefold()), None)

    def added(self, offcuts: Sequence[Offcut]) -> Ledger:
        """With further offcuts, each under a new name."""
        named = tuple(replace(o, name=f"{LETTER}{self.next + n}") for n, o in enumerate(offcuts))
        return replace(self, offcuts=(*self.offcuts, *named), next=self.next + len(named))

    def removed(self, names: Sequence[str]) -> Ledger:
        """Without the offcuts of these names. Raises StoreError where one is not there."""
        gone = []
        for name in names:
            found = self.named(name)
            if found is None:
                near = difflib.get_close_matches(name.upper(), [o.name for o in self.offcuts], n=1)
                hint = f" Did you mean {near[0]!r}?" if near else " `laminature offcuts` lists them."
                raise StoreError(f"There is no offcut {name!r} in the ledger.{hint} Nothing was changed.")
            gone.append(found.name)
        return replace(self, offcuts=tuple(o for o in self.offcuts if o.name not in gone))


def ledger_file() -> pathlib.Path:
    """Where the ledger lies if the maker names no other file, whether or not there is one."""
    return config_folder() / "offcuts.toml"


def read_ledger(path: pathlib.Path | None = None) -> Ledger:
    """The ledger at ``path``, or the usual one; an empty one where there is no file. Raises StoreError."""
    file = path or ledger_file()
    return parse(read_bounded(file, _CAP), str(file)) if os.path.lexists(file) else Ledger()


@dataclass(frozen=True)
class Written:
    """A ledger as it now stands in ``file``; ``kept`` is where the maker's own version of it was put."""

    ledger: Ledger
    file: pathlib.Path
    kept: pathlib.Path | None = None


def change_ledger(change: Callable[[Ledger], Ledger], path: pathlib.Path | None = None) -> Written:
    """Read the ledger, change it and write it, while no other run can.

    Raises StoreError, also what ``change`` raises, with the ledger as it was.
    """
    file = path or ledger_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with _locked(file):
            data = read_bounded(file, _CAP) if os.path.lexists(file) else None
            before = Ledger() if data is None else parse(data, str(file))
            after = change(before)
            if data is not None and after == before:
                return Written(before, file)
            new = dump(after)
            # Never write what could not be read again.
            parse(new, str(file))
            kept = None
            if data is not None and data != dump(before):
                kept = _kept(file, data)
            write_whole(file, new, replaces=lambda there: there == data, cap=_CAP)
            return Written(after, file, kept)
    except OSError as error:
        raise StoreError(f"The ledger {file} cannot be written: {plain(error)}.") from error


def _kept(file: pathlib.Path, data: bytes) -> pathlib.Path:
    """Put the maker's version beside the ledger, under the first name where nothing else is."""
    place, n = file.with_name(f"{file.stem}-edited{file.suffix}"), 1
    while os.path.lexists(place):
        # An earlier run, killed in between, may have put it there already.
        half_of(place).unlink(missing_ok=True)
        if place.is_file() and not place.is_symlink() and place.read_bytes() == data:
            return place
        n += 1
        place = file.with_name(f"{file.stem}-edited-{n}{file.suffix}")
    write_whole(place, data)
    return place


@contextmanager
def _locked(file: pathlib.Path) -> Iterator[None]:
    lock = file.with_name(f".laminature-{file.name}.lock")
    with locks.held(lock, f"Another run of Laminature is writing {file}; try again when it has ended."):
        try:
            yield
        finally:
            with suppress(OSError):  # While it is held, so that nobody else's is removed ...
                lock.unlink()
    with suppress(OSError):  # ... and once more for systems that do not remove an open file.
        lock.unlink()


# --- writing ---------------------------------------------------------------------------


def dump(ledger: Ledger) -> bytes:
    """The bytes of a ledger; the same ledger gives the same bytes."""
    return (_HEAD + "\n".join(_lines(ledger)) + "\n").encode()


def _lines(ledger: Ledger) -> Iterator[str]:
    yield f"format = {FORMAT}"
    yield f"next = {ledger.next}  # the next name is {LETTER}{ledger.next}; no name is given twice"
    yield f"keep = {_pair(ledger.keep.offcuts)}  # the smallest rectangle in an offcut that is kept"
    yield f"keep_drop_outs = {_pair(ledger.keep.drop_outs)}  # the same for what falls out of openings"
    for offcut in ledger.offcuts:
        yield "\n[[offcuts]]"
        yield from offcut_lines(offcut)
    for cut in ledger.cuts:
        yield "\n[[cuts]]"
        yield f"kit = {string(cut.kit)}"
        yield f"title = {string(cut.title)}"
        yield f"used = [{', '.join(map(string, cut.used))}]"
        yield f"made = [{', '.join(map(string, cut.made))}]"


def _pair(sides: tuple[float, float]) -> str:
    return f"[{number(sides[0])}, {number(sides[1])}]"


# --- reading ---------------------------------------------------------------------------


def parse(data: bytes, file: str) -> Ledger:
    """The ledger in ``data``. Raises StoreError, naming ``file``, the entry and what is wrong with it."""
    table = _table(data, file)
    if "format" not in table:
        kind = "It looks like a kit's own list: give" if "files" in table else "Give"
        raise StoreError(f"{file} is no ledger of offcuts: it has no format. {kind} another file.")
    _check_format(table["format"], file)
    check_keys(table, _KEYS, file)
    entries = _tables(table, "offcuts", file)
    offcuts = tuple(read_offcut(entry, f"{file}: {_which(n, entry)}") for n, entry in enumerate(entries, 1))
    seen: dict[str, str] = {}
    for offcut in offcuts:
        if offcut.name.casefold() in seen:
            raise StoreError(f"{file}: there are two offcuts {offcut.name!r}. Give one of them another name.")
        seen[offcut.name.casefold()] = offcut.name
    cuts = tuple(_entered(e, f"{file}: cut {n}") for n, e in enumerate(_tables(table, "cuts", file), 1))
    usual = Keep()
    keep = Keep(
        _sides(table.get("keep"), usual.offcuts, f"{file}: keep"),
        _sides(table.get("keep_drop_outs"), usual.drop_outs, f"{file}: keep_drop_outs"),
    )
    return Ledger(offcuts, _next(table.get("next", 1), offcuts, cuts, file), keep, cuts)


def _table(data: bytes, file: str) -> Mapping[str, Any]:
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise StoreError(f"{file}:{line}: this is not UTF-8 text. Nothing was changed.") from error
    except (tomllib.TOMLDecodeError, ValueError) as error:
        raise StoreError(f"{file} is not TOML: {error}. Nothing was changed.") from error
    except RecursionError as error:
        raise StoreError(f"{file} is nested far too deeply. Nothing was changed.") from error


def _check_format(value: object, file: str) -> None:
    if type(value) is int and value > FORMAT:
        raise StoreError(
            f"{file} was written by a newer version of Laminature (format {value}; this one reads {FORMAT}). "
            "Use that version. Nothing was changed."
        )
    if type(value) is not int or value != FORMAT:
        raise StoreError(f"{file}: format is {FORMAT}, not {short(value)}.")


def _tables(table: Mapping[str, Any], key: str, file: str) -> Sequence[Mapping[str, Any]]:
    value = table.get(key, [])
    if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
        raise StoreError(f"{file}: {key} are written as [[{key}]] tables.")
    if len(value) > _MOST:
        raise StoreError(f"{file}: there are more than {_MOST:,} {key}; no more are read.")
    return value


def _which(n: int, entry: Mapping[str, Any]) -> str:
    name = entry.get("name")
    return f"offcut {short(name)}" if isinstance(name, str) else f"offcut {n} (without a name)"


def _sides(value: object, usual: tuple[float, float], place: str) -> tuple[float, float]:
    if value is None:
        return usual
    if not isinstance(value, list) or len(value) != 2:
        raise StoreError(f"{place} takes two lengths in mm, like [40, 25].")
    return length_of(value[0], place), length_of(value[1], place)


def _entered(entry: Mapping[str, Any], place: str) -> Entered:
    check_keys(entry, _CUT_KEYS, place)
    used, made = (_names(entry.get(key, []), f"{place}: {key}") for key in ("used", "made"))
    return Entered(text_of(entry, "kit", place), text_of(entry, "title", place, ""), used, made)


def _names(value: object, place: str) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise StoreError(f"{place} is a list of names.")
    return tuple(value)


def _next(value: object, offcuts: Sequence[Offcut], cuts: Sequence[Entered], file: str) -> int:
    """The counter; where somebody has turned it back, on beyond every name that was given."""
    if type(value) is not int or not 1 <= value < 10**9:
        raise StoreError(f"{file}: next is a whole number above zero, not {short(value)}.")
    given = [o.name for o in offcuts] + [name for cut in cuts for name in (*cut.used, *cut.made)]
    counted = [int(match[1]) for name in given if (match := _COUNTED.fullmatch(name))]
    return max([value, *(n + 1 for n in counted)])
