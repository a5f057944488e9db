"""Exchanging a whole folder for another, so that a kill at any moment loses nothing.

No system call exchanges two folders everywhere, so a *bench* is set up beside the folder:
a hidden sibling that holds ``new``, the folder being made, and for a moment ``old``, the
one being replaced. The moments at which everything can stop, and what is then there:

====================================  ===================  ==========================
stopped                               the folder           a later run
====================================  ===================  ==========================
while ``new`` is filled               as before            clears ``new``
between the two renames               absent; in ``old``   puts ``old`` back
while ``old`` is cleared              new, complete        goes on clearing ``old``
====================================  ===================  ==========================

The user's own files are carried into ``new`` as hard links (copies where a disk has none)
before the exchange, so they are in the folder whenever the folder is there.
"""

from __future__ import annotations

import filecmp
import hashlib
import os
import pathlib
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass

from laminature.errors import StoreError
from laminature.store import locks, manifest
from laminature.store.files import sync_folder

_CLAIM = "claim"


@dataclass(frozen=True)
class Bench:
    """The place beside ``target`` where its successor is made."""

    target: pathlib.Path
    place: pathlib.Path

    @property
    def new(self) -> pathlib.Path:
        """The folder being made."""
        return self.place / "new"

    @property
    def old(self) -> pathlib.Path:
        """The folder being replaced, while it is."""
        return self.place / "old"

    def exchange(self) -> None:
        """Put ``new`` in the target's place. Raises OSError with the target as it was."""
        if os.path.lexists(self.target):
            self.target.rename(self.old)
        try:
            self.new.rename(self.target)
        except BaseException:
            if self.old.exists():
                self.old.rename(self.target)
            raise
        sync_folder(self.target.parent)


@contextmanager
def bench_for(target: pathlib.Path) -> Iterator[Bench]:
    """Set up the bench beside ``target``, finish what an earlier run left, and clear up behind.

    Raises StoreError where another run is at work there, OSError from the system.
    """
    short = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:12]
    bench = Bench(target, target.parent / f".laminature-{short}")
    with suppress(FileExistsError):
        bench.place.mkdir()
    _check_place(bench)
    claim = bench.place / _CLAIM
    with locks.held(claim, f"Another run of Laminature is writing {target}; wait until it has ended."):
        try:
            _recover(bench)
            yield bench
            # What cannot be cleared now (a file held open) is cleared by the next run.
            with suppress(OSError):
                clear_old(bench)
        finally:
            shutil.rmtree(bench.new, ignore_errors=True)
            # While the lock is held, so that nobody else's claim is removed ...
            _leave(bench)
    # ... and once more for systems that do not remove an open file.
    _leave(bench)


def _leave(bench: Bench) -> None:
    """Remove the bench, unless something is still on it."""
    if os.path.lexists(bench.old) or os.path.lexists(bench.new):
        return
    with suppress(OSError):
        (bench.place / _CLAIM).unlink(missing_ok=True)
        bench.place.rmdir()
        sync_folder(bench.target.parent)


def _check_place(bench: Bench) -> None:
    """Refuse a bench that is not ours: its name is no proof."""
    if not stat.S_ISDIR(bench.place.lstat().st_mode) or {p.name for p in bench.place.iterdir()} - {
        _CLAIM,
        "new",
        "old",
    }:
        raise StoreError(f"{bench.place} is in the way. Move it away and try again.")


def _recover(bench: Bench) -> None:
    if os.path.lexists(bench.old):
        if not os.path.lexists(bench.target):
            bench.old.rename(bench.target)
        elif os.path.lexists(bench.new):
            raise StoreError(
                f"An earlier run was stopped while it exchanged {bench.target}, and since then "
                "a new folder was made there. "
                f"The former one is safe in {bench.old}: move it away, then try again."
            )
        else:
            clear_old(bench)
    if os.path.lexists(bench.new):
        shutil.rmtree(bench.new)


def walk(folder: pathlib.Path) -> Iterator[pathlib.PurePosixPath]:
    """Files, links and empty folders inside a folder, at any depth; links are not followed."""
    for entry in sorted(os.scandir(folder), key=lambda e: e.name):
        name = pathlib.PurePosixPath(entry.name)
        inside = list(walk(folder / entry.name)) if entry.is_dir(follow_symlinks=False) else []
        if inside:
            yield from (name / deeper for deeper in inside)
        else:
            yield name


def carry(source: pathlib.Path, goal: pathlib.Path) -> None:
    """Give the user's own file a second place without changing it: a hard link, or a copy. Raises OSError."""
    mode = source.lstat().st_mode
    if stat.S_ISDIR(mode):
        goal.mkdir(exist_ok=True)
        shutil.copystat(source, goal)
        return
    if stat.S_ISLNK(mode):
        goal.symlink_to(source.readlink(), target_is_directory=source.is_dir())
        return
    try:
        os.link(source, goal)
    except OSError:
        if not stat.S_ISREG(mode):
            raise
        shutil.copy2(source, goal)


def clear_old(bench: Bench) -> None:
    """Empty ``old``: what is not certainly ours, or carried already, moves to the target."""
    if not os.path.lexists(bench.old):
        return
    listing = pathlib.PurePosixPath(manifest.NAME)
    known = manifest.read(bench.old)
    for name in [n for n in walk(bench.old) if n != listing]:
        entry, twin = bench.old / name, bench.target / name
        if stat.S_ISDIR(entry.lstat().st_mode):
            continue
        if (known and known.lists(bench.old, name)) or _same(entry, twin):
            entry.unlink()
        else:
            # Came or changed in the moment between carrying and exchanging.
            twin.parent.mkdir(parents=True, exist_ok=True)
            entry.rename(free_name(twin))
    # The listing goes last: stopped before that, the next run still knows which files are ours.
    (bench.old / listing).unlink(missing_ok=True)
    for folder, _, _ in os.walk(bench.old, topdown=False):
        pathlib.Path(folder).rmdir()


def _same(entry: pathlib.Path, twin: pathlib.Path) -> bool:
    """Whether ``twin`` holds what ``entry`` holds."""
    if not os.path.lexists(twin):
        return False
    if entry.is_symlink() or twin.is_symlink():
        return entry.is_symlink() and twin.is_symlink() and entry.readlink() == twin.readlink()
    if entry.samefile(twin):
        return True
    return entry.is_file() and twin.is_file() and filecmp.cmp(entry, twin, shallow=False)


def free_name(path: pathlib.Path) -> pathlib.Path:
    """``path``, or where that is taken the same with ``-2``, ``-3`` … before its ending."""
    found, n = path, 1
    while os.path.lexists(found):
        n += 1
        found = path.with_name(f"{path.stem}-{n}{path.suffix}")
    return found
