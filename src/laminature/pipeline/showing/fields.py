"""What of a design can be changed on the page: its fields, in groups."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, get_args

from laminature.model.design import Design
from laminature.model.form import Form, Parameter, Value
from laminature.model.joint import JointKind, JointRule
from laminature.pipeline.showing.bench_fields import bench_fields
from laminature.pipeline.showing.cushion_fields import cushion_groups
from laminature.pipeline.showing.fielding import Desk, Field, Path, group, plain
from laminature.pipeline.showing.part_fields import part_groups
from laminature.pipeline.showing.ruler import Ruler
from laminature.pipeline.showing.sheet_fields import sheet_fields

#: Parameters of forms that are about how parts are joined.
_JOINING = frozenset({"joining", "corners", "through", "stopped", "set_in"})
#: Titles where a parameter's name alone does not say it.
_TITLES: Mapping[str, str] = {
    "set_in": "Short panels set in by",
    "through": "Slots through the seat",
    "rise": "Height of the apron's curve",
    "foot": "Width of a foot",
    "short_apron": "Apron of the short sides",
    "bottom_up": "Bottom above the floor",
    "ring_width": "Width of the lip or cap",
    "ring_height": "Depth of the lip or cap",
    "clearance": "Gap round the lid",
    "lid_edge": "Moulding of the lid's edge",
    "leg_path": "Your own leg curve",
    "leg_top": "Legs apart under the top",
    "leg_spread": "Legs apart on the floor",
    "joining": "How the legs meet",
    "stopped": "Stopped housings",
    "plinth": "Height of the plinth",
    "plinth_set_back": "Plinth set back by",
    "splay": "Splay of the sides",
    "layers": "Layers of a plank",
    "thickness": "Thickness of a plank",
}
_KINDS: Mapping[JointKind, str] = {
    "tabs": "Tabs in slots",
    "housing": "Housing",
    "fingers": "Fingers",
    "rebate": "Rebate",
    "halving": "Halved across each other",
    "radial": "Round an axis",
    "glue": "Glue alone",
    "cleat": "Cleats",
    "none": "Not joined",
}


def fields(design: Design, source: bytes, form: Form | None) -> list[dict[str, Any]]:
    """The fields of a design, in groups; ``source`` is its file, ``form`` the form it names.

    A group's name is the line of the job ticket that it belongs to. Lengths are in the field's own unit.
    """
    values = tomllib.loads(source.decode("utf-8-sig"))
    bare = str(values.get("unit", "mm"))
    desk = Desk(values, Ruler(float(design.scale), bare, design.unit))
    sizes, joints = _form_fields(desk, design, form)
    made = [group("sizes", "Sizes", sizes)] if sizes else []
    if form is None:
        made += part_groups(desk, design)
    made.append(group("sizes", "Board and cutter", bench_fields(desk, design)))
    for n, rule in enumerate(design.rules):
        if desk.written(("joint", n)) is not None:
            made.append(group("joints", " and ".join(rule.parts), _rule_fields(desk, n, rule)))
    if joints:
        made.append(group("joints", "Joints", joints))
    made.append(group("sheets", "Sheets", sheet_fields(desk, design)))
    made += cushion_groups(desk, design)
    made.append(group("evenings", "Evenings", _evening_fields(desk, design)))
    made.append(group("piece", "Guide", _guide_fields(desk, design)))
    return made


def _form_fields(desk: Desk, design: Design, form: Form | None) -> tuple[list[Field], list[Field]]:
    sizes: list[Field] = []
    joints: list[Field] = []
    for parameter in form.parameters if form else ():
        made = _parameter(desk, design, parameter)
        (joints if parameter.name in _JOINING else sizes).append(made)
    if form is not None:
        sizes.append(
            desk.flag(
                ("stands",),
                "Stands by itself",
                "Whether the piece stands on the floor by itself.",
                design.stands,
                True,
            )
        )
    return sizes, joints


def _parameter(desk: Desk, design: Design, p: Parameter) -> Field:
    path: Path = ("form", p.name)
    title = _TITLES.get(p.name, plain(p.name))
    written = design.values.get(p.name)
    if p.kind == "length":
        full = p.realm == "full"
        mm = _number(written)
        if mm is not None and full:
            mm *= float(design.scale)
        default = _number(p.default)
        return desk.length(
            path,
            title,
            p.help,
            default if mm is None else mm,
            default,
            p.low,
            p.high,
            "full" if full else "mini",
        )
    value = p.default if written is None else written
    if p.kind == "choice":
        return desk.choice(path, title, p.help, value, p.default, p.choices)
    if p.kind == "flag":
        return desk.flag(path, title, p.help, bool(value), bool(p.default))
    if p.kind == "path":
        return desk.text(path, title, p.help, str(value or ""), str(p.default or ""))
    return desk.number(path, title, p.help, p.kind, _number(value), _number(p.default), p.low, p.high)


def _number(value: Value | None) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _rule_fields(desk: Desk, n: int, rule: JointRule) -> list[Field]:
    path: Path = ("joint", n)
    kinds = {kind: _KINDS[kind] for kind in get_args(JointKind)}
    made = [desk.choice((*path, "kind"), "Kind", "How these parts are joined.", rule.kind, None, kinds)]
    if rule.kind in (None, "tabs", "fingers"):
        count = _number(rule.count)
        made.append(
            desk.number(
                (*path, "count"), "Number of tabs", "Left out: as many as fit.", "count", count, None, 1, 200
            )
        )
    if rule.kind in (None, "tabs", "housing", "rebate"):
        depth = _number(rule.depth)
        made.append(
            desk.number(
                (*path, "depth"),
                "Layers deep",
                "Left out: as is usual for the joint.",
                "layers",
                depth,
                None,
                1,
                40,
            )
        )
    return made


def _evening_fields(desk: Desk, design: Design) -> list[Field]:
    return [
        desk.number(
            ("evening",),
            "Minutes of an evening",
            "How long you sit at the bench of an evening, for the plan.",
            "count",
            design.evening,
            120,
            10,
            1200,
            10,
        )
    ]


def _guide_fields(desk: Desk, design: Design) -> list[Field]:
    return [
        desk.text(("title",), "Title", "What the piece is called.", design.title, "Untitled"),
        desk.lines(("notes",), "Notes", "Stand in the guide.", design.notes),
        desk.text(("credit",), "Credit", "Whom to thank.", design.credit, ""),
        desk.text(
            ("licence",), "Licence", 'Under which others may use the design: "CC BY 4.0".', design.licence, ""
        ),
        desk.choice(
            ("words",),
            "Words",
            "Trade words of the guide.",
            design.language,
            "british",
            ("british", "american"),
        ),
    ]
