"""What is sanded, masked and coated on a piece, measured on its model: mm, mm², minutes."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.model.part import Face


@dataclass(frozen=True)
class Strip:
    """Where a joint is glued on a face that is coated before: ``length`` and ``width`` of what is masked."""

    length: float
    width: float


@dataclass(frozen=True)
class FinishPart:
    """Alike parts: ``count`` of them, and of one of them what is done to it.

    ``edge`` is the length of edges that show and are sanded, ``faces`` the faces that are seen, each with the
    label of its layer, ``area`` their area and that of the edges. ``before`` are the faces of those that a
    brush hardly reaches once the piece stands, with ``masked`` strips; ``flat`` is the area glued flat there.
    """

    letter: str
    title: str
    count: int
    edge: float
    faces: tuple[tuple[Face, str], ...]
    area: float
    before: tuple[tuple[Face, str], ...] = ()
    masked: tuple[Strip, ...] = ()
    flat: float = 0.0


@dataclass(frozen=True)
class Finish:
    """The finish of a piece.

    ``edge`` is the length of all edges that are sanded, ``face`` the area of faces that are, ``area`` what
    gets coats, ``seam`` the length that is filled, ``joints`` how many are glued. ``stain`` and ``top`` are
    ml of one coat. ``loose`` are the letters of parts that stay loose. ``side`` is the clearance of joints on
    each side, ``coats`` what of it is kept for coats; ``cloth`` tells whether cushions follow.
    """

    parts: tuple[FinishPart, ...]
    edge: float
    face: float
    area: float
    seam: float
    joints: int
    grits: tuple[int, ...]
    stains: int
    tops: int
    stain: float
    top: float
    stain_dry: float
    top_dry: float
    fill_dry: float
    air: float
    loose: tuple[str, ...] = ()
    side: float = 0.0
    coats: float = 0.0
    cloth: bool = False
