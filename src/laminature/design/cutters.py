"""The ``[cutter]`` table: what you cut with, and how it is driven."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from laminature.design.boards import Passes
from laminature.design.kinds import Actual, Text, Written, from_name, name_or_table
from laminature.design.problems import Problems
from laminature.model.cutting import Cutting, FileKind, usual

#: mm/s; a bare number.
Speed = Annotated[float, Field(gt=0, le=5000)]
#: Settings of the cutter that are those of its kind where nothing is written.
_AS_USUAL = (
    *("overlap", "passes", "speed", "travel_speed", "lift"),
    *("power", "mark_power", "safe_height", "below"),
)


class CutterWritten(Written):
    """What you cut with."""

    kind: Literal["knife", "laser"] = Field("knife", description="knife or laser.")
    spacing: Annotated[float, Actual(0.0, 100.0)] = Field(1.5, description="Between layers on a sheet.")
    margin: Annotated[float, Actual(0.0, 200.0)] = Field(5.0, description="Along a sheet's edges.")
    kerf: Annotated[float, Actual(0.0, 1.0)] = Field(
        0.0,
        description="Laser: width that is burnt away. Outlines grow and openings shrink by half of it.",
    )
    overlap: Annotated[float, Actual(0.0, 5.0)] | None = Field(
        None, description="How far a cut runs on over its own beginning; knife 0.5 mm, laser 0."
    )
    overcut: Annotated[float, Actual(0.0, 0.2)] = Field(
        0.0, description="How far cuts go beyond corners, at most 0.2 mm; never on show layers."
    )
    in_drawings: bool = Field(
        False, description="Overlap and overcut in SVG and DXF too, not only in HP-GL and G-code."
    )
    passes: Passes | None = Field(None, description="How often each line is cut; the board knows.")
    speed: Speed | None = Field(None, description="While cutting, mm/s.")
    travel_speed: Speed | None = Field(None, description="Between cuts, mm/s.")
    lift: Annotated[float, Field(ge=0, le=60)] | None = Field(
        None, description="Seconds to raise and lower the tool once."
    )
    power: Annotated[float, Field(ge=0, le=100_000)] | None = Field(
        None, description="Laser: the S word of a full cut in G-code."
    )
    mark_power: Annotated[float, Field(ge=0, le=100_000)] | None = Field(
        None, description="Laser: the S word of lines that are only to be seen."
    )
    safe_height: Annotated[float, Actual(0.1, 100.0)] | None = Field(
        None, description="Knife in G-code: the raised blade above the board."
    )
    below: Annotated[float, Actual(0.0, 2.0)] | None = Field(
        None, description="Knife in G-code: how far the last pass goes beyond the board's thickness."
    )
    bridges: bool | Annotated[float, Actual(0.5, 200.0)] = Field(
        False, description="Small pieces stay tied to the sheet: true, or those below a length."
    )
    gather: bool = Field(False, description="Small pieces lie together in a frame of board, held by bridges.")
    marks: bool = Field(True, description="Whether HP-GL and G-code hold labels and marks.")
    files: Annotated[list[FileKind], Field(min_length=1, max_length=5)] = Field(
        default=["svg", "dxf", "pdf"], description="Which files of each sheet a kit holds."
    )
    header: Text = Field("", description="G-code at the beginning; {sheet}, {board}, {passes} are filled in.")
    footer: Text = Field("", description="G-code at the end, instead of M2.")

    @model_validator(mode="before")
    @classmethod
    def _from_kind(cls, value: Any) -> Any:
        return from_name(value, "kind")

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return name_or_table(schema, handler)


def settings(written: CutterWritten, problems: Problems) -> Cutting:
    """The settings as written, the rest as is usual for the kind of cutter; what cannot be is noted."""
    if written.kerf > 0.0 and written.kind != "laser":
        problems.add(
            ("cutter", "kerf"),
            "A kerf is what a laser burns away; a knife takes nothing.",
            'Leave it out, or say kind = "laser".',
        )
    elif written.spacing < written.kerf:
        problems.add(
            ("cutter", "kerf"),
            f"A kerf of {written.kerf:g} mm does not fit into a spacing of {written.spacing:g} mm: "
            "each part would lose board to its neighbour.",
            "Give a spacing of the kerf at least.",
        )
    names = ("kerf", "overcut", "in_drawings", "marks", "header", "footer", *_AS_USUAL)
    given = {n: value for n in names if (value := getattr(written, n)) is not None}
    if written.bridges is not False or written.gather:
        given["bridges"] = True
        given["bridges_below"] = None if isinstance(written.bridges, bool) else written.bridges
        given["gather"] = written.gather
    return replace(usual(written.kind), **given, files=tuple(dict.fromkeys(written.files)))
