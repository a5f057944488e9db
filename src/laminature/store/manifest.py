"""``kit.toml``: what a kit folder holds, with what it was made, and where each layer lies."""

from __future__ import annotations

import hashlib
import pathlib
import re
import stat
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from importlib import metadata
from typing import Any

from laminature.errors import StoreError
from laminature.geometry.flat import Flat
from laminature.model.offcut import Offcut, Remainder
from laminature.model.sheet import Kept, Placement, Sheet
from laminature.store.files import read_bounded
from laminature.store.names import check_names
from laminature.store.one_offcut import offcut_lines
from laminature.store.toml import number, string

NAME = "kit.toml"
FORMAT = 1
#: Tables of the offcuts that cutting the kit uses up, and of those that it makes.
USED = "offcuts_used"
NEW = "offcuts_new"
#: The most that is read of a ``kit.toml``, bytes.
CAP = 1 << 26
_SEAL = re.compile(rb'^seal = "([0-9a-f]{64})"\n', re.MULTILINE)
_HEAD = (
    "# What Laminature put into this folder. A later run replaces or removes only files that\n"
    "# are listed here and still are as listed; everything else in the folder is yours and stays.\n"
)
#: Packages whose versions can change a file's bytes.
_PACKAGES = ("laminature", "numpy", "scipy", "shapely", "manifold3d", "ezdxf", "trimesh")


@dataclass(frozen=True)
class About:
    """What ``kit.toml`` tells beside the list of files.

    ``letters`` maps a part's name to its label. ``used`` are offcuts that become sheets, each with the
    sheet's name, ``remainders`` what is worth keeping once all is cut.
    ``kept`` is there where the sheets come from a search by time, so that they can be used again.
    """

    title: str = ""
    sheets: Sequence[Sheet] = ()
    letters: Mapping[str, str] = field(default_factory=dict)
    versions: Mapping[str, str] | None = None
    used: Sequence[tuple[str, Offcut]] = ()
    remainders: Sequence[Remainder] = ()
    kept: Kept | None = None


@dataclass(frozen=True)
class Manifest:
    """A ``kit.toml`` that was read: SHA-256 by file name. ``edited`` if it was changed by hand."""

    files: Mapping[str, str]
    edited: bool

    def lists(self, folder: pathlib.Path, name: pathlib.PurePosixPath) -> bool:
        """Whether the file ``name`` in ``folder`` is listed here and still has the content listed."""
        path = folder / name
        expected = self.files.get(str(name))
        return (
            expected is not None
            and stat.S_ISREG(path.lstat().st_mode)
            and sha256(path.read_bytes()) == expected
        )


def sha256(data: bytes) -> str:
    """SHA-256 in lower-case hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def installed_versions() -> dict[str, str]:
    """Versions of Laminature and of the libraries that can change a file's bytes."""
    found = {}
    for package in _PACKAGES:
        try:
            found[package] = metadata.version(package)
        except metadata.PackageNotFoundError:
            found[package] = "not installed"
    return found


def write(files: Mapping[str, bytes], about: About) -> bytes:
    """The bytes of ``kit.toml`` for these files. The same input gives the same bytes."""
    versions = installed_versions() if about.versions is None else about.versions
    rest = "\n".join(_lines(files, about, versions)) + "\n"
    seal = sha256((_HEAD + rest).encode())
    return f'{_HEAD}seal = "{seal}"\n{rest}'.encode()


def _lines(files: Mapping[str, bytes], about: About, versions: Mapping[str, str]) -> Iterator[str]:
    yield f"format = {FORMAT}"
    yield f"title = {string(about.title)}"
    yield "files = ["
    for name in sorted(files):
        yield f"    {{ name = {string(name)}, sha256 = {string(sha256(files[name]))} }},"
    yield "]"
    yield "\n[versions]"
    yield from (f"{string(name)} = {string(version)}" for name, version in versions.items())
    yield "\n[letters]"
    yield from (f"{string(part)} = {string(letter)}" for part, letter in about.letters.items())
    if about.kept is not None:
        yield "\n[layout]"
        yield f"digest = {string(about.kept.digest)}"
        yield f"seconds = {number(about.kept.seconds)}"
    for sheet in about.sheets:
        yield "\n[[sheets]]"
        yield f"name = {string(sheet.name)}"
        yield f"board = {string(sheet.board)}"
        yield f"width = {number(sheet.width)}"
        yield f"height = {number(sheet.height)}"
        if sheet.offcut:
            yield f"offcut = {string(sheet.offcut)}"
        if sheet.grain is not None:
            yield f"grain = {string(sheet.grain)}"
        if sheet.outline is not None:
            yield f"outline = {_rings(sheet.outline)}"
        yield "placements = ["
        yield from (f"    {{ {_placement(p)} }}," for p in sheet.placements)
        yield "]"
    for name, offcut in about.used:
        yield f"\n[[{USED}]]"
        yield f"sheet = {string(name)}"
        yield from offcut_lines(offcut)
    for made in about.remainders:
        yield f"\n[[{NEW}]]"
        yield f"sheet = {string(made.sheet)}"
        yield f"x = {number(made.at[0])}"
        yield f"y = {number(made.at[1])}"
        yield f"fell_from = {string(made.fell_from)}"
        yield from offcut_lines(made.offcut)


def _rings(outline: Flat) -> str:
    """Corners of the outline and of each opening."""
    rings = (outline.exterior, *outline.interiors)
    written = (", ".join(f"[{number(x)}, {number(y)}]" for x, y in list(ring.coords)[:-1]) for ring in rings)
    return "[" + ", ".join(f"[{ring}]" for ring in written) + "]"


def _placement(placed: Placement) -> str:
    flag = "true" if placed.mirrored else "false"
    return (
        f"part = {string(placed.part)}, layer = {placed.layer}, piece = {placed.piece}, "
        f"x = {number(placed.x)}, y = {number(placed.y)}, turn = {number(placed.turn)}, mirrored = {flag}"
    )


def read(folder: pathlib.Path) -> Manifest | None:
    """The manifest of a kit folder, or None where there is none. Raises StoreError for a broken one."""
    path = folder / NAME
    if path.is_symlink() or not path.is_file():
        return None
    data = read_bounded(path, CAP)
    try:
        return _parse(data)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, StoreError) as error:
        raise StoreError(
            f"{path} cannot be understood, so it is not clear which files in {folder} are yours. "
            "Nothing was written; give another folder, or move this one away."
        ) from error


def table_of(folder: pathlib.Path) -> Mapping[str, Any]:
    """All that the ``kit.toml`` in ``folder`` says. Raises StoreError where it is none of this format."""
    path = folder / NAME
    if not path.is_file():
        raise StoreError(f"{folder} is no kit: there is no {NAME} in it.")
    try:
        table = tomllib.loads(read_bounded(path, CAP).decode())
    except (ValueError, RecursionError) as error:
        raise StoreError(f"{path} cannot be understood: {error}.") from error
    if table.get("format") != FORMAT:
        raise StoreError(f"{path} was written by another version of Laminature. Use that version.")
    return table


def _parse(data: bytes) -> Manifest:
    table = tomllib.loads(data.decode())
    if table["format"] != FORMAT:
        raise ValueError("a format of another version")
    files = {entry["name"]: str(entry["sha256"]) for entry in table["files"]}
    check_names(files)
    seal = _SEAL.search(data)
    whole = seal is not None and sha256(data[: seal.start()] + data[seal.end() :]) == seal.group(1).decode()
    return Manifest(files, edited=not whole)
