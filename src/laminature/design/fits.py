"""Fits as data: the package's named ones, and those inside a design."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from pydantic import Field, GetJsonSchemaHandler, TypeAdapter, ValidationError, model_validator
from pydantic_core import CoreSchema

from laminature.design.decoding import decode, refuse_what_is_no_number
from laminature.design.kinds import Actual, LineOfText, Name, Written, from_name, name_or_table
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose
from laminature.model.fit import HAND_STACKED, PINNED, Fit

#: The fits that are known without any file.
BUILT_IN: Mapping[str, Fit] = {HAND_STACKED.name: HAND_STACKED, PINNED.name: PINNED}

_Clearance = Annotated[float, Actual(0.0, 3.0)]


class FitWritten(Written):
    """A fit: a name alone, or the name and what differs from it. Clearances are actual size."""

    name: Name | None = Field(
        None, description="The fit that the other keys change; hand-stacked if left out."
    )
    across: _Clearance | None = Field(None, description="Per side, across the thickness.")
    along: _Clearance | None = Field(None, description="Per side, along the tab.")
    end: _Clearance | None = Field(None, description="Beyond the tab's end, so that the shoulder closes.")
    lead_in: _Clearance | None = Field(None, description="The little chamfer at a tab's end.")
    hardened: _Clearance | None = Field(None, description="Added to across, for hardened faces.")
    coats: _Clearance | None = Field(None, description="Added to across, for coats of finish.")
    source: LineOfText | None = Field(None, description="Where the values come from.")

    @model_validator(mode="before")
    @classmethod
    def _from_name(cls, value: Any) -> Any:
        return from_name(value)

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return name_or_table(schema, handler)


_FITS: TypeAdapter[dict[str, FitWritten]] = TypeAdapter(dict[Name, FitWritten])


def read_fits(data: bytes, file: str) -> dict[str, Fit]:
    """The fits of a file, a table each, by name. Raises DesignError or DesignErrors."""
    decoded = decode(data, file)
    problems = Problems(file, decoded.lines)
    refuse_what_is_no_number(decoded, problems)
    try:
        written = _FITS.validate_python(decoded.values)
    except ValidationError as error:
        problems.add_all(error, {("*",): FitWritten.model_fields})
        problems.raise_any()
        raise
    fits = {}
    for name, one in written.items():
        fit = resolve((name,), one, BUILT_IN, problems)
        if fit is not None:
            fits[name] = replace(fit, name=name)
    problems.raise_any()
    return fits


def resolve(path: KeyPath, written: FitWritten, known: Mapping[str, Fit], problems: Problems) -> Fit | None:
    """The fit written at ``path``; None where its name is not known, which then is among ``problems``."""
    name = written.name or HAND_STACKED.name
    base = known.get(name)
    if base is None:
        at = (*path, "name") if problems.stands((*path, "name")) else path
        problems.add(at, f"There is no fit {name!r}.", choose(name, known))
        return None
    given = written.model_dump(exclude={"name", "source"}, exclude_none=True)
    return replace(base, name=f"{base.name}, adjusted", **given) if given else base
