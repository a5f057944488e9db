"""Pictures that a design names: they have to lie in the design's own folder, or below it."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Sequence
from typing import Annotated, Any

from pydantic import Field, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from laminature.design.kinds import LineOfText, Written
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems
from laminature.model.photo import Photo

#: More photos are not set.
MOST = 8
_REMEDY = "Put the picture beside the design and write its name alone."


class PhotoWritten(Written):
    """A photo with words of its own."""

    file: LineOfText = Field(description="A picture in the design's folder or below it.")
    caption: LineOfText = Field("", description="What is said below it.")


class _NamesOrTables:
    """A name alone, a table, or a list of both."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        def read(value: Any, several: core_schema.ValidatorFunctionWrapHandler) -> Any:
            given = [value] if isinstance(value, str | dict) else value
            if isinstance(given, list):
                given = [{"file": one} if isinstance(one, str) else one for one in given]
            return several(given)

        return core_schema.no_info_wrap_validator_function(read, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        several = dict(handler(schema))
        one = {"anyOf": [{"type": "string", "maxLength": 200}, several["items"]]}
        return {"anyOf": [*one["anyOf"], {**several, "items": one}]}


Photos = Annotated[list[PhotoWritten], Field(max_length=MOST), _NamesOrTables()]


def photos(
    written: Sequence[PhotoWritten], folder: pathlib.Path | None, problems: Problems
) -> tuple[Photo, ...]:
    """The photos as written, without those that lie elsewhere than they may."""
    made = []
    for n, one in enumerate(written):
        paths: tuple[KeyPath, ...] = (("photo", n, "file"), ("photo", n), ("photo", "file"))
        path = next((p for p in paths if problems.stands(p)), ("photo",))
        checked = check_photo(path, one.file, folder, problems)
        if checked is not None:
            made.append(Photo(checked, one.caption))
    return tuple(made)


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
