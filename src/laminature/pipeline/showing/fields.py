"""What of a design can be changed on the page: its fields, in groups."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, get_args

from laminature.design.fits import BUILT_IN
from laminature.design.reading import USUAL_BOARD
from laminature.model.cutting import FileKind, usual
from laminature.model.design import Design
from laminature.model.form import Form, Parameter, Value
from laminature.model.joint import JointKind, JointRule
from laminature.model.stack import formula_thickness
from laminature.pipeline.reading import known_fits
from laminature.pipeline.showing.cushion_fields import cushion_groups
from laminature.pipeline.showing.fielding import Desk, Field, Path, group, plain
from laminature.pipeline.showing.part_fields import part_groups
from laminature.pipeline.showing.ruler import Ruler, house_unit
from laminature.units import Scale

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
_FILES: tuple[FileKind, ...] = ("svg", "dxf", "pdf", "hpgl", "gcode")
#: A stack that is easily measured, in layers; others are shown where they are written.
_MEASURED = (2, 4)


def fields(design: Design, source: bytes, form: Form | None) -> list[dict[str, Any]]:
    """The fields of a design, in groups; ``source`` is its file, ``form`` the form it names.

    A group's name is the line of the job ticket that it belongs to. Lengths are in the field's own unit.
    """
    values = tomllib.loads(source.decode("utf-8-sig"))
    bare = str(values.get("unit", "mm"))
    desk = Desk(values, Ruler(float(design.scale), bare, house_unit(values, bare)))
    sizes, joints = _form_fields(desk, design, form)
    made = [group("sizes", "Sizes", sizes)] if sizes else []
    if form is None:
        made += part_groups(desk, design)
    made.append(group("sizes", "Board and cutter", _bench_fields(desk, design)))
    for n, rule in enumerate(design.rules):
        if desk.written(("joint", n)) is not None:
            made.append(group("joints", " and ".join(rule.parts), _rule_fields(desk, n, rule)))
    if joints:
        made.append(group("joints", "Joints", joints))
    made.append(group("sheets", "Sheets", _sheet_fields(desk, design)))
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


def _named(desk: Desk, table: str, key: str) -> Path:
    """Where a table that may be a name alone has its name."""
    return (table, key) if isinstance(desk.written((table,)), dict) else (table,)


def _bench_fields(desk: Desk, design: Design) -> list[Field]:
    board = design.board
    boards = {name: known.title for name, known in design.boards.items()}
    scale = str(Scale(design.scale))
    made = [
        desk.text(("scale",), "Scale", 'As "1:12", "1:24", "half scale".', scale, "1:12"),
        desk.choice(
            _named(desk, "board", "name"),
            "Board",
            "What is cut.",
            board.name,
            USUAL_BOARD,
            boards | {board.name: board.title},
        ),
        desk.length(
            ("board", "caliper"),
            "Thickness of one layer",
            "As you measure it with a caliper; a stack that was measured counts for more.",
            board.caliper,
            board.caliper if desk.written(("board", "caliper")) is None else None,
            0.05,
            5.0,
            "actual",
        ),
    ]
    measured = dict(board.measured)
    made += [
        desk.length(
            ("board", "measured", str(count)),
            f"{count} layers measure",
            "Thickness of a finished stack of so many layers, if you measured one.",
            measured.get(count),
            round(thick, 2),
            0.61 * thick,
            1.59 * thick,
            "actual",
        )
        for count in sorted({*measured, *_MEASURED})
        for thick in (formula_thickness((board.caliper,) * count, board),)
    ]
    second = None if design.second_board is None else design.second_board.name
    made += [
        desk.choice(
            ("second_board",),
            "Second board",
            "A board to mix in: such stacks are taken where they come much nearer.",
            second,
            None,
            boards,
        ),
        desk.choice(
            _named(desk, "cutter", "kind"),
            "Cutter",
            "What you cut with.",
            design.cutter,
            "knife",
            ("knife", "laser"),
        ),
    ]
    if design.cutter == "laser":
        made.append(
            desk.length(
                ("cutter", "kerf"),
                "Kerf",
                "Width that the laser burns away.",
                design.cutting.kerf,
                0.0,
                0.0,
                1.0,
                "actual",
            )
        )
    return (
        made
        + _fit_fields(desk, design)
        + [
            desk.length(
                ("edge_sanding",),
                "Left for sanding",
                "Left on show edges for sanding.",
                design.edge_sanding,
                0.15,
                0.0,
                3.0,
                "actual",
            ),
        ]
    )


def _fit_fields(desk: Desk, design: Design) -> list[Field]:
    fit = design.fit
    path = _named(desk, "fit", "name")
    written = desk.written(path)
    name = written if isinstance(written, str) else "hand-stacked"
    base = BUILT_IN.get(name)
    made = [
        desk.choice(
            path,
            "Fit",
            "How well the layers of a stack lie over each other: stacked by hand, or held by pins or keys.",
            name,
            "hand-stacked",
            tuple(dict.fromkeys((*known_fits(), name))),
        )
    ]
    for key, title, help in (
        ("across", "Gap across the thickness", "Per side, across the thickness of a tab."),
        ("along", "Gap along the tab", "Per side, along the tab."),
        ("end", "Gap beyond the tab", "Beyond the tab's end, so that the shoulder closes."),
        ("lead_in", "Lead-in", "The little chamfer at a tab's end."),
    ):
        default = None if base is None else getattr(base, key)
        made.append(desk.length(("fit", key), title, help, getattr(fit, key), default, 0.0, 3.0, "actual"))
    return made


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


def _sheet_fields(desk: Desk, design: Design) -> list[Field]:
    cutting, knife = design.cutting, usual(design.cutter)
    bridges = desk.written(("cutter", "bridges"))
    made = [
        desk.length(
            ("cutter", "spacing"),
            "Between layers",
            "Board left between layers on a sheet.",
            design.spacing,
            1.5,
            0.0,
            100.0,
            "actual",
        ),
        desk.length(
            ("cutter", "margin"),
            "Along the edges",
            "Board left along a sheet's edges.",
            design.margin,
            5.0,
            0.0,
            200.0,
            "actual",
        ),
    ]
    if isinstance(bridges, bool) or bridges is None:
        made.append(
            desk.flag(
                ("cutter", "bridges"),
                "Bridges",
                "Small pieces stay tied to the sheet by bridges of board.",
                cutting.bridges,
                False,
            )
        )
    else:
        made.append(
            desk.length(
                ("cutter", "bridges"),
                "Bridges below",
                "Pieces that are shorter stay tied to the sheet by bridges of board.",
                cutting.bridges_below,
                None,
                0.5,
                200.0,
                "actual",
            )
        )
    return [
        *made,
        desk.flag(
            ("cutter", "gather"),
            "Gather small pieces",
            "Small pieces lie together in a frame of board, held by bridges.",
            cutting.gather,
            False,
        ),
        desk.length(
            ("spares_below",),
            "Spares of what is below",
            "One spare of every layer whose longer side is below this; 0 for none.",
            design.spares_below,
            0.0,
            0.0,
            200.0,
            "actual",
        ),
        desk.length(
            ("cutter", "overlap"),
            "Cuts run on by",
            "How far a cut runs on over its own beginning.",
            cutting.overlap,
            knife.overlap,
            0.0,
            5.0,
            "actual",
        ),
        desk.flag(
            ("measuring_square",),
            "Measuring square",
            "A square on each sheet that shows whether it came out at its true size.",
            design.measuring_square,
            True,
        ),
        desk.items(
            ("cutter", "files"),
            "Files of each sheet",
            f"Any of {', '.join(_FILES)}.",
            cutting.files,
            ["svg", "dxf", "pdf"],
            choices=list(_FILES),
        ),
        *_aligning(desk, design),
    ]


def _aligning(desk: Desk, design: Design) -> Sequence[Field]:
    """What holds the layers in line, for each rule that the file has about it."""
    made = []
    for n, rule in enumerate(design.stack_rules):
        if desk.written(("stack", n)) is None:
            continue
        made.append(
            desk.choice(
                ("stack", n, "align"),
                f"Layers of {rule.parts} held by",
                "What holds the layers in line while they are glued.",
                rule.align,
                None,
                {
                    "hand": "Hands",
                    "pins": "Pins",
                    "keys": "Keys in slots",
                    "carrier": "A frame that carries them",
                },
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
        desk.text(("notes",), "Notes", "Stand in the guide.", design.notes, ""),
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
