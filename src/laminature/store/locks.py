"""A lock that ends with its process, however that ends."""

from __future__ import annotations

import os
import pathlib
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from laminature.errors import StoreError


@contextmanager
def held(path: pathlib.Path, busy: str) -> Iterator[None]:
    """Hold a lock on the file at ``path``. Raises StoreError(``busy``) where another process holds it."""
    flags = os.O_CREAT | os.O_RDWR | getattr(os, "O_NOFOLLOW", 0)
    try:
        handle = os.open(path, flags, 0o666)
    except FileNotFoundError as error:  # The holder has just cleared the folder away.
        raise StoreError(busy) from error
    try:
        try:
            _lock(handle)
            still = os.path.samestat(os.fstat(handle), path.stat())
        except OSError as error:
            raise StoreError(busy) from error
        if not still:  # The holder before us has just cleared up behind itself.
            raise StoreError(busy)
        yield
    finally:
        with suppress(OSError):
            os.close(handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
