"""Pictures that a design names, taken along to where the design goes."""

from __future__ import annotations

import pathlib
from collections.abc import Collection, Sequence
from contextlib import suppress

from laminature.errors import StoreError
from laminature.store.files import make_folder, read_bounded, write_whole

#: The most that is read of a maker's photo, bytes.
PHOTO_CAP = 24 << 20


def lacking(names: Sequence[str], folder: pathlib.Path) -> tuple[str, ...]:
    """Those of the pictures that are no files in a design's folder, or below it."""
    return tuple(name for name in names if _within(folder, name) is None)


def take_along(
    names: Sequence[str], source: pathlib.Path, target: pathlib.Path, taken: Collection[str]
) -> tuple[str, ...]:
    """Copy pictures from a design's folder to another, under the same names; returns those that stay behind.

    Each is read up to :data:`PHOTO_CAP`. Nothing that is there is replaced, and no file or folder of the
    ``taken`` names is made in ``target``.
    """
    behind = []
    for name in dict.fromkeys(names):
        found = _within(source, name)
        place = target / name
        try:
            if found is None or pathlib.PurePath(name).parts[0].lower() in taken:
                raise StoreError(f"{name} is not taken along.")
            data = read_bounded(found, PHOTO_CAP)
            make_folder(place.parent)
            write_whole(place, data, replaces=lambda there, data=data: there == data)  # type: ignore[misc]
        except StoreError:
            behind.append(name)
    return tuple(behind)


def _within(folder: pathlib.Path, name: str) -> pathlib.Path | None:
    """The file of that name, links followed, where it lies within the folder."""
    with suppress(OSError, RuntimeError, ValueError):
        home = folder.resolve(strict=True)
        if not pathlib.PurePath(name).is_absolute() and ".." not in pathlib.PurePath(name).parts:
            found = (home / name).resolve(strict=True)
            if found.is_relative_to(home) and found.is_file():
                return found
    return None
