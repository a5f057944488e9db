"""Which layer or drop-out a stray piece is, in lines and in pictures."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.drawings.stray import beside_in_text, stray_drawing, stray_rows
from laminature.errors import WriterError
from laminature.layering.stray import find_strays
from laminature.model.stray import Stray
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.writers.pdf import pdf
from laminature.writers.svg import svg


def looked_up(build: Build, size: tuple[float, float], most: int) -> tuple[Stray, ...]:
    """The pieces of a kit that are nearest to ``size``, mm, the nearest first. Raises ChoiceError."""
    return find_strays(size, build.cut_layers, most)


def stray_lines(build: Build, strays: Sequence[Stray], drawn: int) -> tuple[str, ...]:
    """A line for each of ``strays``, and below them the first ``drawn`` as shapes in text."""
    return (
        *stray_rows(strays, build.cut_parts, guide_words(build.design.language)),
        "",
        *beside_in_text(strays[:drawn]),
    )


def stray_picture(build: Build, strays: Sequence[Stray], ending: str) -> bytes:
    """A page with all of ``strays`` at true size, as ``.svg`` or ``.pdf``. Raises WriterError for another."""
    words = guide_words(build.design.language)
    title = words.of("stray_title", title=build.design.title)
    page = stray_drawing(title, strays, build.cut_parts, words)
    if ending.lower() == ".svg":
        return svg(page)
    if ending.lower() == ".pdf":
        return pdf((page,))
    if not ending:
        raise WriterError("A picture's name ends with .svg or .pdf, and this one has no ending.")
    raise WriterError(f"A picture's name ends with .svg or .pdf, not with {ending!r}.")
