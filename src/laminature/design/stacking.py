"""The ``[[stack]]`` tables: how the layers of parts are glued up."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Annotated

from pydantic import Field

from laminature.design import fits as fit_data
from laminature.design.fits import FitWritten
from laminature.design.kinds import Actual, LineOfText, Name, Offset, Written
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose
from laminature.model.fit import Fit
from laminature.model.gluing import PIN, Align, StackRule

Place = Annotated[list[Offset], Field(min_length=2, max_length=2)]


class StackWritten(Written):
    """A rule for how the layers of the parts whose names match a pattern are glued up."""

    parts: LineOfText = Field(description="A pattern of part names; * and ? as in file names.")
    align: Align | None = Field(
        None, description="What holds the layers in line while they are glued; hands if left out."
    )
    pin: Annotated[float, Actual(2.0, 2.5)] | None = Field(
        None, description=f"Diameter of the openings for pins, actual size; {PIN:g} mm if left out."
    )
    places: Annotated[list[Place], Field(min_length=2, max_length=12)] | None = Field(
        None, description="Where pins go, in the part's own plane; left out, places are found."
    )
    through_show: bool | None = Field(None, description="Whether pins may come out at faces that show.")
    fit: FitWritten | None = Field(None, description="Of joints between layers so held; pinned if left out.")
    face_last: bool | Name | None = Field(
        None, description="A show layer that is glued on after assembly: true, or the board that it is of."
    )


def stack_rule(
    path: KeyPath, written: StackWritten, boards: Collection[str], fits: Mapping[str, Fit], problems: Problems
) -> StackRule:
    """The rule written at ``path``; names of boards and fits that are not known are noted as ``problems``."""
    face, places, fit = written.face_last, written.places, written.fit
    if isinstance(face, str) and face not in boards:
        problems.add((*path, "face_last"), f"There is no board {face!r}.", choose(face, boards))
    return StackRule(
        parts=written.parts,
        align=written.align,
        pin=written.pin,
        places=None if places is None else tuple((x, y) for x, y in places),
        through_show=written.through_show,
        fit=None if fit is None else fit_data.resolve((*path, "fit"), fit, fits, problems),
        face_last="" if face is True else face or None,
    )
