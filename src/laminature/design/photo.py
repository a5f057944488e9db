"""A picture that a design names: it has to lie in the design's own folder, or below it."""

from __future__ import annotations

import pathlib

from laminature.design.lines import KeyPath
from laminature.design.problems import Problems

_REMEDY = "Put the picture beside the design and write its name alone."


def check_photo(path: KeyPath, written: str, folder: pathlib.Path | None, problems: Problems) -> str | None:
    """The path as written if it stays within ``folder``, links followed; else None and a problem.

    Without a folder only the words are looked at.
    """
    plain = written.replace("\\", "/")
    windows = pathlib.PureWindowsPath(written)
    if not written.strip() or plain.startswith("~"):
        problems.add(path, "This is no file in the design's folder.", _REMEDY)
        return None
    if plain.startswith("/") or windows.drive or windows.root:
        problems.add(path, "A whole path would name a file on this computer alone.", _REMEDY)
        return None
    if ".." in plain.split("/"):
        problems.add(path, "This path climbs out of a folder.", _REMEDY)
        return None
    if folder is not None and not _stays_within(folder, plain):
        problems.add(path, "This path leads out of the design's folder.", _REMEDY)
        return None
    return plain


def _stays_within(folder: pathlib.Path, written: str) -> bool:
    try:
        home = folder.resolve()
        return (home / written).resolve().is_relative_to(home)
    except (OSError, RuntimeError, ValueError):
        # A link that leads to itself, or a name that no file system takes.
        return False
