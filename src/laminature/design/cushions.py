"""The ``[cushion]`` table, or several ``[[cushion]]``: soft things, and how they are buttoned."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from laminature.design.kinds import (
    Actual,
    Extent,
    Furniture,
    LayerCount,
    LineOfText,
    Name,
    Offset,
    Size,
    Written,
)
from laminature.design.problems import Problems, choose, said
from laminature.model.cushion import Manner, Pattern
from laminature.model.design import CushionSpec
from laminature.units import LIGNE

_LIGNES = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*[Ll]\s*")

Points = Annotated[
    list[Annotated[list[Offset], Field(min_length=2, max_length=2)]], Field(min_length=1, max_length=400)
]
Count = Annotated[int, Field(ge=1, le=40)]


@dataclass(frozen=True)
class _Button(Furniture):
    """A button's diameter: a length of the piece, or lignes, as buttons are sold: ``"30 L"``."""

    def read(self, value: Any, info: ValidationInfo) -> float:
        """The diameter at miniature scale, mm."""
        lignes = _LIGNES.fullmatch(value) if isinstance(value, str) else None
        if lignes is None:
            return super().read(value, info)
        number = float(lignes.group(1))
        if not 4.0 <= number <= 200.0:
            raise said(f"A button of {number:g} lignes cannot be.", "40 lignes are an inch.")
        return super().read(f"full {number * float(LIGNE):.6f} mm", info)


class CushionWritten(Written):
    """A cushion. Its materials are actual size, its buttoning is said in full size, as the trade does."""

    on: LineOfText = Field("", description="The part that it lies on; a form knows by itself.")
    name: Name = Field("cushion", description="What it is called, where there are several.")
    face: Literal["upper", "lower"] = Field("upper", description="The face of that part that it lies on.")
    panel_layers: LayerCount = Field(2, description="Layers of the pierced panel.")
    backing_panels: Annotated[int, Field(ge=0, le=6)] = Field(
        2, description="Plain panels behind it; the first has room for the knots."
    )
    inset: Extent | None = Field(
        None, description="From the part's edge to the covered cushion, where no frame decides it."
    )
    batting_layers: Annotated[int, Field(ge=0, le=100)] = 4
    batting_thickness: Annotated[float, Actual(0.0, 50.0)] = Field(
        1.0, description="Of one layer, as it lies compressed under the cloth."
    )
    swell: Annotated[float, Field(ge=1.0, le=12.0)] = Field(
        2.5, description="How full the crown is: 2 round, more is flatter with rounder shoulders."
    )
    cloth_thickness: Annotated[float, Actual(0.0, 5.0)] = 0.15
    turn_under: Annotated[float, Actual(1.0, 40.0)] = Field(8.0, description="Cloth glued to the back.")
    print_repeat: Size | None = Field(None, description="The pattern's repeat, as the piece would have it.")
    piping: Annotated[float, Actual(0.0, 10.0)] = Field(0.0, description="Diameter of its cord; 0 for none.")
    clearance: Annotated[float, Actual(0.0, 5.0)] = Field(0.2, description="Gap to a frame on each side.")
    pattern: Pattern = Field("plain", description=", ".join(get_args(Pattern)) + ".")
    manner: Manner = Field("pulled-in", description="pulled-in: buttons dent; deep: they make pleats.")
    spacing: Annotated[list[Size], Field(min_length=2, max_length=2)] | Size | None = Field(
        None, description="Wanted between buttons: across and up, or one length for both."
    )
    rows: Count | None = None
    columns: Count | None = None
    margin: Extent | None = Field(None, description="From the panel's edge to the nearest button.")
    points: Points | None = Field(
        None, description='pattern = "points": buttons by hand, from the middle of the panel.'
    )
    button: Annotated[float, _Button()] | None = Field(
        None, description='A button of the full-size piece: "30 L" (lignes, 40 to the inch) or a length.'
    )
    bead: Annotated[float, Actual(0.3, 10.0)] | None = Field(
        None, description="Diameter of the beads; left out, the nearest that is sold."
    )
    dip: Annotated[float, Field(ge=0.0, le=1.0)] = Field(
        0.6, description="How far buttons are drawn down, as a share of the crown."
    )


class _OneOrSeveral:
    """``[cushion]`` alone, or ``[[cushion]]`` as often as there are some."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        def read(value: Any, several: core_schema.ValidatorFunctionWrapHandler, info: Any) -> Any:
            if isinstance(value, dict):
                return [CushionWritten.model_validate(value, context=info.context)]
            return several(value)

        return core_schema.with_info_wrap_validator_function(read, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        several = dict(handler(schema))
        return {"anyOf": [several["items"], several]}


Cushions = Annotated[list[CushionWritten], Field(max_length=12), _OneOrSeveral()]


def cushions(
    written: Sequence[CushionWritten], parts: Sequence[str], problems: Problems
) -> tuple[CushionSpec, ...]:
    """The cushions as written. ``parts`` are the names of listed parts; none where a form makes them."""
    made = []
    for n, c in enumerate(written):
        path: tuple[str | int, ...] = ("cushion", n) if problems.stands(("cushion", n)) else ("cushion",)
        if parts and c.on not in parts:
            at = (*path, "on") if c.on else path
            problems.add(at, f"The cushion lies on {c.on!r}, which is no part.", choose(c.on, parts[:40]))
        if sum(other.name == c.name for other in written) > 1:
            problems.add(path, f"Several cushions are called {c.name!r}.", "Give each a name of its own.")
        if (c.pattern == "points") != (c.points is not None):
            problems.add(
                path,
                'Buttons by hand want both pattern = "points" and their points.',
                "Give both, or neither.",
            )
        given = c.model_dump(exclude={"spacing", "points"})
        made.append(
            CushionSpec(
                **given,
                spacing=_pair(c.spacing),
                points=tuple((p[0], p[1]) for p in c.points or ()),
            )
        )
    return tuple(made)


def _pair(value: list[float] | float | None) -> tuple[float, float] | None:
    if value is None:
        return None
    return (value[0], value[1]) if isinstance(value, list) else (value, value)
