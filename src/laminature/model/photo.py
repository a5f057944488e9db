"""A maker's photo: where it lies, what is said of it, and its bytes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Photo:
    """``file`` is a path in the design's own folder or below it, ``data`` its bytes once it was read."""

    file: str
    caption: str = ""
    data: bytes = b""
