"""Fields of the bench: scale, boards, measured stacks, cutter and fit."""

from __future__ import annotations

from laminature.design.fits import BUILT_IN
from laminature.design.reading import USUAL_BOARD
from laminature.model.design import Design
from laminature.model.stack import formula_thickness
from laminature.pipeline.reading import known_fits
from laminature.pipeline.showing.fielding import Desk, Field, Path
from laminature.units import Scale

#: A stack that is easily measured, in layers; others are shown where they are written.
_MEASURED = (2, 4)


def bench_fields(desk: Desk, design: Design) -> list[Field]:
    """Scale, boards, stacks, cutter and fit of a design."""
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


def _named(desk: Desk, table: str, key: str) -> Path:
    """Where a table that may be a name alone has its name."""
    return (table, key) if isinstance(desk.written((table,)), dict) else (table,)
