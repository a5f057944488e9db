"""The front door: what a script or the command line asks for, in one word each.

Here the pure pipeline meets the user's files; nothing beneath this module touches a disk.
"""

from __future__ import annotations

import difflib
import os
import pathlib
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import takewhile

from laminature import pipeline
from laminature.data import library
from laminature.errors import BuildError, GeometryError, StoreError
from laminature.geometry.svgfile import svg_outline
from laminature.model.board import Board
from laminature.model.design import Design
from laminature.model.form import Form
from laminature.model.memory import Memory
from laminature.model.offcut import Keep, Offcut
from laminature.model.sheet import Kept
from laminature.model.stray import Stray
from laminature.pipeline import Progress
from laminature.store import archive, kit, layouts
from laminature.store.boards import boards_file, own, prices_file, rates_file
from laminature.store.files import read_bounded, write_whole
from laminature.store.kit import Report
from laminature.store.manifest import About
from laminature.store.offcuts import Ledger, Written, change_ledger, read_ledger
from laminature.store.one_offcut import outline_of
from laminature.store.pictures import PHOTO_CAP
from laminature.units import UnitError, two_lengths

#: The most that is read of a design file, bytes: thousands of parts fit in.
DESIGN_CAP = 2 << 20

AnyPath = str | os.PathLike[str]


class Build(pipeline.Build):
    """The stages' results, each computed when first asked for, and the way to the disk."""

    def write(self, folder: AnyPath, *, as_zip: bool = False) -> Report:
        """Write the kit to ``folder``, and with ``as_zip`` also to a zip file beside it.

        Returns what was written and what stayed because it is the maker's own.
        Where the folder holds a kit of the same layers, whose sheets took a search, they are used again,
        unless better ones are found or sheets were asked for before.
        Raises BuildError where a finding says "stop", StoreError with everything as it was.
        """
        place = pathlib.Path(folder)
        check_places(place, as_zip=as_zip)
        if self.kept is None:
            self.kept = layouts.read_kept(place)
        files = self.files()
        report = kit.write_kit(place, files, self.about)
        if as_zip:
            archive.write_zip(_zip_beside(place), files, self.about)
        return report

    def files(self, kinds: Iterable[str] | None = None) -> dict[str, bytes]:
        """The files of the kit by name, without ``kit.toml``; of some kinds only, or of all.

        Raises BuildError where a finding says "stop".
        """
        stops = [finding.message for finding in self.findings if finding.grade == "stop"]
        if stops:
            raise BuildError("The kit cannot be built: " + " ".join(stops))
        return pipeline.kit_files(self, kinds)

    @property
    def about(self) -> About:
        """What the kit's ``kit.toml`` tells beside the list of files."""
        return About(
            self.design.title,
            self.sheets,
            {layer.part: layer.letter for layer in self.cut_layers},
            used=self.used,
            remainders=self.remainders,
            kept=self.layout,
        )


def read(path: AnyPath) -> Design:
    """Read and check a design file. Raises DesignError for its content, StoreError for the file."""
    file = pathlib.Path(path)
    data = read_bounded(file, DESIGN_CAP)
    return read_text(data, str(file), file.resolve().parent)


def read_text(
    data: bytes,
    file: str,
    folder: pathlib.Path,
    known: Mapping[str, Board] | None = None,
    *,
    photos: bool = True,
) -> Design:
    """Read and check a design that is in memory.

    ``folder`` is where pictures that it names have to lie; ``known`` are the boards, None for the usual.
    Without ``photos`` these are not read: only a kit's guide needs them.
    Raises DesignError for its content, StoreError for other files of the maker's.
    """
    design = pipeline.read_design(data, file, folder, boards() if known is None else known)
    if design.photo is None or not photos:
        return design
    more = tuple(replace(one, data=_photo(folder, one.file, file)) for one in design.photos)
    return replace(design, picture=_photo(folder, design.photo, file), photos=more)


def check_pictures(design: Design) -> None:
    """Raises WriterError for pictures of a design that the guide cannot show."""
    pipeline.check_pictures(design)


def _photo(folder: pathlib.Path, name: str, design: str) -> bytes:
    """The bytes of a photo that a design names. Raises StoreError with the key that names it."""
    try:
        return read_bounded(folder / name, PHOTO_CAP)
    except StoreError as error:
        raise StoreError(f"{design}: photo {name!r}: {error}") from error


def build(
    design: Design,
    progress: Progress | None = None,
    *,
    seconds: float = 0.0,
    ledger: Ledger | None = None,
    fill: bool = True,
    only: str | None = None,
    memory: Memory | None = None,
    kept: Kept | None = None,
    another: int = 0,
) -> Build:
    """A build of ``design``; nothing is computed yet. ``progress`` hears the share done and of what.

    ``seconds`` may be spent on better sheets. The offcuts in ``ledger`` are filled first, unless ``fill`` is
    off; names of new ones count on from there. The ledger's file stays as it is. ``only`` names layers to
    be cut once more, like ``"B3 C"``. ``memory`` is what an earlier build filled, ``kept`` are sheets that
    an earlier search found; a search with ``another`` number makes other random choices.
    """
    mine = ledger or Ledger()
    rates, prices = rates_file(), prices_file()
    return Build(
        design,
        progress,
        memory,
        seconds=seconds,
        kept=kept,
        another=another,
        offcuts=mine.offcuts if fill else (),
        keep=mine.keep,
        first_offcut=mine.next,
        only=only,
        rates=pipeline.known_rates(own(rates), str(rates)),
        prices=pipeline.known_prices(own(prices), str(prices), {*design.boards, design.board.name}),
    )


def boards() -> Mapping[str, Board]:
    """Boards by name: the package's, and the user's own, which win. Raises DesignError, StoreError."""
    return pipeline.known_boards(own(boards_file()), str(boards_file()))


def ledger(file: AnyPath | None = None, *, needed: bool = True) -> Ledger:
    """The maker's offcuts: those in ``file``, or in the usual ledger; none where there is no such file.

    Raises StoreError for one that cannot be read, unless it is not ``needed``.
    """
    try:
        return read_ledger(None if file is None else pathlib.Path(file))
    except StoreError:
        if needed:
            raise
        return Ledger()


def add_offcut(
    board_name: str,
    *,
    size: str | None = None,
    outline: pathlib.Path | None = None,
    grain: str | None = None,
    note: str = "",
    ledger: pathlib.Path | None = None,
) -> Written:
    """Add a piece of board to a ledger: a rectangle of ``size``, or the outline in an SVG file.

    Raises StoreError for a board, size, outline or grain that cannot be.
    """
    known = boards()
    board = known[_known(board_name, known, "board", "boards")]
    if grain not in (None, "x", "y", "none"):
        raise StoreError(f'The grain is "x", "y" or "none", not {grain!r}.')
    if (size is None) == (outline is None):
        raise StoreError('Give either --size "120 x 80 mm" or --outline FILE.svg.')
    if size is not None:
        width, height = _size(size)
        shape = outline_of([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)], (), f"--size {size!r}")
    else:
        path = pathlib.Path(outline or "")
        try:
            outer, *openings = svg_outline(read_bounded(path, DESIGN_CAP))
        except GeometryError as error:
            raise StoreError(f"{path} gives no outline: {error}.") from error
        shape = outline_of(outer, openings, str(path))
    way = grain or ("none" if board.grain == "none" else "x")
    words = " ".join(note.encode("utf-8", "replace").decode().split())[:200] or "added by hand"
    piece = Offcut("", board.name, shape, way, words)  # type: ignore[arg-type]
    return change_ledger(lambda before: before.added([piece]), ledger)


def set_keep(size: str | None, drop_outs: str | None, ledger: pathlib.Path | None = None) -> Written:
    """Set the smallest offcut and drop-out that are kept; None leaves one as it is. Raises StoreError."""
    offcuts, fallen = (None if text is None else _size(text) for text in (size, drop_outs))

    def change(before: Ledger) -> Ledger:
        keep = before.keep
        return replace(before, keep=Keep(offcuts or keep.offcuts, fallen or keep.drop_outs))

    return change_ledger(change, ledger)


def _size(text: str) -> tuple[float, float]:
    try:
        return two_lengths(text)
    except UnitError as error:
        raise StoreError(str(error)) from error


def find_piece(built: Build, size: str, most: int = 8) -> tuple[Stray, ...]:
    """What of a kit a stray piece of ``size`` (like ``"12 x 7 mm"``) may be, the nearest first.

    Raises StoreError for a size that is none.
    """
    return pipeline.looked_up(built, _size(size), most)


def write_stray_picture(built: Build, strays: Sequence[Stray], path: pathlib.Path) -> None:
    """Draw pieces at true size into a new file, SVG or PDF. Raises StoreError, WriterError."""
    write_whole(path, pipeline.stray_picture(built, strays, path.suffix))


def forms() -> Iterable[Form]:
    """The kinds of furniture there are."""
    return pipeline.FORMS.values()


def form(name: str) -> Form:
    """A form by its name. Raises StoreError with the nearest known names."""
    return pipeline.FORMS[_known(name, pipeline.FORMS, "form", "forms")]


def starter(form_name: str) -> str:
    """The text of a design file to start from, with every size of a form and its default."""
    return pipeline.starter(form(form_name))


@dataclass(frozen=True)
class Example:
    """A design to look at and to change: ``about`` is what its notes say of it."""

    name: str
    title: str
    about: str
    text: bytes


@cache
def examples() -> tuple[Example, ...]:
    """The designs that come with the program."""
    return tuple(_example(name, text) for name, text in library.examples().items())


def example(name: str) -> Example:
    """An example by its name. Raises StoreError."""
    for found in examples():
        if found.name == name:
            return found
    raise StoreError(f"There is no example {name!r}.")


def _example(name: str, text: bytes) -> Example:
    """An example with its title, and the notes at its beginning as one paragraph."""
    notes = takewhile(lambda line: line.startswith("#"), text.decode().splitlines())
    paragraphs = "\n".join(line.lstrip("# ") for line in notes).split("\n\n")
    title = str(tomllib.loads(text.decode()).get("title", name))
    # The first paragraph is a heading, the second tells what the piece is for.
    return Example(name, title, " ".join(paragraphs[min(1, len(paragraphs) - 1)].split()), text)


def check_text(data: bytes, file: str) -> None:
    """Raise DesignError where these bytes are no text in TOML, or larger than is read."""
    pipeline.check_text(data, file)


def fits() -> Iterable[str]:
    """The names of the fits that are known."""
    return pipeline.known_fits()


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
