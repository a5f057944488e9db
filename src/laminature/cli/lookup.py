"""``laminature find``: which layer a stray piece is."""

from __future__ import annotations

import pathlib
from typing import Annotated, Optional

import typer

from laminature.cli.console import out
from laminature.cli.guard import guarded

#: So many of the nearest pieces are drawn beside each other in the terminal.
DRAWN = 3


@guarded
def find(
    file: Annotated[pathlib.Path, typer.Argument(metavar="FILE", help="The design file.")],
    size: Annotated[str, typer.Argument(metavar="SIZE", help='Its two sides as measured: "12 x 7 mm".')],
    picture: Annotated[
        Optional[pathlib.Path],  # noqa: UP045 (Typer reads this at run time)
        typer.Option("--picture", metavar="PICTURE", help="Draw the nearest at true size: .svg or .pdf."),
    ] = None,
    most: Annotated[int, typer.Option("--most", min=1, max=50, help="How many to list.")] = 8,
) -> None:
    """Say which layers or drop-outs a stray piece may be, by its size in any turn."""
    from laminature import front, pipeline
    from laminature.cli import progress

    with progress.shown("Looking") as update:
        built = front.build(front.read(file), update)
        strays = front.find_piece(built, size, most)
        lines = pipeline.stray_lines(built, strays, DRAWN)
    if picture is not None:
        front.write_stray_picture(built, strays, picture)
    for line in lines:
        out().print(line, soft_wrap=True)
    if picture is not None:
        out().print(f"\nWrote {picture}: lay the piece on it, printed at 100 %.", soft_wrap=True)
