"""The fast way, in a thread of its own: a design's text to what is seen, within a frame or two."""

from __future__ import annotations

import pathlib
import time
import tomllib
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

from laminature import front, pipeline
from laminature.errors import DesignError, DesignErrors, FormError, LaminatureError
from laminature.model.board import Board
from laminature.model.design import Design
from laminature.model.memory import Memory
from laminature.pipeline import FORMS
from laminature.store.boards import boards_file, own
from laminature.worktable import answering
from laminature.worktable.protocol import Blob

Path = tuple[str | int, ...]
Changes = Mapping[Path, Any]

#: The most characters of a title that is read out of a broken design.
LONGEST_TITLE = 200
#: The most bytes of meshes that are kept to be sent again.
MESH_CAP = 128 << 20


@dataclass(frozen=True)
class Problem:
    """One thing that cannot be, at the value that it is about ((): the whole)."""

    path: Path
    message: str
    remedy: str = ""
    line: int | None = None

    def told(self) -> dict[str, Any]:
        """As the page gets it."""
        return {"path": list(self.path), "message": self.message, "remedy": self.remedy, "line": self.line}


class Refusal(Exception):
    """A text from which nothing can be drawn, with what is wrong in the maker's words."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(p.message for p in problems))


def title_in(text: bytes) -> str:
    """The title of a design that cannot be read as a whole; "" where none stands before its tables."""
    for line in text.decode("utf-8", "replace").splitlines():
        if line.lstrip().startswith("["):
            break
        if line.lstrip().startswith("title"):
            try:
                found = tomllib.loads(line).get("title")
            except tomllib.TOMLDecodeError:
                continue
            if isinstance(found, str):
                return found.strip()[:LONGEST_TITLE]
    return ""


def problems_of(error: Exception) -> tuple[Problem, ...]:
    """What went wrong while a text was read and drawn, in the maker's words."""
    if isinstance(error, DesignErrors):
        return tuple(p for e in error.errors for p in problems_of(e))
    if isinstance(error, DesignError):
        return (Problem(error.place.path, error.message, error.remedy, error.place.line),)
    if isinstance(error, FormError):
        path: Path = ("form", error.parameter) if error.parameter else ()
        return (Problem(path, error.message, error.remedy),)
    if isinstance(error, LaminatureError):
        return (Problem((), str(error)),)
    if isinstance(error, KeyError):
        return (Problem((), "There is no such place in the design any more."),)
    if isinstance(error, MemoryError):
        return (Problem((), "The memory of this computer does not suffice for this design."),)
    return (
        Problem(
            (),
            f"Laminature has made a mistake of its own ({type(error).__name__}: {error}).",
            "Take the change back, and please report it with your design file.",
        ),
    )


@dataclass(frozen=True)
class Drawn:
    """A text and what is seen of it."""

    text: bytes
    design: Design
    header: Mapping[str, Any]
    milliseconds: float

    @property
    def soft(self) -> bool:
        """Whether its cushions are those of this text, not those that were seen before."""
        return bool(self.header["soft"])

    @property
    def photos(self) -> tuple[str, ...]:
        """The pictures that the design names."""
        first = self.design.photo
        return () if first is None else (first, *(photo.file for photo in self.design.photos))

    @property
    def meshes(self) -> list[str]:
        """The digests of all meshes that the parts use, each once."""
        return list(dict.fromkeys(part["mesh"] for part in self.header["parts"]))


class Meshes:
    """Meshes by content, so that each is made once; those that were used last stay."""

    def __init__(self, cap: int = MESH_CAP) -> None:
        self._cap = cap
        self._kept: OrderedDict[str, dict[str, Blob]] = OrderedDict()
        self._bytes = 0

    def known(self) -> set[str]:
        """The digests that need not be made."""
        return set(self._kept)

    def take_in(self, blobs: Mapping[str, Blob], used: Sequence[str]) -> None:
        """Keep new meshes, and drop those longest unused where there are too many."""
        for name, blob in blobs.items():
            digest = name.partition("/")[0]
            self._kept.setdefault(digest, {})[name] = blob
            self._bytes += blob.nbytes
        for digest in used:
            self._kept.move_to_end(digest)
        while self._bytes > self._cap and len(self._kept) > len(used):
            _, gone = self._kept.popitem(last=False)
            self._bytes -= sum(blob.nbytes for blob in gone.values())

    def blobs(self, digest: str) -> Mapping[str, Blob]:
        """The arrays of a mesh."""
        return self._kept[digest]


class Drawer:
    """Draws one work's texts, one after the other, and keeps what may serve again.

    Its methods are called in the thread ``pool`` alone, ``meshes`` is read while nothing is drawn.
    """

    def __init__(self, name: str, folder: pathlib.Path) -> None:
        self.name = name
        self.folder = folder
        self.pool = ThreadPoolExecutor(1, thread_name_prefix="drawer")
        self.meshes = Meshes()
        self._memory = Memory()
        self._own: bytes | None = b"\0"
        self._boards: Mapping[str, Board] = {}

    def draw(self, text: bytes, *, soft: bool = False) -> Drawn:
        """Read and draw a text; unless ``soft``, with the cushions seen last. Raises Refusal alone."""
        start = time.perf_counter()
        try:
            design = front.read_text(text, self.name, self.folder, self._known_boards(), photos=False)
            build = pipeline.Build(design, memory=self._memory)
            header, blobs = answering.scene(build, self.meshes.known(), soft=soft)
        except (Exception, RecursionError) as error:
            raise Refusal(problems_of(error)) from error
        drawn = Drawn(text, design, header, (time.perf_counter() - start) * 1000.0)
        self.meshes.take_in(blobs, drawn.meshes)
        return drawn

    def attempt(self, text: bytes, changes: Changes, pending: Changes) -> tuple[Drawn, bool]:
        """Draw ``text`` with ``changes``, and with what is pending too where that is possible by now.

        The answer tells whether it was. Raises Refusal for the changes alone.
        """
        rest = {path: value for path, value in pending.items() if path and path not in changes}
        if rest:
            try:
                return self.draw(self._changed(text, {**rest, **changes})), True
            except Refusal:
                pass
        return self.draw(self._changed(text, changes)), not rest

    def groups(self, drawn: Drawn) -> list[dict[str, Any]]:
        """The fields of what was drawn, in groups."""
        form = None if drawn.design.form is None else FORMS[drawn.design.form]
        return answering.fields(drawn.design, drawn.text, form)

    def close(self) -> None:
        """End the thread once what is under way is done."""
        self.pool.shutdown(wait=False, cancel_futures=True)

    def _changed(self, text: bytes, changes: Changes) -> bytes:
        try:
            return pipeline.changed(text, answering.with_companions(changes), self.name)
        except Exception as error:
            raise Refusal(problems_of(error)) from error

    def _known_boards(self) -> Mapping[str, Board]:
        """The boards there are; read anew only where the maker's file has changed."""
        file = boards_file()
        mine = own(file)
        if mine != self._own:
            self._boards, self._own = pipeline.known_boards(mine, str(file)), mine
        return self._boards
