"""The findings of a build for the page, each with the place where it is seen and, where certain, its mend."""

from __future__ import annotations

import tomllib
from typing import Any

import numpy as np

from laminature.model.finding import Finding, Mend
from laminature.pipeline.build import Build

#: What is about the sheets, and what about a cushion without naming one.
_ON_SHEETS = frozenset({"part-too-large", "layout-fault", "kerf-too-wide"})
_ON_CUSHIONS = frozenset({"cure-before-cushion"})


def findings(build: Build) -> dict[str, Any]:
    """All findings, the gravest first."""
    return {"findings": [_told(build, found) for found in build.findings]}


def _told(build: Build, found: Finding) -> dict[str, Any]:
    cushions = {made.name: made for made in build.cushions}
    part, point = found.part, found.point
    place = "piece"
    if found.code in _ON_SHEETS:
        place = "sheet"
    elif found.code in _ON_CUSHIONS or part in cushions:
        place = "cushion"
    if part is not None and part in cushions:
        made = cushions[part]
        # Stages of upholstery speak of the cushion's own frame.
        if point is not None:
            x, y, z = (float(v) for v in made.pose.to_piece(np.array(point)))
            point = (x, y, z)
        part = f"{part}/cloth"
    return {
        "code": found.code,
        "grade": found.grade,
        "message": found.message,
        "remedy": found.remedy,
        "part": part,
        "layer": found.layer,
        "point": None if point is None else [float(v) for v in point],
        "place": place,
        "mend": None if found.mend is None else _mend(build, found.mend),
    }


def _mend(build: Build, mend: Mend) -> dict[str, Any]:
    values = tomllib.loads(build.design.source.decode("utf-8-sig"))
    several = isinstance(values.get("cushion"), list)
    numbers = {spec.name: n for n, spec in enumerate(build.design.cushions)}
    changes = []
    for path, value in mend.changes:
        real: list[str | int] = list(path)
        if path[0] == "cushion":
            real = ["cushion", numbers[path[1]], *path[2:]] if several else ["cushion", *path[2:]]
        changes.append({"path": real, "value": value})
    return {"label": mend.label, "changes": changes}
