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
    labels of its layers, ``area`` their area and that of the edges, in the mean of those that are alike.
    ``before`` are the faces of those that a brush hardly reaches once the piece stands, with ``masked``
    strips; ``flat`` is the area glued flat there.
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
    gets coats, ``first`` the share of that which gets them before assembly, ``seam`` the length that is
    filled, ``joints`` how many are glued. ``stain`` and ``top`` are ml of one coat per mm². ``last`` are the
    letters of parts whose face is glued on after assembly, ``loose`` those of parts that stay loose.
    ``sides`` are the clearances on each side of joints that slide, from the least up, ``coats`` what of
    them is kept for coats; ``cloth`` tells whether cushions follow.
    """

    parts: tuple[FinishPart, ...]
    edge: float
    face: float
    area: float
    first: float
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
    glue_dry: float
    ca_set: float
    air: float
    last: tuple[str, ...] = ()
    loose: tuple[str, ...] = ()
    sides: tuple[float, ...] = ()
    coats: float = 0.0
    cloth: bool = False

    @property
    def rest(self) -> float:
        """The area that gets its coats when the piece stands, mm²."""
        return self.area - self.first
