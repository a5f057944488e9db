"""The piece in space for a screen: parts with their poses and facts, and the meshes a page still lacks."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Collection, Sequence
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.crisp import plan_of, raised
from laminature.geometry.flat import Flats
from laminature.geometry.pose import Pose
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.part import Part
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.pipeline.showing.skins import Skin, skins

Blob = NDArray[np.float32] | NDArray[np.uint32] | NDArray[np.uint8]
Blobs = dict[str, Blob]
Array = NDArray[np.float64]


def scene(build: Build, have: Collection[str] = (), *, soft: bool = True) -> tuple[dict[str, Any], Blobs]:
    """The parts of a build, and those of their meshes whose digests are not in ``have``.

    Without ``soft`` cushions stay as they were shown last, moved along with the parts they lie on: to
    upholster takes longer than a frame. The header's ``soft`` tells whether they are of this build.
    """
    by_part: dict[str, list[Layer]] = defaultdict(list)
    for layer in build.layers:
        by_part[layer.part].append(layer)
    joints: dict[str, list[dict[str, Any]]] = defaultdict(list)
    words = guide_words(build.design.language)
    for joint in build.joints:
        point, told = _middle(joint), _told(joint, words)
        for name, other in ((joint.entering, joint.receiver), (joint.receiver, joint.entering)):
            joints[name].append(
                {
                    "name": joint.name,
                    "told": told,
                    "with": other,
                    "point": point,
                }
            )
    seen: dict[int, bytes] = {}
    parts, blobs = [], Blobs()
    bounds = [np.full(3, np.inf), np.full(3, -np.inf)]
    for part in build.piece.parts:
        layers = by_part[part.name]
        digest = _digest(layers, seen)
        if digest not in have and f"{digest}/at" not in blobs:
            blobs |= build.memory.recall(("mesh", digest), partial(_mesh, digest, layers, build.memory, seen))
        _grow(bounds, part.pose.to_piece(build.memory.recall(("hull", digest), partial(_hull, layers))))
        parts.append(_part(part, digest, layers, joints[part.name]))
    shown, fresh = skins(build, soft=soft)
    for skin in shown:
        if skin.digest not in have:
            blobs |= skin.blobs
        _grow(bounds, skin.pose.to_piece(skin.box))
        parts.append(_soft(skin))
    return {"parts": parts, "size": [float(v) for v in bounds[1] - bounds[0]], "soft": fresh}, blobs


def _part(part: Part, digest: str, layers: Sequence[Layer], joints: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "name": part.name,
        "letter": part.letter,
        "title": part.title or part.name,
        "mesh": digest,
        "group": part.group,
        "pose": sixteen(part.pose),
        "thickness": part.thickness,
        "layers": [
            {
                "label": x.label,
                "index": x.index,
                "lower": x.lower,
                "upper": x.upper,
                "mirrored": x.mirrored,
                "board": x.board,
            }
            for x in layers
        ],
        "joints": joints,
        "role": "layer",
    }


def _soft(skin: Skin) -> dict[str, Any]:
    return {
        "name": skin.name,
        "letter": "",
        "title": skin.title,
        "mesh": skin.digest,
        "group": skin.group,
        "pose": sixteen(skin.pose),
        "thickness": skin.thickness,
        "layers": [],
        "joints": [],
        "role": skin.role,
        "on": skin.on,
    }


def sixteen(pose: Pose) -> list[float]:
    """A pose as the 16 numbers of its matrix, column by column."""
    matrix = np.eye(4)
    matrix[:3, :3], matrix[:3, 3] = pose.matrix, pose.shift
    return [float(v) for v in matrix.T.ravel()]


def _told(joint: Joint, words: Words) -> str:
    """What a joint is in the trade words of the design; of tabs how many, and whether they come through."""
    if joint.kind != "tabs":
        return words.some(joint.kind, 1)
    tabs = words.some("tabs", sum(cell.owner == joint.entering for cell in joint.cells))
    return words.of("joint_through" if joint.through else "joint_blind", joint=tabs)


def _middle(joint: Joint) -> list[float]:
    """The middle of a joint's line, in the piece."""
    contact = joint.contact
    runs = [cell.run for cell in joint.cells] or list(contact.runs)
    along = (min(r.start for r in runs) + max(r.end for r in runs)) / 2.0 if runs else 0.0
    return [o + along * a for o, a in zip(contact.origin, contact.along, strict=True)]


def _grow(bounds: list[Array], points: Array) -> None:
    if len(points):
        bounds[0] = np.minimum(bounds[0], points.min(axis=0))
        bounds[1] = np.maximum(bounds[1], points.max(axis=0))


def _flats_digest(flats: Flats, seen: dict[int, bytes]) -> bytes:
    """What stands for regions. ``seen`` serves layers of one build that share theirs."""
    known = seen.get(id(flats))
    if known is None:
        whole = hashlib.sha256()
        for one in flats:
            whole.update(one.wkb)
        known = seen[id(flats)] = whole.digest()
    return known


def _digest(layers: Sequence[Layer], seen: dict[int, bytes]) -> str:
    whole = hashlib.sha256()
    for layer in layers:
        whole.update(repr((layer.index, layer.lower, layer.upper)).encode())
        whole.update(_flats_digest(layer.regions, seen))
    return whole.hexdigest()[:24]


def _mesh(digest: str, layers: Sequence[Layer], memory: Memory, seen: dict[int, bytes]) -> Blobs:
    at, way, faces, edges, of, lines = [], [], [], [], [], []
    count = 0
    for layer in layers:
        key = ("plans", _flats_digest(layer.regions, seen))
        plans = memory.recall(key, lambda layer=layer: tuple(plan_of(one) for one in layer.regions))  # type: ignore[misc]
        for plan in plans:
            body = raised(plan, layer.lower, layer.upper)
            at.append(body.at)
            way.append(body.way)
            faces.append(body.faces + count)
            edges.append(body.edges)
            of.append(np.full(len(body.faces), layer.index))
            lines.append(np.full(len(body.edges), layer.index))
            count += len(body.at)
    return {
        f"{digest}/at": _flat(at, 3, np.float32),
        f"{digest}/way": _flat(way, 3, np.float32),
        f"{digest}/faces": _flat(faces, 3, np.uint32),
        f"{digest}/edges": _flat(edges, 6, np.float32),
        f"{digest}/of": _flat(of, 1, np.uint32),
        f"{digest}/lines": _flat(lines, 1, np.uint32),
    }


def _flat(rows: Sequence[NDArray[Any]], width: int, kind: type[Any]) -> Blob:
    whole = np.concatenate(rows) if rows else np.zeros((0, width))
    made: Blob = np.ascontiguousarray(whole.ravel(), dtype=kind)
    return made


def _hull(layers: Sequence[Layer]) -> Array:
    """Points of a part that no other of it lies beyond."""
    found = [np.zeros((0, 3))]
    for layer in layers:
        for one in layer.regions:
            ring = np.asarray(one.convex_hull.exterior.coords)[:, :2]
            found += [np.column_stack([ring, np.full(len(ring), z)]) for z in (layer.lower, layer.upper)]
    return np.concatenate(found)
