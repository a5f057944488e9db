"""Boards as data: the package's, the user's own, and those inside a design.

The three are written alike: a table per board, with ``like`` to start from another board.
A table that bears the name of a known board changes that one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Annotated, Any

from pydantic import Field, GetJsonSchemaHandler, TypeAdapter, ValidationError, model_validator
from pydantic_core import CoreSchema, core_schema

from laminature.design.decoding import decode, refuse_what_is_no_number
from laminature.design.kinds import (
    Actual,
    LineOfText,
    Name,
    Written,
    from_name,
    length_schema,
    name_or_table,
)
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose, said
from laminature.model.board import Board, Grain
from laminature.model.stack import formula_thickness
from laminature.units import in_mm

#: What a new board has where its maker says nothing: from memory; a measured stack overrides both.
GLUE_LINE = 0.02
GROWTH = 0.01

#: Sizes of paper by name, mm upright: ISO 216.
PAPER = {"A2": (420.0, 594.0), "A3": (297.0, 420.0), "A4": (210.0, 297.0), "A5": (148.0, 210.0)}
_SIDE = Actual(20.0, 3000.0)
_STACK = Actual(0.02, 200.0)
_YOURS = "your own value"
_SPEAK_FOR_THEMSELVES = {"title", "measured", "sheet_width", "sheet_height"}


@dataclass(frozen=True)
class _SheetSize:
    """Width and height of a sheet, actual size: two lengths, or a name of paper."""

    def read(self, value: Any) -> tuple[float, float]:
        if isinstance(value, str):
            if value not in PAPER:
                raise said(
                    f"{value[:40]!r} is no size of sheet.",
                    f'Write ["12 in", "12 in"], or {", ".join(PAPER)}.',
                )
            return PAPER[value]
        if not isinstance(value, list) or len(value) != 2:
            raise said("A sheet has two sides.", 'Write ["12 in", "12 in"], or "A4".')
        return _SIDE.read(value[0]), _SIDE.read(value[1])

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        side = length_schema(20.0, 3000.0, "actual size; a bare number is in mm")
        return {
            "anyOf": [{"enum": list(PAPER)}, {"type": "array", "items": side, "minItems": 2, "maxItems": 2}]
        }


@dataclass(frozen=True)
class _Measured:
    """Measured stacks: a number of layers and the thickness of such a stack, mm, fewest layers first."""

    def read(self, value: Any) -> tuple[tuple[int, float], ...]:
        if not isinstance(value, dict):
            raise said("Measured stacks are a table.", 'Write { 4 = "2.31 mm" }.')
        found = []
        for key, item in value.items():
            if not (key.isascii() and key.isdigit() and len(key) < 3 and 1 <= int(key) <= 40):
                raise said(f"{key[:20]!r} is no number of layers.", 'Write { 4 = "2.31 mm" }.')
            found.append((int(key), _STACK.read(item)))
        found.sort()
        for (few, thin), (many, thick) in pairwise(found):
            if few == many or thick <= thin:
                raise said(
                    f"{many} layers cannot measure {in_mm(thick)} where {few} measure {in_mm(thin)}.",
                    "Measure both again.",
                )
        return tuple(found)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        stack = length_schema(0.02, 200.0, "actual size; a bare number is in mm")
        return {"type": "object", "patternProperties": {"^[0-9]{1,2}$": stack}, "additionalProperties": False}


_Web = Annotated[float, Actual(0.05, 50.0)]
#: How often a cutter goes over a line.
Passes = Annotated[int, Field(ge=1, le=30)]
_Share = Annotated[float, Field(ge=-0.2, le=0.5)]


class BoardWritten(Written):
    """A board: what you cut from. All its lengths are actual size."""

    name: Name | None = Field(None, description="In [board]: the board that the other keys change.")
    like: Name | None = Field(None, description="The board whose values hold where none is given here.")
    title: LineOfText | None = None
    caliper: Annotated[float, Actual(0.05, 20.0)] | None = Field(
        None, description='Thickness of one layer: "22 pt" (1/1000 in) or "0.56 mm".'
    )
    sheet: Annotated[tuple[float, float], _SheetSize()] | None = None
    grain: Grain | None = Field(None, description="The sheet's stiff direction.")
    glue_line: Annotated[float, Actual(0.0, 1.0)] | None = Field(
        None, description="Thickness of a glue line."
    )
    growth: _Share | None = Field(None, description="By what share hardening thickens it: 0.01 is 1 %.")
    face_sanding: Annotated[float, Actual(0.0, 2.0)] | None = Field(
        None, description="What sanding takes off a finished stack, both faces together."
    )
    web_knife: _Web | None = Field(None, description="The thinnest web that a knife leaves whole.")
    web_laser: _Web | None = Field(None, description="The thinnest web that a laser leaves whole.")
    opening_knife: _Web | None = Field(None, description="The smallest opening that a knife cuts cleanly.")
    opening_laser: _Web | None = Field(None, description="The smallest opening that a laser cuts cleanly.")
    bridge_knife: _Web | None = Field(None, description="Width of bridges between cuts of a knife.")
    bridge_laser: _Web | None = Field(None, description="Width of bridges between cuts of a laser.")
    small: Annotated[float, Actual(0.0, 100.0)] | None = Field(
        None, description="Pieces whose longer side is below this get bridges, where bridges are asked for."
    )
    density: Annotated[float, Field(ge=0.02, le=20.0)] | None = Field(None, description="g/cm³")
    passes_knife: Passes | None = Field(None, description="How often a knife goes over a line.")
    passes_laser: Passes | None = Field(None, description="How often a laser goes over a line.")
    measured: Annotated[tuple[tuple[int, float], ...], _Measured()] | None = Field(
        None, description="Stacks that you measured: number of layers = thickness."
    )
    sources: dict[str, LineOfText] = Field(default_factory=dict, description="Where each value comes from.")

    @model_validator(mode="before")
    @classmethod
    def _from_name(cls, value: Any) -> Any:
        return from_name(value)

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return name_or_table(schema, handler)


_BOARDS: TypeAdapter[dict[str, BoardWritten]] = TypeAdapter(dict[Name, BoardWritten])
_PLAIN = (
    *("title", "caliper", "grain", "glue_line", "growth", "face_sanding", "web_knife", "web_laser"),
    *("opening_knife", "opening_laser", "density", "passes_knife", "passes_laser", "measured"),
    *("bridge_knife", "bridge_laser", "small"),
)


def read_boards(data: bytes, file: str, known: Mapping[str, Board] | None = None) -> dict[str, Board]:
    """The boards of a file, a table each, by name. ``known`` boards can be changed and built upon.

    Raises DesignErrors with all that is wrong, or DesignError where the file is no TOML.
    """
    decoded = decode(data, file)
    problems = Problems(file, decoded.lines)
    refuse_what_is_no_number(decoded, problems)
    try:
        written = _BOARDS.validate_python(decoded.values)
    except ValidationError as error:
        problems.add_all(error, {("*",): BoardWritten.model_fields})
        problems.raise_any()
        raise
    boards = resolve_all((), written, known or {}, problems)
    problems.raise_any()
    return boards


def resolve_all(
    path: KeyPath, written: Mapping[str, BoardWritten], known: Mapping[str, Board], problems: Problems
) -> dict[str, Board]:
    """The boards that stand at ``path``, each built on the board it is like, in whatever order they come."""
    made: dict[str, Board] = {}
    left = dict(written)
    while left:
        ready = [n for n, w in left.items() if w.like is None or w.like == n or w.like not in left]
        if not ready:
            for name in left:
                problems.add((*path, name, "like"), "These boards are like each other in a circle.")
            break
        for name in ready:
            board = resolve((*path, name), name, left.pop(name), {**known, **made}, problems)
            if board is not None:
                made[name] = board
    return {name: made[name] for name in written if name in made}


def resolve(
    path: KeyPath, name: str, written: BoardWritten, known: Mapping[str, Board], problems: Problems
) -> Board | None:
    """The board ``name`` as written at ``path``, over the known board it changes or is like.

    None where something is wrong, which then is among ``problems``.
    """
    base_name = written.like if written.like is not None else name
    base = known.get(base_name)
    if base is None:
        if written.like is not None:
            problems.add((*path, "like"), f"There is no board {base_name!r}.", choose(base_name, known))
            return None
        if written.caliper is None or written.sheet is None:
            lacking = "caliper" if written.caliper is None else "sheet"
            problems.add(
                path,
                f"The board {name!r} is new and has no {lacking}.",
                f'Give {lacking}, or say like = "..." to start from a known board. {choose(name, known)}',
            )
            return None
        base = Board(name, name, written.caliper, *written.sheet, glue_line=GLUE_LINE, growth=GROWTH)
    given = {key: value for key in _PLAIN if (value := getattr(written, key)) is not None}
    if written.like is not None and "title" not in given:
        given["title"] = name
    if written.sheet is not None:
        given["sheet_width"], given["sheet_height"] = written.sheet
    # A measured stack is of one caliper; another board's says nothing about this one.
    if "caliper" in given and "measured" not in given:
        given["measured"] = ()
    yours = [*given, "sheet"] if written.sheet is not None else list(given)
    unsourced = [key for key in yours if key not in _SPEAK_FOR_THEMSELVES]
    sources = {**dict(base.sources), **dict.fromkeys(unsourced, _YOURS), **written.sources}
    board = replace(base, name=name, **given, sources=tuple(sorted(sources.items())))
    return board if _is_sound(path, board, problems) else None


def _is_sound(path: KeyPath, board: Board, problems: Problems) -> bool:
    """Whether measured stacks can be of this caliper at all."""
    for count, value in board.measured:
        formula = formula_thickness((board.caliper,) * count, board)
        if not 0.6 * formula <= value <= 1.6 * formula:
            problems.add(
                (*path, "measured"),
                f"{count} layers of {in_mm(board.caliper, 4)} cannot measure {in_mm(value)}.",
                f"The formula says {in_mm(formula)}: check the number of layers, and the unit.",
            )
            return False
    if formula_thickness((board.caliper,), board) <= 0.0:
        problems.add(path, "Sanding takes off more than a layer's thickness.", "Give less face_sanding.")
        return False
    return True
