"""A kit as one zip file: the same kit gives the same bytes."""

from __future__ import annotations

import io
import pathlib
import zipfile
from collections.abc import Iterable, Mapping

from laminature.errors import StoreError
from laminature.store import manifest
from laminature.store.files import read_bounded, write_whole
from laminature.store.manifest import About, sha256
from laminature.store.names import check_names

#: The earliest time a zip file can hold: a fixed one, so that two builds are alike.
_TIME = (1980, 1, 1, 0, 0, 0)
_MARK = b"Laminature kit "
_CAP = 1 << 28


def zip_bytes(root: str, files: Mapping[str, bytes]) -> bytes:
    """A zip file with ``files`` in a folder ``root``. Raises StoreError for unsafe names."""
    check_names(f"{root}/{name}" for name in files)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(f"{root}/{name}", _TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o100644 << 16
            archive.writestr(entry, files[name])
        archive.comment = _mark(archive.infolist())
    return stream.getvalue()


def _mark(entries: Iterable[zipfile.ZipInfo]) -> bytes:
    """What tells a zip file of ours, unchanged, from any other."""
    text = "".join(f"{e.filename}\n{e.CRC:08x}\n{e.file_size}\n" for e in entries)
    return _MARK + sha256(text.encode()).encode()


def is_ours(data: bytes) -> bool:
    """Whether these are the bytes of a zip file that we wrote and nobody changed."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return archive.comment == _mark(archive.infolist())
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        return False


def check_zip(path: pathlib.Path) -> None:
    """Raise StoreError where ``path`` holds something that a kit's zip file may not replace."""
    if path.is_symlink() or (path.exists() and not is_ours(read_bounded(path, _CAP))):
        raise StoreError(f"{path} was not made by Laminature, or was changed since: it stays. Move it away.")


def write_zip(path: pathlib.Path, files: Mapping[str, bytes], about: About | None = None) -> None:
    """Write a kit as a zip file, with its ``kit.toml``. Only an unchanged zip of ours is replaced."""
    whole = {**files, manifest.NAME: manifest.write(files, about or About())}
    write_whole(path, zip_bytes(path.stem, whole), replaces=is_ours, cap=_CAP)
