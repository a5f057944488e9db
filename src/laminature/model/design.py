"""A design: what the maker wrote, read and checked, with every length in mm at miniature scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from laminature.geometry.path import Point
from laminature.geometry.pose import Pose
from laminature.geometry.region import Region
from laminature.model.board import Board
from laminature.model.cushion import Manner, Pattern
from laminature.model.cutting import KNIFE, Cutting
from laminature.model.fit import HAND_STACKED, Fit
from laminature.model.form import Value
from laminature.model.gluing import StackRule
from laminature.model.guide import Language
from laminature.model.joint import JointRule
from laminature.model.part import Face, GrainRule
from laminature.model.photo import Photo
from laminature.units import HouseUnit


@dataclass(frozen=True)
class PartSpec:
    """A part as written in a design: thickness is wanted (mm), or a number of ``layers`` is given."""

    name: str
    title: str
    outline: Region
    pose: Pose
    thickness: float | None = None
    layers: int | None = None
    board: str | None = None
    show: frozenset[Face] = frozenset({"lower", "upper"})
    grain: GrainRule = "alike"
    group: str = ""
    profile: str | tuple[float, ...] | None = None
    rim_layers: int = 0
    rim_width: float = 0.0


@dataclass(frozen=True)
class CushionSpec:
    """A cushion as written: actual-size millimetres, as for all soft materials; but see below.

    It lies on the ``face`` of the part ``on``, ``inset`` from its edge where no frame decides that.
    ``spacing``, ``margin``, ``button`` and ``print_repeat`` are written in full size, as the trade says them,
    and stand here at miniature scale; None where the maker leaves them to the trade's defaults. ``margin`` is
    from the panel's edge to the nearest button. ``points`` are buttons by hand. ``bead`` is the
    bead's actual diameter, None for the nearest to ``button`` that is sold. ``dip`` is how far a
    button is drawn down, as a share of the crown. ``swell`` is the exponent of the crown's
    super-ellipse. ``turn_under`` is the cloth glued to the back.
    """

    on: str = ""
    name: str = "cushion"
    face: Face = "upper"
    inset: float | None = None
    panel_layers: int = 2
    backing_panels: int = 2
    batting_layers: int = 4
    batting_thickness: float = 1.0
    swell: float = 2.5
    cloth_thickness: float = 0.15
    turn_under: float = 8.0
    print_repeat: float | None = None
    piping: float = 0.0
    clearance: float = 0.2
    pattern: Pattern = "plain"
    manner: Manner = "pulled-in"
    spacing: tuple[float, float] | None = None
    rows: int | None = None
    columns: int | None = None
    margin: float | None = None
    points: tuple[Point, ...] = ()
    button: float | None = None
    bead: float | None = None
    dip: float = 0.6


@dataclass(frozen=True)
class Design:
    """Everything a piece is computed from. ``scale`` is the n of 1:n, exact.

    Either ``form`` names a form, with ``values`` of its parameters (lengths at
    miniature scale, mm; a missing one takes the form's default), or ``parts`` lists the parts.
    ``grains`` pairs patterns of part names with how their grain runs; the last that matches counts.
    ``photo`` is a path in the design's own folder or below it, ``picture`` its bytes, ``caption`` what is
    said of it; ``photos`` are those that come after that first one. ``unit`` is the one that full sizes
    are thought of in, where the file tells.
    """

    title: str
    scale: Fraction
    board: Board
    boards: Mapping[str, Board] = field(default_factory=dict)
    second_board: Board | None = None
    cutter: Literal["knife", "laser"] = "knife"
    spacing: float = 1.5
    margin: float = 5.0
    edge_sanding: float = 0.15
    fit: Fit = HAND_STACKED
    form: str | None = None
    values: Mapping[str, Value | None] = field(default_factory=dict)
    parts: tuple[PartSpec, ...] = ()
    rules: tuple[JointRule, ...] = ()
    grains: tuple[tuple[str, GrainRule], ...] = ()
    cushions: tuple[CushionSpec, ...] = ()
    stack_rules: tuple[StackRule, ...] = ()
    thickness_limit: float = 0.3
    spares_below: float = 0.0
    measuring_square: bool = True
    cutting: Cutting = KNIFE
    evening: float | None = 120.0
    unit: HouseUnit | None = None
    language: Language = "british"
    notes: str = ""
    credit: str = ""
    licence: str = ""
    photo: str | None = None
    picture: bytes = b""
    caption: str = ""
    photos: tuple[Photo, ...] = ()
    stands: bool = True
    source: bytes = b""

    @property
    def patterns(self) -> tuple[str, ...]:
        """The patterns of part names that its rules use."""
        return (
            *(pattern for rule in self.rules for pattern in rule.parts),
            *(pattern for pattern, _ in self.grains),
            *(rule.parts for rule in self.stack_rules),
        )

    @property
    def grain_patterns(self) -> tuple[str, ...]:
        """The patterns that say only how the grain runs, and that no other rule uses."""
        others = {p for rule in self.rules for p in rule.parts} | {rule.parts for rule in self.stack_rules}
        return tuple(pattern for pattern, _ in self.grains if pattern not in others)
