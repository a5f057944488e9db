"""What may stand in a design file: a pydantic model per table.

Lengths of the piece are mm at miniature scale once read, all others actual mm: see ``kinds``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, ValidationInfo, model_validator
from pydantic_core import CoreSchema, core_schema

from laminature.design.boards import BoardWritten
from laminature.design.cushions import Cushions, CushionWritten
from laminature.design.cutters import CutterWritten
from laminature.design.fits import FitWritten
from laminature.design.kinds import (
    Actual,
    Degrees,
    Extent,
    Furniture,
    LayerCount,
    LineOfText,
    Name,
    Offset,
    Size,
    Text,
    Written,
    from_name,
    length_schema,
)
from laminature.design.lines import KeyPath
from laminature.design.photo import Photos, PhotoWritten
from laminature.design.poses import Axis, Stance
from laminature.design.problems import said, short
from laminature.design.stacking import StackWritten
from laminature.model.joint import JointKind, Stopped
from laminature.model.part import Face, GrainRule

#: Edge profiles that go by a name; a test holds this to the names that forms know.
PROFILES = ("straight", "quarter-round", "ogee", "bevel", "thumbnail")
ShapeName = Literal["rectangle", "polygon", "circle", "ellipse", "path"]
Corner = Annotated[list[Offset], Field(min_length=2, max_length=2)]


@dataclass(frozen=True)
class _Profile:
    """An edge profile: a name, or a list of lengths, which become mm at miniature scale."""

    def read(self, value: Any, info: ValidationInfo) -> str | tuple[float, ...]:
        if isinstance(value, list):
            if not 1 <= len(value) <= 40:
                raise said("An edge profile has one length per layer, for 1 to 40 layers.")
            return tuple(Furniture(zero=True).read(item, info) for item in value)
        if value not in PROFILES:
            raise said(
                f"There is no edge profile {short(value)}.", "Choose one of: " + ", ".join(PROFILES) + "."
            )
        return str(value)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {
            "anyOf": [
                {"enum": list(PROFILES)},
                {"type": "array", "items": length_schema(0, None, "per layer")},
            ]
        }


@dataclass(frozen=True)
class _Turn:
    """A turn about one of the piece's axes: ``["x", 15]``, degrees by the right-hand rule."""

    def read(self, value: Any) -> tuple[Axis, float]:
        if not isinstance(value, list) or len(value) != 2 or value[0] not in get_args(Axis):
            raise said("A turn is an axis and an angle in degrees.", 'Write [["x", 15]].')
        angle = value[1]
        if isinstance(angle, bool) or not isinstance(angle, int | float) or not abs(angle) <= 360:
            raise said(f"An angle of {short(angle)} cannot be.", "Write degrees from -360 to 360.")
        return value[0], float(angle)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        angle = {"type": "number", "minimum": -360, "maximum": 360}
        return {
            "type": "array",
            "prefixItems": [{"enum": list(get_args(Axis))}, angle],
            "minItems": 2,
            "maxItems": 2,
        }


Profile = Annotated[str | tuple[float, ...], _Profile()]
Turn = Annotated[tuple[Axis, float], _Turn()]


class FormWritten(Written):
    """A form of furniture by name; all other keys are its parameters, read by :mod:`.parameters`."""

    model_config = ConfigDict(extra="allow")

    name: str = Field(description="The form; `laminature forms` lists them.")

    @model_validator(mode="before")
    @classmethod
    def _from_name(cls, value: Any) -> Any:
        return from_name(value)


class ShapeWritten(Written):
    """An outline in its own plane. Which keys belong to which shape: see :mod:`.outlines`."""

    shape: ShapeName
    width: Size | None = Field(None, description="rectangle, ellipse: along its own x.")
    height: Size | None = Field(None, description="rectangle, ellipse: along its own y.")
    corner: Extent | None = Field(None, description="rectangle: radius of its corners.")
    centred: bool | None = Field(None, description="rectangle: about its own origin, not from its corner.")
    diameter: Size | None = Field(None, description="circle")
    sides: Annotated[int, Field(ge=3, le=360)] | None = Field(None, description="regular polygon")
    across: Size | None = Field(None, description="regular polygon: over its corners.")
    across_flats: Size | None = Field(None, description="regular polygon: between opposite sides' middles.")
    points: list[Corner] | None = Field(None, description="polygon: its corners one after the other.")
    path: str | None = Field(None, description="SVG path data: the outline, then openings; y runs upwards.")
    path_unit: Annotated[str, Field(max_length=20)] | None = Field(
        None, description='The unit of path data: "in", "mini mm". Left out, that of bare numbers.'
    )
    flip: bool | None = Field(None, description="path: for data whose y runs downwards, as in drawings.")


class OpeningWritten(ShapeWritten):
    """An opening in a part."""

    at: Corner = Field(
        default_factory=lambda: [0.0, 0.0], description="Where its own origin lies in the part."
    )
    turn: Degrees = Field(0.0, description="To the left, about its own origin.")


class RimWritten(Written):
    """Uppermost layers that are only a ring."""

    layers: LayerCount
    width: Size


class PartWritten(ShapeWritten):
    """One glued stack: outline, thickness and where it stands."""

    name: Name
    title: LineOfText = ""
    thickness: Size | None = Field(None, description="The thickness wanted; the nearest stack is taken.")
    layers: LayerCount | None = Field(None, description="A number of layers, instead of a thickness.")
    board: Name | None = Field(None, description="Another board than the design's.")
    at: Annotated[list[Offset], Field(min_length=3, max_length=3)] = Field(
        default_factory=lambda: [0.0, 0.0, 0.0], description="x (right), y (away), z (up) of its own origin."
    )
    stance: Stance = Field("flat", description="How it stands before it is turned.")
    turn: Degrees = Field(0.0, description="To the left, seen from above.")
    turns: list[Turn] = Field(
        default_factory=list,
        max_length=20,
        description='Further turns about the piece\'s axes, one after the other: [["x", 10], ["z", 30]].',
    )
    show: list[Face] = Field(
        default=["lower", "upper"],
        description="The faces that are seen in the finished piece.",
    )
    grain: GrainRule = "alike"
    group: Annotated[LineOfText, Field(max_length=64)] = Field(
        "", description="Loose group (a lid, a drawer): no joints between groups."
    )
    profile: Profile | None = Field(
        None, description="Edge profile: a name, or how far each layer lies in, from layer 1 up."
    )
    rim: RimWritten | None = None
    opening: list[OpeningWritten] = Field(default_factory=list, max_length=2000)


class JointWritten(Written):
    """A rule for the joints between parts whose names match two patterns."""

    parts: Annotated[list[LineOfText], Field(min_length=2, max_length=2)] = Field(
        description="Two patterns of part names; * and ? as in file names."
    )
    kind: JointKind | None = Field(None, description="Left out: as found.")
    count: Annotated[int, Field(ge=1, le=200)] | None = Field(None, description="Number of tabs.")
    width: Size | None = Field(None, description="Width of a tab.")
    depth: LayerCount | None = Field(None, description="Number of layers that a tab enters.")
    through: bool | None = None
    stopped: Stopped | None = Field(None, description="Where a housing ends short of an edge.")
    stop_length: Extent | None = None
    fit: FitWritten | None = None
    share: Annotated[list[Annotated[int, Field(ge=0, le=12)]], Field(min_length=2, max_length=2)] | None = (
        Field(None, description="[i, n]: of n alternating tabs this joint takes every i-th, counted from 0.")
    )


class DesignFile(Written):
    """A Laminature design: a piece of furniture in full-size measures, and what it is made from."""

    title: LineOfText = "Untitled"
    scale: Any = Field("1:12", description='"1:12", "1:22.5", "half scale", "3/4 in to the foot".')
    unit: Any = Field("mm", description="The unit of the piece's bare numbers.")
    board: BoardWritten | None = None
    boards: Annotated[dict[Name, BoardWritten], Field(max_length=200)] = Field(default_factory=dict)
    second_board: Name | None = Field(
        None, description="A board to mix in: A B A stacks are taken where they come much nearer."
    )
    cutter: CutterWritten | None = None
    fit: FitWritten | None = None
    edge_sanding: Annotated[float, Actual(0.0, 3.0)] = Field(
        0.15, description="Left on show edges for sanding."
    )
    thickness_limit: Annotated[float, Actual(0.0, 20.0)] = Field(
        0.3, description="How far a stack's thickness may be from the one wanted, at miniature scale."
    )
    spares_below: Annotated[float, Actual(0.0, 200.0)] = Field(
        0.0, description="One spare of every layer whose longer side is below this, actual size; 0 for none."
    )
    measuring_square: bool = True
    stands: bool = Field(True, description="Whether the piece stands on the floor by itself.")
    evening: Annotated[float, Field(ge=10, le=1200)] | None = Field(
        120.0, description="Minutes of an evening at the bench, for the plan."
    )
    words: Literal["british", "american"] = Field("british", description="Trade words of the guide.")
    notes: Text = ""
    credit: Text = ""
    licence: Annotated[LineOfText, Field(max_length=200)] = Field(
        "", description='Under which others may use the design: "CC BY 4.0".'
    )
    photo: Photos = Field(
        default_factory=list,
        description="Pictures in the design's folder or below it: a name, or names and captions.",
    )
    form: FormWritten | None = None
    part: list[PartWritten] = Field(default_factory=list)
    grain: Annotated[dict[LineOfText, GrainRule], Field(max_length=200)] = Field(
        default_factory=dict,
        description="Pattern of part names = how their grain runs; the last that matches counts.",
    )
    joint: Annotated[list[JointWritten], Field(max_length=1500)] = Field(default_factory=list)
    cushion: Cushions = Field(default_factory=list, description="Soft things on parts.")
    stack: Annotated[list[StackWritten], Field(max_length=1500)] = Field(default_factory=list)


def _keys(model: type[BaseModel]) -> Iterable[str]:
    return tuple(model.model_fields)


#: The keys known at each place of a design file, for the nearest of them in an error.
KEYS: Mapping[KeyPath, Iterable[str]] = {
    (): _keys(DesignFile),
    ("board",): _keys(BoardWritten),
    ("boards", "*"): _keys(BoardWritten),
    ("cutter",): _keys(CutterWritten),
    ("fit",): _keys(FitWritten),
    ("part",): _keys(PartWritten),
    ("part", "opening"): _keys(OpeningWritten),
    ("part", "rim"): _keys(RimWritten),
    ("joint",): _keys(JointWritten),
    ("joint", "fit"): _keys(FitWritten),
    ("stack",): _keys(StackWritten),
    ("stack", "fit"): _keys(FitWritten),
    ("cushion",): _keys(CushionWritten),
    ("photo",): _keys(PhotoWritten),
}
