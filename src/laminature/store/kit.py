"""Kit folders: written whole or not at all, and never over what is the maker's own."""

from __future__ import annotations

import os
import pathlib
import shutil
import stat
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from laminature.errors import StoreError
from laminature.store import manifest
from laminature.store.bench import Bench, bench_for, carry, free_name, walk
from laminature.store.files import plain, sync_folder, write_new
from laminature.store.manifest import About, Manifest
from laminature.store.names import check_names, fold

#: Files that systems put into folders unasked: a folder with only these counts as empty.
_LITTER = frozenset({".ds_store", "thumbs.db", "desktop.ini"})
#: More files of the maker's than this in a kit folder mean that it is the wrong folder.
_MOST_OWN = 10_000
_EDITED_MANIFEST = "kit-edited.toml"


@dataclass(frozen=True)
class Report:
    """What writing a kit did. Names are inside the folder, with ``/`` between folders.

    ``kept_edited`` were ours and changed by the maker, ``kept_foreign`` are the maker's
    own; both stayed. ``blocked`` are files of the kit that were not written because one
    of those stands in their place. ``removed`` were ours and are of no use any more.
    """

    folder: pathlib.Path
    written: tuple[str, ...]
    kept_edited: tuple[str, ...] = ()
    kept_foreign: tuple[str, ...] = ()
    blocked: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Plan:
    files: Mapping[str, bytes]
    own: tuple[pathlib.PurePosixPath, ...]
    edited_manifest: bytes | None
    report: Report


def check_target(folder: pathlib.Path) -> pathlib.Path:
    """The kit folder's real place, where a kit may be written there.

    Raises StoreError for a file, a link, a folder that holds something else than a kit,
    or the folder one stands in.
    """
    try:
        target = folder.parent.resolve() / folder.name if folder.name not in ("", "..") else folder.resolve()
        if not target.name:
            raise StoreError(f"{folder} is the root of a disk. Give a folder of its own for the kit.")
        if target.is_symlink():
            raise StoreError(f"{folder} is a link. Give the folder that it leads to.")
        if not os.path.lexists(target):
            return target
        if not target.is_dir():
            raise StoreError(f"{folder} is a file. Give a folder for the kit.")
        here = _here()
        if here is not None and target in (here, *here.parents):
            raise StoreError(
                f"{folder} is where you stand, or above it. Go elsewhere, or give another folder."
            )
        if manifest.read(target) is None and any(
            e.name.casefold() not in _LITTER for e in os.scandir(target)
        ):
            raise StoreError(
                f"{folder} is not empty and was not made by Laminature, so nothing was written. "
                "Give a new or empty folder."
            )
    except OSError as error:
        raise StoreError(f"{folder} cannot be used: {plain(error)}.") from error
    except (ValueError, RuntimeError) as error:
        raise StoreError(f"{str(folder)!r} is not a folder name.") from error
    return target


def _here() -> pathlib.Path | None:
    with suppress(OSError):
        return pathlib.Path.cwd().resolve()
    return None


def write_kit(folder: pathlib.Path, files: Mapping[str, bytes], about: About | None = None) -> Report:
    """Write a kit folder with these files and its ``kit.toml``, whole or not at all.

    A kit that stands there is replaced: files that its ``kit.toml`` names and that still
    are as named give way; everything else stays, and the report says so. After a kill at
    any moment the folder is the former kit, or the new one, or for an instant absent
    while both are safe beside it; the next run puts that right.
    Raises StoreError with everything as it was.
    """
    check_names([*files, manifest.NAME])
    target = check_target(folder)
    made: list[pathlib.Path] = []
    try:
        made = _make_parents(target)
        with bench_for(target) as bench:
            # Again, now that nobody else writes and an interrupted run was put right.
            check_target(folder)
            plan = _plan(target, files, about or About())
            _stage(bench, plan)
            bench.exchange()
        return plan.report
    except OSError as error:
        _unmake(made)
        raise StoreError(f"The kit was not written to {folder}: {plain(error)}.") from error
    except StoreError:
        _unmake(made)
        raise


def _make_parents(target: pathlib.Path) -> list[pathlib.Path]:
    missing = [p for p in target.parents if not p.exists()]
    for parent in reversed(missing):
        parent.mkdir(exist_ok=True)
    return missing


def _unmake(made: Sequence[pathlib.Path]) -> None:
    for parent in made:
        with suppress(OSError):
            parent.rmdir()


def _plan(target: pathlib.Path, files: Mapping[str, bytes], about: About) -> _Plan:
    listing = manifest.write(files, about)
    wanted = {**files, manifest.NAME: listing}
    if not os.path.lexists(target):
        return _Plan(wanted, (), None, Report(target, tuple(sorted(wanted))))
    known = manifest.read(target) or Manifest({}, edited=False)
    entries = [e for e in walk(target) if str(e) != manifest.NAME]
    ours = {str(e) for e in entries if known.lists(target, e)}
    alike = {str(e) for e in entries if _equal(target, e, wanted)}
    our_folders = {str(p) for name in known.files for p in pathlib.PurePosixPath(name).parents}
    # An empty folder that we made is nobody's; any other is the maker's.
    ours |= {str(e) for e in entries if str(e) in our_folders and _is_folder(target / e)}
    own = tuple(e for e in entries if str(e) not in ours | alike)
    if len(own) > _MOST_OWN:
        raise StoreError(
            f"{target} holds more than {_MOST_OWN:,} files that are not Laminature's. Wrong folder?"
        )
    taken = {fold(str(e)) for e in own}
    taken_folders = {fold(str(p)) for e in own for p in e.parents if p.name}
    empty = {fold(str(e)) for e in own if _is_folder(target / e)}

    def blocked(name: str) -> bool:
        if name in ours | alike:  # It stands there already, so nothing is in its way.
            return False
        path = pathlib.PurePosixPath(fold(name))
        return str(path) in taken | taken_folders or any(
            str(p) in taken - empty for p in path.parents if p.name
        )

    stopped = tuple(sorted(name for name in wanted if blocked(name)))
    if manifest.NAME in stopped:
        raise StoreError(f"Something called {manifest.NAME} is in the way in {target}. Nothing was written.")
    written = {name: data for name, data in wanted.items() if name not in stopped}
    edited = None
    kept_edited = {str(e) for e in own if str(e) in known.files}
    if known.edited:
        edited = (target / manifest.NAME).read_bytes()
        kept_edited.add(manifest.NAME)
    report = Report(
        target,
        written=tuple(sorted(written)),
        kept_edited=tuple(sorted(kept_edited)),
        kept_foreign=tuple(sorted(str(e) for e in own if str(e) not in known.files)),
        blocked=stopped,
        removed=tuple(sorted(ours - our_folders - set(written))),
    )
    return _Plan(written, own, edited, report)


def _is_folder(path: pathlib.Path) -> bool:
    return stat.S_ISDIR(path.lstat().st_mode)


def _equal(target: pathlib.Path, entry: pathlib.PurePosixPath, wanted: Mapping[str, bytes]) -> bool:
    """Whether an ordinary file has just the bytes that are to be written there."""
    path, data = target / entry, wanted.get(str(entry))
    if data is None or not stat.S_ISREG(path.lstat().st_mode) or path.stat().st_size != len(data):
        return False
    return path.read_bytes() == data


def _stage(bench: Bench, plan: _Plan) -> None:
    """Fill ``new`` and bring it to the disk: ours first, then the maker's own, ``kit.toml`` last."""
    new = bench.new
    new.mkdir()
    for name in sorted(plan.files, key=lambda n: (n == manifest.NAME, n)):
        path = new / name
        path.parent.mkdir(parents=True, exist_ok=True)
        write_new(path, plan.files[name])
    for entry in plan.own:
        (new / entry).parent.mkdir(parents=True, exist_ok=True)
        carry(bench.target / entry, new / entry)
    if plan.edited_manifest is not None:
        write_new(free_name(new / _EDITED_MANIFEST), plan.edited_manifest)
    if os.path.lexists(bench.target):
        shutil.copymode(bench.target, new)
    for folder, _, _ in os.walk(new):
        sync_folder(pathlib.Path(folder))
    sync_folder(bench.place)
