"""One offcut as a table of a TOML file: in the ledger, and in a kit's own list."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from laminature.errors import GeometryError, StoreError
from laminature.geometry.flat import Flat, flat, rectangle
from laminature.geometry.remains import shifted
from laminature.model.offcut import LETTER, Offcut
from laminature.store.toml import number, string

#: Smallest and largest side of what can be an offcut, mm.
SIDES = (1.0, 3000.0)
_MOST_POINTS = 20_000
_NAME = re.compile(r"[^\W_][\w .-]{0,19}")
_KEYS = ("name", "board", "grain", "width", "height", "points", "openings", "origin")


def offcut_lines(offcut: Offcut) -> Iterator[str]:
    """The lines of one offcut's table: name, board, grain, outline and origin."""
    yield f"name = {string(offcut.name)}"
    yield f"board = {string(offcut.board)}"
    yield f"grain = {string(offcut.grain)}"
    x1, y1 = offcut.outline.bounds[2:]
    if is_rectangle(offcut.outline):
        yield f"width = {number(x1)}"
        yield f"height = {number(y1)}"
    else:
        yield f"points = {_ring(offcut.outline.exterior)}"
        if offcut.outline.interiors:
            yield f"openings = [{', '.join(_ring(r) for r in offcut.outline.interiors)}]"
    yield f"origin = {string(offcut.origin)}"


def is_rectangle(outline: Flat) -> bool:
    """Whether an outline is the whole of its upright bounds."""
    x1, y1 = outline.bounds[2:]
    return bool(outline.equals(rectangle(0.0, 0.0, x1, y1)))


def _ring(ring: Any) -> str:
    return "[" + ", ".join(f"[{number(x)}, {number(y)}]" for x, y in ring.coords[:-1]) + "]"


def read_offcut(entry: Mapping[str, Any], place: str) -> Offcut:
    """The offcut in a table. Raises StoreError; ``place`` says where it stands."""
    check_keys(entry, _KEYS, place)
    name = text_of(entry, "name", place)
    if _NAME.fullmatch(name) is None or name != name.strip():
        raise StoreError(f"{place}: a name has up to 20 letters and digits, like {LETTER}7.")
    board = text_of(entry, "board", place)
    if not board:
        raise StoreError(f"{place}: it has no board. `laminature boards` lists them.")
    grain = entry.get("grain", "x")
    if grain not in ("x", "y", "none"):
        raise StoreError(f'{place}: grain is "x", "y" or "none", not {short(grain)}.')
    return Offcut(name, board, _outline(entry, place), grain, text_of(entry, "origin", place, ""))


def _outline(entry: Mapping[str, Any], place: str) -> Flat:
    if "points" in entry:
        if "width" in entry or "height" in entry:
            raise StoreError(f"{place}: give width and height, or points, not both.")
        openings = entry.get("openings", [])
        if not isinstance(openings, list):
            raise StoreError(f"{place}: openings are a list of lists of points.")
        return outline_of(_points(entry["points"], place), [_points(ring, place) for ring in openings], place)
    if "openings" in entry:
        raise StoreError(f"{place}: openings need an outline of points.")
    sides = [length_of(entry.get(key), f"{place}: {key}") for key in ("width", "height")]
    return outline_of([(0.0, 0.0), (sides[0], 0.0), (sides[0], sides[1]), (0.0, sides[1])], (), place)


def outline_of(
    points: Sequence[tuple[float, float]], openings: Sequence[Sequence[tuple[float, float]]], place: str
) -> Flat:
    """An offcut's outline, its lower left bounds moved to the origin.

    Raises StoreError where it crosses itself, has no area or is no size that board has.
    """
    try:
        made = flat(points, openings)
    except (GeometryError, ValueError) as error:
        at = re.search(r"\[(\S+) (\S+)\]", str(error))
        near = f" near x {float(at[1]):.2f}, y {float(at[2]):.2f} mm" if at else ""
        raise StoreError(f"{place}: its outline crosses or touches itself{near}. Draw it anew.") from error
    x0, y0, x1, y1 = made.bounds
    if not made.area > 0.01:
        raise StoreError(f"{place}: its outline has no area.")
    if min(x1 - x0, y1 - y0) < SIDES[0] or max(x1 - x0, y1 - y0) > SIDES[1]:
        raise StoreError(
            f"{place}: {x1 - x0:g} × {y1 - y0:g} mm is no size for an offcut: "
            f"its sides are {SIDES[0]:g} to {SIDES[1]:g} mm."
        )
    return made if (x0, y0) == (0.0, 0.0) else shifted(made, -x0, -y0)


def _points(value: object, place: str) -> list[tuple[float, float]]:
    fault = StoreError(f"{place}: points are written [[0, 0], [80, 0], [80, 50]], in mm.")
    if not isinstance(value, list) or len(value) < 3:
        raise fault
    if len(value) > _MOST_POINTS:
        raise StoreError(f"{place}: it has more than {_MOST_POINTS:,} points.")
    found = []
    for point in value:
        if not isinstance(point, list) or len(point) != 2 or not all(map(_is_coordinate, point)):
            raise fault
        found.append((float(point[0]), float(point[1])))
    return found


def _is_coordinate(value: object) -> bool:
    return type(value) in (int, float) and -1e6 <= value <= 1e6  # type: ignore[operator]


def length_of(value: object, place: str) -> float:
    """A length above zero, mm. Raises StoreError; ``place`` says of what."""
    if type(value) not in (int, float) or not 0 < value < math.inf:  # type: ignore[operator]
        said = "is missing" if value is None else f"cannot be {short(value)}"
        raise StoreError(f"{place} {said}: write a number of mm above zero.")
    return float(min(value, 1e6))  # type: ignore[call-overload]


def check_keys(table: Mapping[str, Any], known: Sequence[str], place: str) -> None:
    """Raise StoreError for a key that is not ``known``, with the nearest that is."""
    for key in table:
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1)
            hint = f"Did you mean {near[0]!r}?" if near else f"Known are {', '.join(known)}."
            raise StoreError(f"{place}: {short(key)} is not known here. {hint}")


def text_of(table: Mapping[str, Any], key: str, place: str, usual: str | None = None) -> str:
    """The text at ``key``; ``usual`` where there is none. Raises StoreError."""
    value = table.get(key, usual)
    if not isinstance(value, str):
        said = f"it has no {key}" if value is None else f"{key} is a text, not {short(value)}"
        raise StoreError(f"{place}: {said}.")
    return value


def short(value: object) -> str:
    """A value as it was written, cut where it is long."""
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
