"""The answers to the page, made of a build: the one place that calls what shows a build."""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np

from laminature.geometry.prism import prism
from laminature.model.design import Design
from laminature.model.form import Form
from laminature.model.layer import Layer
from laminature.pipeline import Build, piece_picture
from laminature.worktable.protocol import Blob

Answer = tuple[dict[str, Any], dict[str, Blob]]


def scene(build: Build, have: set[str]) -> Answer:
    """The parts with poses and facts, and the meshes that are not in ``have``."""
    by_part: dict[str, list[Layer]] = {}
    for layer in build.layers:
        by_part.setdefault(layer.part, []).append(layer)
    parts = []
    blobs: dict[str, Blob] = {}
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    for part in build.piece.parts:
        layers = by_part.get(part.name, [])
        whole = hashlib.sha256()
        for layer in layers:
            whole.update(repr((layer.lower, layer.upper)).encode())
            for flat in layer.regions:
                whole.update(flat.wkb)
        digest = whole.hexdigest()[:24]
        matrix = np.eye(4)
        matrix[:3, :3], matrix[:3, 3] = part.pose.matrix, part.pose.shift
        for layer in layers:
            for flat in layer.regions:
                ring = np.asarray(flat.exterior.coords)[:, :2]
                for z in (layer.lower, layer.upper):
                    points = part.pose.to_piece(np.column_stack([ring, np.full(len(ring), z)]))
                    low, high = np.minimum(low, points.min(axis=0)), np.maximum(high, points.max(axis=0))
        if digest not in have and f"{digest}/at" not in blobs:
            blobs |= _mesh(digest, layers)
        parts.append(
            {
                "name": part.name,
                "letter": part.letter,
                "title": part.title,
                "mesh": digest,
                "group": part.group,
                "pose": [float(v) for v in matrix.T.ravel()],
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
                "joints": [],
                "role": "layer",
            }
        )
    return {"parts": parts, "size": [float(v) for v in high - low]}, blobs


def _mesh(digest: str, layers: list[Layer]) -> dict[str, Blob]:
    at, way, of, edges = [], [], [], []
    for layer in layers:
        for flat in layer.regions:
            mesh = prism(flat, layer.lower, layer.upper)
            corners = mesh.vertices[mesh.faces]
            normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
            normal /= np.linalg.norm(normal, axis=1, keepdims=True) + 1e-12
            at.append(corners.reshape(-1, 3))
            way.append(np.repeat(normal, 3, axis=0))
            of.append(np.full(len(corners), layer.index))
            for ring in (flat.exterior, *flat.interiors):
                line = np.asarray(ring.coords)[:, :2]
                for z in (layer.lower, layer.upper):
                    points = np.column_stack([line, np.full(len(line), z)])
                    edges.append(np.concatenate([points[:-1], points[1:]], axis=1))
    points = np.concatenate(at)
    return {
        f"{digest}/at": points.ravel().astype(np.float32),
        f"{digest}/way": np.concatenate(way).ravel().astype(np.float32),
        f"{digest}/faces": np.arange(len(points), dtype=np.uint32),
        f"{digest}/edges": np.concatenate(edges).ravel().astype(np.float32),
        f"{digest}/of": np.concatenate(of).astype(np.uint32),
    }


def fields(design: Design, source: bytes, form: Form | None) -> list[dict[str, Any]]:  # noqa: ARG001
    """The fields of a design, in groups."""
    return []


def result(kind: str, build: Build) -> Answer:
    """What the bench finds out, by its kind."""
    if kind == "sheets":
        return {"sheets": [sheet.name for sheet in build.sheets]}, {}
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
