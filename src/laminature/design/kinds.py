"""The kinds of value that a design file holds, as pydantic reads them.

A length becomes mm as it is read: furniture's at miniature scale, the bench's (board, glue,
fit, cutter, cloth) as it is. The scale and the unit of bare numbers come with the
validation's context, a :class:`Reading`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from laminature.design.problems import said
from laminature.units import Measure, Scale, UnitError, in_mm, length

#: Nothing in a miniature is larger than this, mm at miniature scale.
LARGEST_MINI = 2000.0

_LENGTH_EXAMPLES = ["18 in", "457 mm", "1 ft 5 1/2 in", "45.7 cm", "mini 3 mm"]


@dataclass(frozen=True)
class Reading:
    """What the lengths of a file depend on: its scale, and the unit of its bare numbers."""

    scale: Scale = field(default_factory=lambda: Scale(Fraction(12)))
    unit: str = "mm"


class Written(BaseModel):
    """Base of all tables of a design file: unknown keys are errors, and nothing is converted."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


@dataclass(frozen=True)
class Actual:
    """A length of the bench, always actual size; a bare number is mm. Bounds in mm, both allowed."""

    low: float
    high: float

    def read(self, value: Any) -> float:
        """The length in mm."""
        mm = float(_measure(value, "mm", signed=self.low < 0))
        if not self.low <= mm <= self.high:
            raise said(
                f"{in_mm(mm, 4)} cannot be: this lies between {in_mm(self.low)} and {in_mm(self.high)}.",
                "It is an actual size, not one of the full-size piece; a bare number is in mm.",
            )
        return mm

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return length_schema(self.low, self.high, "actual size; a bare number is in mm")


@dataclass(frozen=True)
class Furniture:
    """A length of the piece: full-size unless written "mini"; read as mm at miniature scale.

    ``zero`` allows 0, ``signed`` also what is below it.
    """

    zero: bool = False
    signed: bool = False

    def read(self, value: Any, info: ValidationInfo) -> float:
        """The length at miniature scale, mm, rounded once."""
        reading: Reading = info.context or Reading()
        mm = float(reading.scale.mini(_measure(value, reading.unit, self.signed)))
        if mm == 0.0 and not (self.zero or self.signed):
            raise said("A size of nothing cannot be made.", "Give a length above zero.")
        if abs(mm) > LARGEST_MINI:
            raise said(
                f"{in_mm(mm)} at miniature scale is far too large.",
                f"Lengths of the piece are full-size; nothing exceeds {in_mm(LARGEST_MINI)} in miniature.",
            )
        return mm

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return length_schema(None if self.signed else 0.0, None, "full-size unless it begins with mini")


def _measure(value: Any, unit: str, signed: bool) -> Measure:
    try:
        return length(value, unit, signed)
    except UnitError as error:
        raise said(str(error)) from None


def length_schema(low: float | None, high: float | None, about: str) -> dict[str, Any]:
    """The JSON Schema of a length: a text with its unit, or a bare number."""
    number: dict[str, Any] = {"type": "number"}
    if low is not None and low >= 0:
        number["minimum"] = 0
    bounds = "" if low is None or high is None else f", {low:g} to {high:g} mm"
    return {
        "anyOf": [{"type": "string", "maxLength": 200}, number],
        "description": f"A length, {about}{bounds}.",
        "examples": _LENGTH_EXAMPLES,
    }


def _plain_name(value: str) -> str:
    if not value.strip():
        raise said("A name cannot be empty.", "Give it a name.")
    bad = sorted({c for c in value if not c.isprintable() or c in '/\\*?[]<>"'})
    if bad or value != value.strip() or value.startswith("."):
        what = (
            f" {' '.join(c if c.isprintable() else repr(c) for c in bad)}"
            if bad
            else " blanks or dots at its ends"
        )
        raise said(f"A name cannot have{what}.", "Use letters, digits, blanks, - and _.")
    return value


#: Not printed themselves, yet parts of words: joiners, without which Persian and many emoji are not written
#: rightly, and blanks at which no line ends. Signs that turn text over stay out: they make it look another.
_WITHIN_WORDS = frozenset("\u200c\u200d\u00a0\u202f")


def _plain_text(value: str) -> str:
    if any(not c.isprintable() and c not in _WITHIN_WORDS for c in value):
        raise said("This text has characters that cannot be printed.", "Write it on one line.")
    return value


#: A name that rules can point to: no wildcards, no slashes.
Name = Annotated[str, Field(max_length=64), AfterValidator(_plain_name)]
#: One line of text for people.
LineOfText = Annotated[str, Field(max_length=200), AfterValidator(_plain_text)]
#: Text of any number of lines.
Text = Annotated[str, Field(max_length=20_000)]
Size = Annotated[float, Furniture()]
Extent = Annotated[float, Furniture(zero=True)]
Offset = Annotated[float, Furniture(signed=True)]
Degrees = Annotated[float, Field(ge=-360, le=360)]
LayerCount = Annotated[int, Field(ge=1, le=40)]


def from_name(value: Any, key: str = "name") -> Any:
    """A table that may be written as a name alone: ``fit = "pinned"`` is ``fit = { name = "pinned" }``."""
    return {key: value} if isinstance(value, str) else value


def name_or_table(schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
    """The JSON Schema of such a table."""
    table = handler.resolve_ref_schema(handler(schema))
    return {"anyOf": [{"type": "string"}, dict(table)]}
