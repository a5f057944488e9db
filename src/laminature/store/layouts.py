"""Layouts of sheets read back from a kit folder's ``kit.toml``."""

from __future__ import annotations

import pathlib
import tomllib
from typing import Any, cast

from laminature.errors import GeometryError, StoreError
from laminature.geometry.flat import Flat, flat
from laminature.model.board import Grain
from laminature.model.sheet import Kept, Placement, Sheet
from laminature.store.files import read_bounded
from laminature.store.manifest import CAP, NAME


def read_kept(folder: pathlib.Path) -> Kept | None:
    """The layout that a search by time left in a kit folder; None where there is none to be read.

    What is read is not to be trusted before it has been checked: a maker may have edited the file.
    """
    path = folder / NAME
    try:
        if path.is_symlink() or not path.is_file():
            return None
        table = tomllib.loads(read_bounded(path, CAP).decode())
        layout = table["layout"]
        sheets = tuple(_sheet(entry) for entry in table["sheets"])
        return Kept(str(layout["digest"]), sheets, float(layout["seconds"]))
    except (OSError, StoreError, GeometryError):
        return None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _sheet(entry: dict[str, Any]) -> Sheet:
    return Sheet(
        str(entry["name"]),
        str(entry["board"]),
        float(entry["width"]),
        float(entry["height"]),
        tuple(_placement(p) for p in entry["placements"]),
        str(entry.get("offcut", "")),
        _outline(entry["outline"]) if "outline" in entry else None,
        _grain(entry["grain"]) if "grain" in entry else None,
    )


def _placement(entry: dict[str, Any]) -> Placement:
    return Placement(
        str(entry["part"]),
        int(entry["layer"]),
        float(entry["x"]),
        float(entry["y"]),
        float(entry["turn"]),
        bool(entry["mirrored"]),
        int(entry["piece"]),
    )


def _grain(word: str) -> Grain:
    if word not in ("x", "y", "none"):
        raise ValueError(word)
    return cast(Grain, word)


def _outline(rings: list[list[tuple[float, float]]]) -> Flat:
    outer, *openings = rings
    return flat(outer, openings)
