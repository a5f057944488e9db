"""The cushions of a build for the page: plan of the buttons, batting, cloth, and how it is sewn."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from typing import Any

import numpy as np

from laminature.geometry.path import Path, Point
from laminature.geometry.region import Region
from laminature.model.cushion import Upholstery
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.units import Measure, Scale, length
from laminature.writers.cushion_words import cushion_steps
from laminature.writers.svg import path_data


def cushion(build: Build) -> dict[str, Any]:
    """Every cushion in its own frame, mm in miniature, the middle of its panel the origin, y downwards.

    Places by hand stand in the design in its own unit, y upwards: ``per_mm`` of that unit are 1 mm here.
    """
    values = tomllib.loads(build.design.source.decode("utf-8-sig"))
    unit = str(values.get("unit", "mm"))
    one: Measure = length(1, unit)
    per_mm = float(Scale(build.design.scale).n / one.mm)
    numbers = {spec.name: n for n, spec in enumerate(build.design.cushions)}
    several = isinstance(values.get("cushion"), list)
    told = []
    for made in build.cushions:
        path: list[str | int] = ["cushion"]
        if several:
            path.append(numbers[made.name])
        told.append(_told(build, made) | _by_hand(made, path, per_mm, unit))
    return {"cushions": told, "usual": [] if told else _usual(build)}


def _usual(build: Build) -> list[dict[str, Any]]:
    """A usual cushion for each part that can carry one: that lies level and above which nothing stands."""
    tops = {
        part.name: float(part.pose.to_piece(np.array(corners))[:, 2].max())
        for part in build.piece.parts
        if (corners := _corners(part.name, build))
    }
    highest = max(tops.values(), default=0.0)
    return [
        {
            "on": part.name,
            "changes": [
                {"path": ["cushion", "on"], "value": part.name},
                {"path": ["cushion", "pattern"], "value": "diamond"},
            ],
        }
        for part in build.piece.parts
        if part.name in tops and part.pose.z[2] > 0.9999 and tops[part.name] > highest - 0.01
    ]


def _corners(name: str, build: Build) -> list[tuple[float, float, float]]:
    """Corners of boxes about a part's layers, in its own frame."""
    found = []
    for layer in build.layers:
        if layer.part == name:
            for flat in layer.regions:
                x0, y0, x1, y1 = flat.bounds
                found += [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (layer.lower, layer.upper)]
    return found


def _by_hand(made: Upholstery, path: list[str | int], per_mm: float, unit: str) -> dict[str, Any]:
    return {
        "pattern": [*path, "pattern"],
        "points": [*path, "points"],
        "per_mm": per_mm,
        "unit": unit,
        "written": [[round(x * per_mm, 4), round(y * per_mm, 4)] for x, y in made.buttoning.points],
    }


def _told(build: Build, made: Upholstery) -> dict[str, Any]:
    x0, y0, x1, y1 = made.outline.bounds
    words = guide_words(build.design.language)
    rows = cushion_steps(made, build.aids.parts, "", words)
    return {
        "name": made.name,
        "title": f"{made.name[:1].upper()}{words.of('cushion_title', name=made.name, on=made.on)[1:]}",
        "panel": _region(made.outline),
        "width": x1 - x0,
        "height": y1 - y0,
        "batting": [_region(outline) for outline in made.batting.outlines],
        "cloth": _cloth(made),
        "buttons": [_at(p) for p in made.buttoning.points],
        "seams": [[_at(a), _at(b)] for a, b in made.buttoning.seams],
        "links": [list(pair) for pair in made.buttoning.links],
        "radius": made.stitching.bead / 2.0,
        "order": list(made.stitching.order),
        "stitches": _stitches(made),
        "facts": _by_view(made, rows),
    }


def _by_view(made: Upholstery, rows: Sequence[str]) -> dict[str, list[str]]:
    """What is told of a cushion, in its order, by what of it is shown: each sentence stands in one place."""
    holes = 1 if made.buttoning.points or made.buttoning.seams else 0
    batting = 1 + holes + (1 if made.batting.outlines else 0)
    return {
        "plan": list(rows[: 1 + holes]),
        "batting": list(rows[1 + holes : batting]),
        "cloth": list(rows[batting : batting + 1]),
        "sewing": list(rows[batting + 1 :]),
    }


def _cloth(made: Upholstery) -> dict[str, Any]:
    cloth = made.cloth
    low, high = cloth.cut.flattened.min(axis=0), cloth.cut.flattened.max(axis=0)
    return {
        "d": _path(cloth.edge),
        "cut": _path(cloth.cut),
        "width": float(high[0] - low[0]),
        "height": float(high[1] - low[1]),
        "marks": [_at(p) for p in cloth.marks],
        "folds": [
            *([_at(fold.start), _at(fold.end)] for fold in cloth.folds),
            *([_at(a), _at(b)] for a, b in cloth.corners),
        ],
    }


def _stitches(made: Upholstery) -> list[str]:
    """A sentence for each button, in the order in which they are sewn."""
    starts = {first: thread for first, _, thread in made.stitching.needlefuls}
    ends = {last - 1 for _, last, _ in made.stitching.needlefuls}
    told = []
    for place in range(len(made.stitching.order)):
        said = f"Button {place + 1}"
        if place in starts:
            said = f"Take {starts[place]:.0f} mm of thread and knot it on the back. {said}"
        said += ": come up from the back, through a bead, and down again."
        if place in ends:
            said += " Pull it to its depth and tie it off on the back."
        told.append(said)
    return told


def _region(region: Region) -> str:
    return "".join(_path(path) for path in (region.outline, *region.openings))


def _path(path: Path) -> str:
    return path_data(path, 0.0)


def _at(p: Point) -> list[float]:
    return [round(float(p[0]), 4), round(-float(p[1]), 4)]
