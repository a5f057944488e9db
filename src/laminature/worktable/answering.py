"""The answers to the page, made of a build: the one place that calls what shows a build."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from laminature.model.design import Design
from laminature.pipeline import Build, Progress, piece_picture
from laminature.pipeline.mending.trial import tried_mends
from laminature.pipeline.showing.cushion import cushion
from laminature.pipeline.showing.cushion_fields import with_companions
from laminature.pipeline.showing.fields import fields
from laminature.pipeline.showing.findings import findings
from laminature.pipeline.showing.scene import scene
from laminature.pipeline.showing.sheets import sheets
from laminature.pipeline.showing.work import evenings, steps, supplies
from laminature.worktable.protocol import Blob

__all__ = ["Answer", "fields", "mended", "picture", "result", "scene", "with_companions"]

#: So long changes are tried that may mend what was found, s; a dense cushion takes a second for each.
MEND_SECONDS = 12.0

Answer = tuple[dict[str, Any], dict[str, Blob]]

_RESULTS: Mapping[str, Callable[[Build], dict[str, Any]]] = {
    "findings": findings,
    "sheets": sheets,
    "steps": steps,
    "cushion": cushion,
    "evenings": evenings,
    "supplies": supplies,
}


def mended(build: Build, read: Callable[[bytes], Design], progress: Progress) -> Answer:
    """The findings anew, each with the change that certainly mends it, where there is one."""
    return findings(build, tried_mends(build, read, progress, seconds=MEND_SECONDS)), {}


def result(kind: str, build: Build) -> Answer:
    """What the bench finds out, by its kind. Raises KeyError for a kind that there is not."""
    return _RESULTS[kind](build), {}


def picture(build: Build) -> bytes:
    """The piece as SVG, for the start page."""
    return piece_picture(build)
