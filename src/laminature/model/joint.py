"""Contacts that were found, joints that were made of them, and what each cuts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.pose import Vector
from laminature.model.fit import Fit

ContactKind = Literal["edge-on-face", "corner", "inside", "crossing", "passing", "faces", "near-miss"]
JointKind = Literal["tabs", "housing", "fingers", "rebate", "halving", "radial", "glue", "cleat", "none"]
Stopped = Literal["none", "front", "back", "both"]


@dataclass(frozen=True)
class Run:
    """A stretch of a contact's line, from ``start`` to ``end`` in mm along it from the contact's origin."""

    start: float
    end: float

    @property
    def length(self) -> float:
        """How long the stretch is, mm."""
        return self.end - self.start


@dataclass(frozen=True)
class Contact:
    """Where two parts meet.

    ``receiver`` passes or is met on its face; ``entering`` ends there. In a crossing
    neither ends: the order then is that of the design. The line runs from ``origin``
    along the unit vector ``along``, in the piece's frame; ``angle`` is the angle
    between the two planes in degrees, 90 where they stand square. ``entering_way`` is
    the unit vector, in the plane of the entering part and square to the line, that
    points from it into the receiver. ``gap`` is how far apart they are (near misses).
    """

    kind: ContactKind
    receiver: str
    entering: str
    origin: Vector
    along: Vector
    entering_way: Vector
    angle: float
    runs: tuple[Run, ...]
    gap: float = 0.0


@dataclass(frozen=True)
class JointRule:
    """What the design says about the joint between two parts. None leaves the default.

    ``parts`` holds two patterns of part names (``*`` and ``?`` as in file names).
    ``count`` and ``width`` are of tabs (mm); ``depth`` is a number of layers;
    ``share`` is ``(i, n)``: of the n alternating tabs along the line this joint takes every i-th.
    """

    parts: tuple[str, str]
    kind: JointKind | None = None
    count: int | None = None
    width: float | None = None
    depth: int | None = None
    through: bool | None = None
    stopped: Stopped | None = None
    stop_length: float | None = None
    fit: Fit | None = None
    share: tuple[int, int] | None = None


@dataclass(frozen=True)
class Cell:
    """A stretch of a joint's line given to one part: there ``owner`` keeps its material."""

    owner: str
    run: Run


@dataclass(frozen=True)
class Patch:
    """What a joint does to one layer of one part, as a polygon in that part's own plane.

    ``add`` gives board to the layer (a tab), ``trim`` takes back what was drawn beyond
    a shoulder, ``cut`` lets the other part in, ``bare`` is a strip along a jointed edge
    that gets no sanding allowance. They are applied in the order bare, trim, add, cut.
    """

    part: str
    layer: int
    action: Literal["add", "trim", "cut", "bare"]
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Joint:
    """A joint between two parts.

    ``depth`` counts the receiver's layers that the entering part passes, from the face
    it meets. ``entries`` are unit vectors in the piece's frame along which ``entering``
    can be moved into place; they are empty where nothing but glue holds the two.
    ``projection`` is how far a tab or tongue stands out of its shoulder, mm.
    """

    name: str
    kind: JointKind
    contact: Contact
    cells: tuple[Cell, ...]
    depth: int
    through: bool
    fit: Fit
    entries: tuple[Vector, ...]
    patches: tuple[Patch, ...] = ()
    projection: float = 0.0

    @property
    def receiver(self) -> str:
        """The part that is cut to let the other in."""
        return self.contact.receiver

    @property
    def entering(self) -> str:
        """The part that goes in."""
        return self.contact.entering
