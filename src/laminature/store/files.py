"""Single files: read within a bound, written whole or not at all."""

from __future__ import annotations

import errno
import os
import pathlib
import stat
from collections.abc import Callable
from contextlib import suppress

from laminature.errors import StoreError

_WORDS = {
    errno.EACCES: "you are not allowed to do that there, or another program holds the file",
    errno.EPERM: "the system does not allow that there",
    errno.EROFS: "that place can only be read",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT if hasattr(errno, "EDQUOT") else -1: "your share of the disk is used up",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ENOTDIR: "a file stands where a folder is needed",
    errno.EISDIR: "a folder stands where a file is needed",
    errno.ENOENT: "it does not exist",
    errno.ELOOP: "links there lead round in a circle",
    errno.EBUSY: "another program holds it",
    errno.EXDEV: "it is the root of another disk",
}


def plain(error: OSError) -> str:
    """An operating system's error in plain words."""
    return _WORDS.get(error.errno or 0) or (error.strerror or str(error)).lower()


def read_bounded(path: pathlib.Path, cap: int) -> bytes:
    """Read a regular file of at most ``cap`` bytes.

    Raises StoreError where there is none, it cannot be read, is something else than a
    regular file (a pipe could block for ever) or is larger.
    """
    try:
        if path.is_dir():
            raise StoreError(f"{path} is a folder; give a file.")
        # Opened without waiting, so that a pipe is found out instead of being waited for.
        flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)
        with os.fdopen(os.open(path, flags), "rb") as file:
            state = os.fstat(file.fileno())
            if not stat.S_ISREG(state.st_mode):
                raise StoreError(f"{path} is not an ordinary file.")
            data = file.read(cap + 1) if state.st_size <= cap else b""
    except ValueError as error:
        raise StoreError(f"{str(path)!r} is not a file name.") from error
    except OSError as error:
        raise StoreError(f"{path} cannot be read: {plain(error)}.") from error
    if len(data) > cap or state.st_size > cap:
        raise StoreError(f"{path} is larger than {cap:,} bytes, the most that is read.")
    return data


def make_folder(folder: pathlib.Path) -> None:
    """Make a folder and those above it, where they are not there yet. Raises StoreError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"The folder {folder} cannot be made: {plain(error)}.") from error


def sync_folder(folder: pathlib.Path) -> None:
    """Bring a folder's entries to the disk, where the system can."""
    if os.name == "nt":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def write_new(path: pathlib.Path, data: bytes) -> None:
    """Write a file that must not exist yet and bring it to the disk. Raises OSError."""
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def half_of(path: pathlib.Path) -> pathlib.Path:
    """Where a file lies while it is being written."""
    return path.with_name(f".laminature-{path.name}.part")


def write_whole(
    path: pathlib.Path, data: bytes, *, replaces: Callable[[bytes], bool] | None = None, cap: int = 1 << 28
) -> None:
    """Write a file so that it is there whole or not at all.

    A file that stands there already is replaced only where ``replaces`` says of its bytes
    (read up to ``cap``) that it is one of ours; None never replaces. Raises StoreError.
    """
    if path.is_symlink():
        raise StoreError(f"{path} is a link; give the file itself. Nothing was written.")
    standing = path.exists()
    if standing and not (replaces is not None and replaces(read_bounded(path, cap))):
        raise StoreError(f"{path} exists already and stays as it is. Give another name, or move it away.")
    half = half_of(path)
    try:
        with suppress(FileNotFoundError):
            half.unlink()
        try:
            write_new(half, data)
            if standing:
                half.replace(path)
            else:
                _place_new(half, path)
        finally:
            with suppress(FileNotFoundError):
                half.unlink()
        sync_folder(path.parent)
    except FileExistsError as error:
        raise StoreError(f"{path} has just been made by something else and stays as it is.") from error
    except OSError as error:
        raise StoreError(f"{path} cannot be written: {plain(error)}.") from error


def _place_new(half: pathlib.Path, path: pathlib.Path) -> None:
    """Give a finished file its name, never over another: a link fails where a rename would replace."""
    try:
        os.link(half, path)
    except FileExistsError:
        raise
    except OSError:
        # No hard links here (some memory sticks, network drives): claim the name, then replace our claim.
        path.open("xb").close()
        half.replace(path)
