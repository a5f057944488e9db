"""The free way: a piece from the parts that the maker wrote out."""

from __future__ import annotations

from collections import Counter

from laminature.errors import FormError
from laminature.forms.profiles import edge_profile, rim
from laminature.model.design import Design, PartSpec
from laminature.model.form import Workshop
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack, layers_for, stack


def piece_from_parts(design: Design, workshop: Workshop) -> Piece:
    """The piece that ``design.parts`` describe, with the design's own rules for its joints.

    Nothing is sized anew: outlines stand as they were written, and only the thickness of
    each part becomes that of its real stack. Raises FormError for a board that is not known,
    for two parts of one name, and for a profile or rim that does not fit its part;
    GeometryError for an outline that is no region of board.
    """
    if not design.parts:
        raise FormError("the design has no parts.", "parts", "Name a form, or write out at least one part.")
    for name, times in Counter(spec.name for spec in design.parts).items():
        if times > 1:
            raise FormError(
                f"{times} parts are called {name!r}.", "name", "Give each part a name of its own."
            )
    parts = tuple(_part(spec, design, workshop) for spec in design.parts)
    return Piece(design.title, parts, design.rules, stands=design.stands)


def _part(spec: PartSpec, design: Design, workshop: Workshop) -> Part:
    layers = _stack(spec, design, workshop)
    try:
        profile = edge_profile(spec.profile, layers)
        ring = rim(spec.outline, layers, spec.rim_layers, spec.rim_width)
    except FormError as error:
        raise FormError(f"part {spec.name!r}: {error.message}", error.parameter, error.remedy) from error
    return Part(
        spec.name,
        spec.title,
        spec.outline,
        layers,
        spec.pose,
        show=spec.show,
        grain=spec.grain,
        profile=profile,
        rim=ring,
        group=spec.group,
        wanted_thickness=spec.thickness,
    )


def _stack(spec: PartSpec, design: Design, workshop: Workshop) -> Stack:
    if spec.board is None or spec.board == workshop.board.name:
        if spec.layers is not None:
            return workshop.layers(spec.layers)
        return workshop.stack_for(_wanted(spec))
    if spec.board not in design.boards:
        raise FormError(
            f"part {spec.name!r} is of {spec.board!r}, which is no board of this design.",
            "board",
            f"Boards that are known: {', '.join(sorted(design.boards))}.",
        )
    board = design.boards[spec.board]
    return stack(board, layers_for(board, _wanted(spec)) if spec.layers is None else spec.layers)


def _wanted(spec: PartSpec) -> float:
    if spec.thickness is None:
        raise FormError(
            f"part {spec.name!r} has no thickness.", "thickness", "Give a thickness, or a number of layers."
        )
    return spec.thickness
