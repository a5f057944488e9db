"""The front door: what a script or the command line asks for, in one word each.

Here the pure pipeline meets the user's files; nothing beneath this module touches a disk.
"""

from __future__ import annotations

import difflib
import os
import pathlib
from collections.abc import Iterable, Mapping

from laminature import pipeline
from laminature.errors import BuildError, StoreError
from laminature.model.board import Board
from laminature.model.design import Design
from laminature.model.form import Form
from laminature.pipeline import Progress
from laminature.store import archive, kit
from laminature.store.boards import boards_file, own_boards
from laminature.store.files import read_bounded
from laminature.store.kit import Report
from laminature.store.manifest import About

#: The most that is read of a design file, bytes: thousands of parts fit in.
DESIGN_CAP = 2 << 20

AnyPath = str | os.PathLike[str]


class Build(pipeline.Build):
    """The stages' results, each computed when first asked for, and the way to the disk."""

    def write(self, folder: AnyPath, *, as_zip: bool = False) -> Report:
        """Write the kit to ``folder``, and with ``as_zip`` also to a zip file beside it.

        Returns what was written and what stayed because it is the maker's own.
        Raises BuildError where a finding says "stop", StoreError with everything as it was.
        """
        place = pathlib.Path(folder)
        check_places(place, as_zip=as_zip)
        stops = [finding.message for finding in self.findings if finding.grade == "stop"]
        if stops:
            raise BuildError("The kit cannot be built: " + " ".join(stops))
        files = pipeline.kit_files(self)
        about = About(
            self.design.title,
            self.sheets,
            {layer.part: layer.letter for layer in self.cut_layers},
        )
        report = kit.write_kit(place, files, about)
        if as_zip:
            archive.write_zip(_zip_beside(place), files, about)
        return report


def read(path: AnyPath) -> Design:
    """Read and check a design file. Raises DesignError for its content, StoreError for the file."""
    file = pathlib.Path(path)
    data = read_bounded(file, DESIGN_CAP)
    return pipeline.read_design(data, str(file), file.resolve().parent, boards())


def build(design: Design, progress: Progress | None = None) -> Build:
    """A build of ``design``; nothing is computed yet. ``progress`` hears the share done and of what."""
    return Build(design, progress)


def boards() -> Mapping[str, Board]:
    """Boards by name: the package's, and the user's own, which win. Raises DesignError, StoreError."""
    return pipeline.known_boards(own_boards(), str(boards_file()))


def forms() -> Iterable[Form]:
    """The kinds of furniture there are."""
    return pipeline.FORMS.values()


def form(name: str) -> Form:
    """A form by its name. Raises StoreError with the nearest known names."""
    return pipeline.FORMS[_known(name, pipeline.FORMS, "form", "forms")]


def starter(form_name: str) -> str:
    """The text of a design file to start from, with every size of a form and its default."""
    return pipeline.starter(form(form_name))


def schema() -> dict[str, object]:
    """A JSON Schema of the design file."""
    return pipeline.schema()


def write_coupon(board_name: str, folder: AnyPath) -> Report:
    """Write a test cut for a board to ``folder``. Raises StoreError, FormError."""
    known = boards()
    board = known[_known(board_name, known, "board", "boards")]
    place = pathlib.Path(folder)
    check_places(place)
    return kit.write_kit(place, pipeline.coupon_files(board), About(f"Coupon: {board.title}"))


def check_places(folder: pathlib.Path, *, as_zip: bool = False) -> None:
    """Find out before long work whether a kit may be written there. Raises StoreError."""
    kit.check_target(folder)
    if as_zip:
        archive.check_zip(_zip_beside(folder))


def _zip_beside(folder: pathlib.Path) -> pathlib.Path:
    return folder.with_name(folder.name + ".zip")


def _known(name: str, names: Iterable[str], what: str, command: str) -> str:
    """``name`` if it is one of ``names``. Raises StoreError otherwise."""
    choices = list(names)
    if name in choices:
        return name
    near = difflib.get_close_matches(name, choices, n=1)
    hint = f"Did you mean {near[0]!r}? " if near else ""
    raise StoreError(f"There is no {what} {name!r}. {hint}`laminature {command}` lists them.")
