"""Jigs: card helpers that hold a part where its joints alone do not, made true to one piece."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.flat import Flat


@dataclass(frozen=True)
class Corner:
    """Holds a part at an angle that its joint leaves it free to lean out of.

    ``angle`` lies between the two faces that it touches, degrees; ``arms`` are its lengths along the face of
    what is there already and along the part that comes to it, mm. ``steps`` are those that want it.
    """

    number: int
    angle: float
    arms: tuple[float, float]
    steps: tuple[int, ...]


@dataclass(frozen=True)
class Place:
    """Shows where a part is glued that lies flat on another with nothing to find its place by.

    ``shape`` is laid on ``onto``, flush with its border, and leaves the place of ``part`` open; it is in the
    frame of ``onto``, seen from the side on which the part comes, mm. ``letters`` are those of the two.
    """

    number: int
    part: str
    onto: str
    letters: tuple[str, str]
    shape: Flat
    steps: tuple[int, ...]


Jig = Corner | Place
