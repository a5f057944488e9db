"""Aids: small parts that are cut with a piece, help while it is glued, and are no part of it."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.model.layer import Layer
from laminature.model.part import Part


@dataclass(frozen=True)
class KeyUse:
    """Keys that stand in slots of ``part`` while its layers are glued.

    ``keys`` are their letters, ``slots`` the parts that the slots were made for, in the same order, and
    ``layers`` the layers that two keys at least hold.
    """

    part: str
    keys: tuple[str, ...]
    slots: tuple[str, ...]
    layers: tuple[int, ...]


@dataclass(frozen=True)
class Aids:
    """The keys of a piece with their layers, and what they are for."""

    parts: tuple[Part, ...] = ()
    layers: tuple[Layer, ...] = ()
    uses: tuple[KeyUse, ...] = ()
