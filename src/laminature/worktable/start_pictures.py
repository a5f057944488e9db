"""Pictures of forms and examples for the start page: drawn by the bench once, then kept on the disk."""

from __future__ import annotations

import hashlib
import pathlib
from collections.abc import Mapping
from contextlib import suppress

from laminature import front
from laminature.errors import StoreError
from laminature.store.files import read_bounded, write_whole
from laminature.store.manifest import installed_versions

FOLDER = "pictures"
#: The most that is read of a picture, bytes.
CAP = 1 << 20


class StartPictures:
    """What the start page shows of forms (``form NAME``) and examples (``example NAME``)."""

    def __init__(self, root: pathlib.Path) -> None:
        self._folder = root / FOLDER
        self._texts = {
            **{f"form {f.name}": front.starter(f.name).encode() for f in front.forms()},
            **{f"example {e.name}": e.text for e in front.examples()},
        }
        self._found: dict[str, str] = {}

    def known(self) -> Mapping[str, str]:
        """The pictures there are, as SVG text."""
        for name in self._texts.keys() - self._found.keys():
            with suppress(StoreError, UnicodeDecodeError):
                self._found[name] = read_bounded(self._file(name), CAP).decode()
        return self._found

    def cards(self) -> dict[str, list[dict[str, str]]]:
        """Forms and examples as the start page gets them."""
        found = self.known()
        return {
            "forms": [
                {
                    "name": form.name,
                    "title": form.title,
                    "summary": form.summary,
                    "picture": found.get(f"form {form.name}", ""),
                }
                for form in front.forms()
            ],
            "examples": [
                {
                    "name": example.name,
                    "title": example.title,
                    "about": example.about,
                    "picture": found.get(f"example {example.name}", ""),
                }
                for example in front.examples()
            ],
        }

    def lacking(self) -> Mapping[str, bytes]:
        """The designs of which there is no picture yet."""
        return {name: text for name, text in self._texts.items() if name not in self._found}

    def take_in(self, name: str, picture: bytes) -> None:
        """Keep a picture; where it cannot be kept on the disk it is drawn anew at the next start."""
        self._found[name] = picture.decode()
        if picture:
            with suppress(StoreError, OSError):
                self._folder.mkdir(parents=True, exist_ok=True)
                write_whole(self._file(name), picture, replaces=lambda _: True)

    def _file(self, name: str) -> pathlib.Path:
        """A picture's file goes by what it shows and by what draws it."""
        versions = repr(sorted(installed_versions().items())).encode()
        return self._folder / f"{hashlib.sha256(versions + self._texts[name]).hexdigest()[:32]}.svg"
