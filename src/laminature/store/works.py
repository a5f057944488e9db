"""Works of the work table: designs saved by themselves, with dated copies to go back to.

A work is a folder of Laminature's own::

    WORK/design.toml     the design as it stands (unless the work is a file of the maker's)
    WORK/about.json      its title, and which file of the maker's it is, if any
    WORK/pending.json    what was typed and cannot be used yet
    WORK/history.json    steps that can be taken back and made again
    WORK/picture.svg     what the start page shows
    WORK/offcuts.json    names of the offcuts that its sheets are laid out with
    WORK/kit.toml        sheets that a search by time found, as in a kit
    WORK/with/…          the same for each choice of offcuts
    WORK/copies/…        dated copies
    WORK/…               pictures that an own copy of a file names, under the names that it gives them

Every file is written whole or not at all, the design first, so that a program that is killed at any moment
leaves the former state or the new one. Nothing is overwritten that something else has changed.
"""

from __future__ import annotations

import hashlib
import json
import os
import pathlib
import re
import secrets
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from laminature.errors import StoreError
from laminature.model.sheet import Kept
from laminature.store import layouts, manifest, pictures
from laminature.store.copies import due, stamp, thinned, time_of
from laminature.store.files import make_folder, plain, read_bounded, write_whole
from laminature.store.steps import Steps, packed, unpacked

#: The most that is read of a design, of what is known about a work, and of a picture, bytes. Steps of undo
#: may take six bytes for each character: see :data:`~laminature.store.steps.MOST_CHARACTERS`.
DESIGN_CAP, ABOUT_CAP, PICTURE_CAP, STEPS_CAP = 2 << 20, 4 << 20, 1 << 20, 14 << 20
#: No more works than this are listed, the newest first.
MOST_LISTED = 60
#: No more offcuts than this are chosen, and for no more choices sheets that were found are kept.
MOST_OFFCUTS, MOST_CHOICES = 200, 8
BIN = "bin"
#: Names that no picture may take in a work's folder.
OURS = frozenset(
    {
        "design.toml",
        "about.json",
        "pending.json",
        "history.json",
        "picture.svg",
        "offcuts.json",
        "kit.toml",
        "with",
        "copies",
    }
)
_ID = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,78}[a-z0-9])?")


class ChangedOutside(StoreError):
    """Something else has changed the file since it was last read or written; ``text`` is what it holds."""

    def __init__(self, path: pathlib.Path, text: bytes) -> None:
        self.text = text
        super().__init__(f"{path.name} was changed by something else. Nothing was overwritten.")


@dataclass(frozen=True)
class Listed:
    """A work as the start page shows it; ``when`` is ISO time, ``picture`` SVG or nothing."""

    work: str
    title: str
    when: str
    picture: str


@dataclass(frozen=True)
class Copy:
    """A dated copy: its name and ISO time."""

    copy: str
    when: str


def works_folder() -> pathlib.Path:
    """Where works lie: the system's usual place for a program's data, or what LAMINATURE_WORK names."""
    named = os.environ.get("LAMINATURE_WORK")
    if named:
        return pathlib.Path(named)
    import platformdirs

    return platformdirs.user_data_path("laminature", appauthor=False) / "works"


class SavedWork:
    """One work's place on the disk.

    ``last`` is what the design's file held when it was last read or written, None where there was none.
    """

    def __init__(self, folder: pathlib.Path, file: pathlib.Path | None = None) -> None:
        self.folder = folder
        self.file = file
        self.last: bytes | None = None
        self._about: Mapping[str, Any] | None = None
        self._pending: Sequence[Any] | None = None
        self._offcuts: Sequence[str] | None = None
        self._steps: Steps | None = None

    @property
    def work(self) -> str:
        """The name of the work."""
        return self.folder.name

    @property
    def design(self) -> pathlib.Path:
        """The file that holds the design."""
        return self.file or self.folder / "design.toml"

    def read(self) -> bytes:
        """The design as it stands. Raises StoreError."""
        self.last = read_bounded(self.design, DESIGN_CAP)
        return self.last

    def pending(self) -> Sequence[Any]:
        """What was typed and could not be used, as it was saved; nothing where that cannot be read."""
        found = _json(self.folder / "pending.json")
        return found if isinstance(found, list) else []

    def offcuts(self) -> tuple[str, ...]:
        """Names of the offcuts that the sheets are laid out with; none where that cannot be read."""
        found = _json(self.folder / "offcuts.json")
        names = found if isinstance(found, list) else []
        return tuple(name for name in names[:MOST_OFFCUTS] if isinstance(name, str))

    def steps(self) -> Steps | None:
        """What could be taken back and made again when it was saved; None where that cannot be read."""
        return unpacked(_json(self.folder / "history.json", STEPS_CAP))

    def take_pictures(self, names: Sequence[str], source: pathlib.Path) -> tuple[str, ...]:
        """Copy pictures that the design names from its former folder; returns those that stay behind."""
        return pictures.take_along(names, source, self.folder, OURS)

    def save(
        self,
        text: bytes,
        title: str,
        pending: Sequence[Any] = (),
        now: datetime | None = None,
        *,
        offcuts: Sequence[str] | None = None,
        steps: Steps | None = None,
    ) -> None:
        """Bring a state to the disk; ``offcuts`` and ``steps`` of None leave those as they are.

        Raises ChangedOutside, or StoreError where that cannot be done.
        """
        moment = now or datetime.now(UTC)
        make_folder(self.folder)
        if text != self.last:
            before = self.last
            self._write_design(text)
            self._keep_copy(before, moment)
            self._keep_copy(text, moment)
        about = {"title": title, "file": None if self.file is None else str(self.file)}
        if about != self._about:
            _write(self.folder / "about.json", json.dumps(about).encode())
            self._about = about
        if list(pending) != list(self._pending or ()) or self._pending is None:
            self._write_pending(pending)
        if offcuts is not None and (self._offcuts is None or list(offcuts) != list(self._offcuts)):
            self._write_offcuts(offcuts)
        if steps is not None and steps != self._steps:
            _write(self.folder / "history.json", packed(steps))
            self._steps = steps

    def take_outside(self) -> bytes:
        """Go on from what something else has written. Raises StoreError."""
        return self.read()

    def copies(self) -> tuple[Copy, ...]:
        """The dated copies, the newest first."""
        return tuple(Copy(name, time_of(name).isoformat()) for name in reversed(self._names()))

    def copy(self, name: str) -> bytes:
        """What a dated copy holds. Raises StoreError where there is none of that name."""
        if name not in self._names():
            raise StoreError("There is no such copy any more.")
        return read_bounded(self.folder / "copies" / name, DESIGN_CAP)

    def write_picture(self, picture: bytes) -> None:
        """Keep a picture for the start page. Raises StoreError."""
        if len(picture) <= PICTURE_CAP:
            make_folder(self.folder)
            _write(self.folder / "picture.svg", picture)

    def kept(self, choice: str = "") -> Kept | None:
        """The sheets that a search by time found for this work with a choice of offcuts, by its digest."""
        return layouts.read_kept(self._place_of(choice))

    def write_kept(self, kept: Kept, choice: str = "") -> None:
        """Keep sheets that a search by time found. Raises StoreError."""
        place = self._place_of(choice)
        make_folder(place)
        about = manifest.About(self.work, kept.sheets, kept=kept)
        _write(place / manifest.NAME, manifest.write({}, about))
        if choice:
            self._thin_choices()

    def _place_of(self, choice: str) -> pathlib.Path:
        return self.folder / "with" / choice if choice else self.folder

    def _thin_choices(self) -> None:
        """Of sheets found with other offcuts, leave those that were found last."""
        with suppress(OSError):
            found = sorted((self.folder / "with").iterdir(), key=lambda p: p.stat().st_mtime, reverse=True)
            for place in found[MOST_CHOICES:]:
                (place / manifest.NAME).unlink(missing_ok=True)
                place.rmdir()

    def _write_design(self, text: bytes) -> None:
        path = self.design
        there = read_bounded(path, DESIGN_CAP) if path.exists() else None
        if there is not None and there not in (self.last, text):
            raise ChangedOutside(path, there)
        if there != text:
            write_whole(path, text, replaces=lambda found: found == there)
        self.last = text

    def _write_pending(self, pending: Sequence[Any]) -> None:
        path = self.folder / "pending.json"
        if pending:
            _write(path, json.dumps(list(pending)).encode())
        else:
            with suppress(OSError):
                path.unlink(missing_ok=True)
        self._pending = list(pending)

    def _write_offcuts(self, names: Sequence[str]) -> None:
        path = self.folder / "offcuts.json"
        if names:
            _write(path, json.dumps(list(names)).encode())
        else:
            try:
                path.unlink(missing_ok=True)
            except OSError as error:
                raise StoreError(f"The choice of offcuts cannot be saved: {plain(error)}.") from error
        self._offcuts = list(names)

    def _names(self) -> list[str]:
        try:
            found = [p.name for p in (self.folder / "copies").iterdir()]
        except OSError:
            return []
        return sorted(name for name in found if _is_copy(name))

    def _keep_copy(self, text: bytes | None, now: datetime) -> None:
        """Keep a dated copy where one is due, and thin the older ones out."""
        if text is None:
            return
        names = self._names()
        folder = self.folder / "copies"
        make_folder(folder)
        if names and not due(names[-1], now):
            return
        if names and _same(folder / names[-1], text):
            return
        _write(folder / stamp(now), text)
        names = self._names()
        for name in set(names) - thinned(names, now):
            with suppress(OSError):
                (folder / name).unlink()


class Works:
    """All works in one folder."""

    def __init__(self, root: pathlib.Path | None = None) -> None:
        self.root = root or works_folder()

    def listed(self) -> tuple[Listed, ...]:
        """The newest works, for the start page; what cannot be read is left out."""
        found = []
        for saved in self._all():
            try:
                when = datetime.fromtimestamp(saved.design.stat().st_mtime, UTC)
            except OSError:
                continue
            found.append((when, saved))
        found.sort(key=lambda pair: (pair[0], pair[1].work), reverse=True)
        return tuple(_listed(saved, when) for when, saved in found[:MOST_LISTED])

    def begin(self, title: str) -> SavedWork:
        """A place for a new work. Nothing is written yet."""
        return SavedWork(self.root / f"{_slug(title)}-{secrets.token_hex(4)}")

    def find(self, work: str) -> SavedWork:
        """A work by its name. Raises StoreError where there is none."""
        for saved in self._all():
            if saved.work == work:
                return saved
        raise StoreError("There is no such work any more.")

    def of_file(self, file: pathlib.Path) -> SavedWork:
        """The work that is a file of the maker's, links followed. Raises StoreError."""
        try:
            real = file.resolve(strict=True)
        except (OSError, RuntimeError, ValueError) as error:
            why = plain(error) if isinstance(error, OSError) else "this is no file name"
            raise StoreError(f"{file} cannot be read: {why}.") from error
        name = "file-" + hashlib.sha256(str(real).encode("utf-8", "surrogateescape")).hexdigest()[:24]
        return SavedWork(self.root / name, real)

    def forget(self, work: str) -> None:
        """Move a work to the bin folder; a file of the maker's stays where it is. Raises StoreError."""
        saved = self.find(work)
        place = self.root / BIN
        make_folder(place)
        target = place / work
        if target.exists():
            target = place / f"{work}-{secrets.token_hex(4)}"
        try:
            saved.folder.rename(target)
        except OSError as error:
            raise StoreError(f"The work cannot be moved to the bin: {plain(error)}.") from error

    def _all(self) -> Iterator[SavedWork]:
        try:
            folders = sorted(p for p in self.root.iterdir() if p.name != BIN and _ID.fullmatch(p.name))
        except OSError:
            return
        for folder in folders:
            if folder.is_symlink() or not folder.is_dir():
                continue
            about = _json(folder / "about.json")
            file = about.get("file") if isinstance(about, dict) else None
            if isinstance(file, str) or (folder / "design.toml").is_file():
                yield SavedWork(folder, pathlib.Path(file) if isinstance(file, str) else None)


def _listed(saved: SavedWork, when: datetime) -> Listed:
    about = _json(saved.folder / "about.json")
    title = about.get("title") if isinstance(about, dict) else None
    picture = ""
    with suppress(StoreError, UnicodeDecodeError):
        picture = read_bounded(saved.folder / "picture.svg", PICTURE_CAP).decode()
    return Listed(saved.work, title if isinstance(title, str) else saved.work, when.isoformat(), picture)


def _slug(title: str) -> str:
    bare = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", bare).strip("-")[:40].strip("-") or "work"


def _is_copy(name: str) -> bool:
    try:
        time_of(name)
    except ValueError:
        return False
    return True


def _same(path: pathlib.Path, data: bytes) -> bool:
    try:
        return read_bounded(path, DESIGN_CAP) == data
    except StoreError:
        return False


def _json(path: pathlib.Path, cap: int = ABOUT_CAP) -> Any:
    try:
        return json.loads(read_bounded(path, cap)) if path.is_file() else None
    except (OSError, StoreError, ValueError, RecursionError):
        return None


def _write(path: pathlib.Path, data: bytes) -> None:
    write_whole(path, data, replaces=lambda _: True)
