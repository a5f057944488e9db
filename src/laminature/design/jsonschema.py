"""A JSON Schema of the design file, so that editors complete and check it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from laminature.design.kinds import length_schema
from laminature.design.schema import DesignFile
from laminature.model.form import Parameter
from laminature.units import BARE_UNITS, NAMED_SCALES, in_mm

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema(forms: Mapping[str, Iterable[Parameter]]) -> dict[str, Any]:
    """The schema (JSON Schema 2020-12) of a design file in which these forms are known."""
    schema = DesignFile.model_json_schema(mode="validation")
    properties = schema["properties"]
    properties["scale"] = {
        "description": properties["scale"]["description"],
        "anyOf": [
            {"type": "string", "pattern": r"^\s*1\s*[:/]\s*[0-9.]+\s*$"},
            {"enum": list(NAMED_SCALES)},
            {"type": "string", "maxLength": 200},
            {"type": "number", "minimum": 1, "maximum": 1000},
        ],
        "default": "1:12",
    }
    properties["unit"] = {
        "description": properties["unit"]["description"], "enum": list(BARE_UNITS), "default": "mm"
    }  # fmt: skip
    properties["form"] = {
        "description": "A form of furniture and its sizes.",
        "anyOf": [{"enum": list(forms)}, {"$ref": "#/$defs/form"}],
    }
    definitions = schema.setdefault("$defs", {})
    definitions.pop("FormWritten", None)
    definitions["form"] = {
        "type": "object",
        "required": ["name"],
        "properties": {"name": {"enum": list(forms), "description": "The form's name."}},
        "allOf": [_of_form(name, parameters) for name, parameters in forms.items()],
    }
    return {"$schema": _DIALECT, "title": "Laminature design", **_tidy(schema)}


def _of_form(name: str, parameters: Iterable[Parameter]) -> dict[str, Any]:
    properties: dict[str, Any] = {"name": True}
    properties.update((p.name, _of_parameter(p)) for p in parameters)
    return {
        "if": {"properties": {"name": {"const": name}}, "required": ["name"]},
        "then": {"properties": properties, "additionalProperties": False},
    }


def _of_parameter(p: Parameter) -> dict[str, Any]:
    made: dict[str, Any]
    if p.kind == "length":
        made = length_schema(p.low, None, "full-size unless it begins with mini")
        if p.low is not None and p.high is not None:
            size = "at miniature scale" if p.realm == "mini" else "full-size"
            made["description"] = f"From {in_mm(p.low)} to {in_mm(p.high)}, {size}."
    elif p.kind == "choice":
        made = {"enum": list(p.choices)}
    elif p.kind == "flag":
        made = {"type": "boolean"}
    elif p.kind == "path":
        made = {"type": "string"}
    elif p.kind == "angle":
        made = {"anyOf": [{"type": "number", **_bounds(p)}, {"type": "string", "maxLength": 40}]}
    else:
        made = {"type": "integer", **_bounds(p)}
    about = " ".join(p.help.split())
    made["description"] = f"{about} {made['description']}" if "description" in made else about
    if p.default is not None and p.kind != "length":
        made["default"] = p.default
    return made


def _bounds(p: Parameter) -> dict[str, Any]:
    bounds: dict[str, Any] = {}
    if p.low is not None:
        bounds["minimum"] = p.low
    if p.high is not None:
        bounds["maximum"] = p.high
    return bounds


def _tidy(node: Any) -> Any:
    """Without nulls, which TOML does not have, and without titles that only repeat a key."""
    if isinstance(node, list):
        return [_tidy(item) for item in node]
    if not isinstance(node, dict):
        return node
    made = {
        k: _tidy(v)
        for k, v in node.items()
        if not ((k == "default" and v is None) or (k == "title" and isinstance(v, str)))
    }
    if isinstance(made.get("anyOf"), list):
        left = [item for item in made["anyOf"] if item != {"type": "null"}]
        if len(left) == 1 and isinstance(left[0], dict):
            del made["anyOf"]
            return {**left[0], **made}
        made["anyOf"] = left
    return made
