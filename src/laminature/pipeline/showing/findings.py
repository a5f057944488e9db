"""The findings of a build for the page, each with the place where it is seen and, where certain, its mend."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import Any

import numpy as np

from laminature.model.finding import Finding, Mend
from laminature.pipeline.build import Build

#: What is about the sheets, about how parts are joined, and about a cushion without naming one.
_ON_SHEETS = frozenset({"part-too-large", "layout-fault", "kerf-too-wide"})
_ON_JOINTS = frozenset(
    {
        "blind-too-shallow",
        "fingers-show",
        "locked-together",
        "no-common-entry",
        "opposite-entries",
        "radial-too-short",
        "run-too-short",
        "tab-across-grain",
        "tab-narrow",
        "tab-near-edge",
    }
)
_ON_CUSHIONS = frozenset({"cure-before-cushion"})


def findings(build: Build, mends: Sequence[Mend | None] = ()) -> dict[str, Any]:
    """All findings, the gravest first, with what mends each, as far as that has been tried."""
    pairs = zip_longest(build.findings, mends)
    return {"findings": [_told(build, found, mend) for found, mend in pairs]}


def _told(build: Build, found: Finding, mend: Mend | None) -> dict[str, Any]:
    cushions = {made.name: made for made in build.cushions}
    part, point = found.part, found.point
    place = "piece"
    if found.code in _ON_SHEETS:
        place = "sheet"
    elif found.code in _ON_JOINTS:
        place = "joint"
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
        "parts": list(found.parts),
        "spot": _spot(build, found),
        "mend": None if mend is None else _mend(mend),
    }


def _spot(build: Build, found: Finding) -> dict[str, Any] | None:
    """Where a finding's place lies in the plane of its part, and in which layer; None where it has none."""
    layers = [layer for layer in build.layers if layer.part == found.part]
    if found.point is None or not layers:
        return None
    x, y, z = (float(v) for v in build.piece.part(layers[0].part).pose.to_part(np.array(found.point)))
    nearest = min(layers, key=lambda layer: (abs((layer.lower + layer.upper) / 2.0 - z), layer.index))
    return {"layer": found.layer or nearest.index, "at": [round(x, 3), round(y, 3)]}


def _mend(mend: Mend) -> dict[str, Any]:
    changes = [{"path": list(path), "value": value} for path, value in mend.changes]
    return {"label": mend.label, "changes": changes}
