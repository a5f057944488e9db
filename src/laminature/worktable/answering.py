"""The answers to the page, made of a build: the one place that calls what shows a build."""

from __future__ import annotations

from typing import Any

from laminature.pipeline import Build, piece_picture
from laminature.pipeline.showing.fields import fields
from laminature.pipeline.showing.scene import scene
from laminature.worktable.protocol import Blob

__all__ = ["Answer", "fields", "picture", "result", "scene"]

Answer = tuple[dict[str, Any], dict[str, Blob]]


def result(kind: str, build: Build) -> Answer:
    """What the bench finds out, by its kind."""
    if kind != "findings":
        return {}, {}
    found = [
        {
            "code": f.code,
            "grade": f.grade,
            "message": f.message,
            "remedy": f.remedy,
            "part": f.part,
            "layer": f.layer,
            "point": f.point,
            "place": "piece",
            "mend": None,
        }
        for f in build.findings
    ]
    return {"findings": found}, {}


def picture(build: Build) -> bytes:
    """The piece as SVG, for the start page."""
    return piece_picture(build)
