"""GLB: the finished piece as binary glTF 2.0, a node per part (Khronos glTF 2.0 specification).

glTF measures in metres with y up (3.4); the piece is in millimetres with z up, so a root node
turns it and every number is divided by a thousand. Board has no normals: viewers then
shade flat (3.7.2.1), which is right for it, and meshes stay closed. Cushions have smooth ones.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.errors import WriterError
from laminature.geometry.pose import Pose
from laminature.geometry.prism import pile
from laminature.geometry.solid import Slab
from laminature.model.cushion import CushionMesh
from laminature.model.layer import Layer
from laminature.model.part import Part

Array = NDArray[np.float64]
#: Millimetres to metres.
METRE = 1e-3
_FLOAT, _UNSIGNED = 5126, 5125
_VERTICES, _INDICES = 34962, 34963
#: From z up to y up: x stays, z becomes y, y becomes −z; written column by column.
_UPRIGHT = [1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0, 0, 0, 0, 1]


def _material(name: str, colour: tuple[float, float, float], roughness: float) -> dict[str, object]:
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": roughness,
        },
    }


#: Colour of plain card, linear, and a little glossless roughness (our choice).
_CARD = _material("board", (0.72, 0.62, 0.47), 0.9)
#: Colours of soft things, linear (our choice): a sea-green cloth, brass beads, darker piping.
_SOFT = (
    _material("cloth", (0.05, 0.16, 0.17), 0.95),
    _material("beads", (0.50, 0.33, 0.12), 0.45),
    _material("piping", (0.03, 0.09, 0.10), 0.9),
)


def glb(
    parts: Sequence[Part], layers: Sequence[Layer], cushions: Sequence[tuple[str, Pose, CushionMesh]] = ()
) -> bytes:
    """The bytes of a GLB of ``parts``, each stacked from its own ``layers`` and standing in its pose.

    ``cushions`` are names, poses and skins. Nodes are named as the parts; alike parts share a mesh. Raises
    WriterError where no part has a layer, GeometryError for a layer without thickness or area.
    """
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    nodes: list[dict[str, object]] = []
    meshes: list[dict[str, object]] = []
    accessors: list[dict[str, object]] = []
    views: list[dict[str, object]] = []
    binary = bytearray()
    known: dict[bytes, int] = {}
    for part in parts:
        slabs = [Slab(x.regions, x.lower, x.upper) for x in by_part.get(part.name, ()) if x.regions]
        if not slabs:
            continue
        mesh = pile(slabs)
        content = mesh.vertices.tobytes() + mesh.faces.tobytes()
        if content not in known:
            known[content] = len(meshes)
            attributes = {"attributes": {"POSITION": len(accessors)}, "indices": len(accessors) + 1}
            _store(mesh.vertices, mesh.faces, accessors, views, binary)
            meshes.append({"name": part.letter or part.name, "primitives": [{**attributes, "material": 0}]})
        extras = {"title": part.title, "letter": part.letter}
        nodes.append(
            {"name": part.name, "mesh": known[content], "matrix": _matrix(part.pose), "extras": extras}
        )
    for name, pose, made in cushions:
        primitives = []
        for material, shell in enumerate((made.cloth, made.beads, made.piping), start=1):
            if len(shell.faces):
                drawn = {"POSITION": len(accessors), "NORMAL": len(accessors) + 2}
                primitives.append({"attributes": drawn, "indices": len(accessors) + 1, "material": material})
                _store(shell.vertices, shell.faces, accessors, views, binary, shell.normals)
        nodes.append({"name": name, "mesh": len(meshes), "matrix": _matrix(pose), "extras": {"title": name}})
        meshes.append({"name": name, "primitives": primitives})
    if not nodes:
        raise WriterError("a piece without layers has no solid to write")
    root = {"name": "piece", "matrix": _UPRIGHT, "children": list(range(len(nodes)))}
    document = {
        "asset": {"version": "2.0", "generator": "Laminature"},
        "scene": 0,
        "scenes": [{"nodes": [len(nodes)]}],
        "nodes": [*nodes, root],
        "meshes": meshes,
        "materials": [_CARD, *(_SOFT if cushions else ())],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(binary)}],
    }
    return _container(document, bytes(binary))


def _store(
    vertices: Array,
    triangles: NDArray[np.integer],
    accessors: list[dict[str, object]],
    views: list[dict[str, object]],
    binary: bytearray,
    normals: Array | None = None,
) -> None:
    points = np.ascontiguousarray(vertices * METRE, dtype="<f4")
    faces = np.ascontiguousarray(triangles, dtype="<u4")
    accessors.append(
        {
            "bufferView": len(views),
            "componentType": _FLOAT,
            "count": len(points),
            "type": "VEC3",
            "min": [float(v) for v in points.min(axis=0)],
            "max": [float(v) for v in points.max(axis=0)],
        }
    )
    accessors.append(
        {
            "bufferView": len(views) + 1,
            "componentType": _UNSIGNED,
            "count": int(faces.size),
            "type": "SCALAR",
        }
    )
    blobs = [(points.tobytes(), _VERTICES), (faces.tobytes(), _INDICES)]
    if normals is not None:
        accessors.append(
            {"bufferView": len(views) + 2, "componentType": _FLOAT, "count": len(points), "type": "VEC3"}
        )
        blobs.append((np.ascontiguousarray(normals, dtype="<f4").tobytes(), _VERTICES))
    for data, target in blobs:
        view: dict[str, object] = {
            "buffer": 0,
            "byteOffset": len(binary),
            "byteLength": len(data),
            "target": target,
        }
        views.append(view)
        binary += data


def _matrix(pose: Pose) -> list[float]:
    """The pose as glTF wants it: a 4 × 4 matrix, column by column, in metres."""
    whole = np.eye(4)
    whole[:3, :3] = pose.matrix
    whole[:3, 3] = pose.shift * METRE
    return [float(v) + 0.0 for v in whole.T.ravel()]


def _container(document: dict[str, object], binary: bytes) -> bytes:
    """The binary container (glTF 2.0, section 4.4): a header and two chunks, each padded to four bytes."""
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode("utf-8", "replace")
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    total = 12 + 8 + len(text) + 8 + len(binary)
    return b"".join(
        (
            struct.pack("<4sII", b"glTF", 2, total),
            struct.pack("<I4s", len(text), b"JSON"),
            text,
            struct.pack("<I4s", len(binary), b"BIN\0"),
            binary,
        )
    )
