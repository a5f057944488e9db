"""Fields of the sheets: spacing, cutting, what ties small pieces, files, and how layers are held."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.cutting import FileKind, usual
from laminature.model.design import Design
from laminature.pipeline.showing.fielding import Desk, Field

_FILES: tuple[FileKind, ...] = ("svg", "dxf", "pdf", "hpgl", "gcode")


def sheet_fields(desk: Desk, design: Design) -> list[Field]:
    """What may be set of sheets and of how they are cut."""
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
                f"Layers of {'all parts' if rule.parts == '*' else rule.parts} held by",
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
