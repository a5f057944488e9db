"""The page's files, read once at the start: nothing else is ever handed out."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from dataclasses import dataclass

FOLDER = pathlib.Path(__file__).with_name("page")
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".json": "application/json",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
    ".ico": "image/x-icon",
}
_NO_PAGE = b"""<!doctype html><html lang="en"><meta charset="utf-8"><title>Laminature</title>
<p>The page's files are missing from this installation. Install Laminature anew.</p></html>
"""


@dataclass(frozen=True)
class File:
    """A file of the page, as it is handed out."""

    data: bytes
    type: str


def read_bundle(folder: pathlib.Path = FOLDER) -> Mapping[str, File]:
    """All files of the page by the path that asks for them; ``/`` is its beginning."""
    found = {}
    if folder.is_dir():
        for path in sorted(folder.rglob("*")):
            kind = _TYPES.get(path.suffix)
            if path.is_file() and not path.is_symlink() and kind is not None:
                found["/" + path.relative_to(folder).as_posix()] = File(path.read_bytes(), kind)
    found["/"] = found.get("/index.html", File(_NO_PAGE, _TYPES[".html"]))
    return found
