"""view.html: the piece in 3D, in one file that needs no network and no program but a browser.

Everything is within: the page's own script and the meshes as base64 of 32-bit floats. What a maker wrote is
escaped, as HTML in the page and as JSON in the data, where ``<`` is written as an escape so that no text can
end the script's element. A content security policy forbids every request.
"""

from __future__ import annotations

import base64
import html
import json
import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.errors import WriterError
from laminature.geometry.creases import face_normals, sharp_edges
from laminature.geometry.pose import Pose
from laminature.geometry.prism import pile
from laminature.geometry.solid import Slab
from laminature.model.cushion import CushionMesh, Shell
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.words import Words

Array = NDArray[np.float64]
Tint = tuple[float, float, float]
CARD: Tint = (1.0, 0.97, 0.92)
CLOTH: Tint = (0.56, 0.77, 0.76)
BEADS: Tint = (0.88, 0.70, 0.32)
PIPING: Tint = (0.37, 0.62, 0.61)
#: Parts move away from the middle by at most so many times their distance from it.
APART = 0.9


def view(
    title: str,
    about: str,
    parts: Sequence[Part],
    layers: Sequence[Layer],
    page: bytes,
    words: Words,
    cushions: Sequence[tuple[str, Pose, CushionMesh]] = (),
) -> bytes:
    """The bytes of the page. ``page`` is its frame, ``about`` a line below the title,
    ``words`` what else it says.

    Raises WriterError where no part has a layer.
    """
    shown: list[tuple[Array, Array, Array, Tint, Array]] = []
    for part in parts:
        slabs = [Slab(x.regions, x.lower, x.upper) for x in layers if x.part == part.name and x.regions]
        if slabs:
            mesh = pile(slabs)
            corners = part.pose.to_piece(mesh.vertices)[mesh.faces]
            shown.append(_flat(corners, sharp_edges(corners), CARD))
    for _, pose, made in cushions:
        middle = pose.to_piece(made.cloth.vertices)
        for shell, tint in ((made.cloth, CLOTH), (made.beads, BEADS), (made.piping, PIPING)):
            if len(shell.faces):
                shown.append(_smooth(shell, pose, tint, (middle.min(axis=0) + middle.max(axis=0)) / 2.0))
    if not shown:
        raise WriterError("a piece without layers has no solid to show")
    every = np.concatenate([s[0].reshape(-1, 3) for s in shown])
    low, high = every.min(axis=0), every.max(axis=0)
    middle = (low + high) / 2.0
    data = {
        "size": float(np.linalg.norm(high - low)),
        "middle": middle.tolist(),
        "parts": [
            {
                "at": _base64(at),
                "way": _base64(way),
                "edges": _base64(edges),
                "tint": tint,
                "off": (APART * (centre - middle)).tolist(),
            }
            for at, way, edges, tint, centre in shown
        ],
    }
    safe = json.dumps(data, separators=(",", ":")).replace("<", "\\u003c")
    filled = {
        "TITLE": html.escape(title),
        "ABOUT": html.escape(about),
        "DATA": safe,
        "LANG": html.escape(words.of("lang")),
        "CANVAS": html.escape(words.of("view_canvas")),
        "NONE": html.escape(words.of("view_none")),
        "APART": html.escape(words.of("view_apart")),
        "HINT": html.escape(words.of("view_hint")),
    }
    # All at once, so that a title that looks like a place to be filled stays a title.
    text = re.sub("@@([A-Z]+)@@", lambda found: filled[found[1]], page.decode("utf-8"))
    return text.encode("utf-8", "replace")


def _flat(corners: Array, edges: Array, tint: Tint) -> tuple[Array, Array, Array, Tint, Array]:
    normal = face_normals(corners)
    points = corners.reshape(-1, 3)
    centre = (points.min(axis=0) + points.max(axis=0)) / 2.0
    return corners, np.repeat(normal, 3, axis=0), edges, tint, centre


def _smooth(shell: Shell, pose: Pose, tint: Tint, centre: Array) -> tuple[Array, Array, Array, Tint, Array]:
    corners = pose.to_piece(shell.vertices)[shell.faces]
    normals = (shell.normals @ pose.matrix.T)[shell.faces].reshape(-1, 3)
    return corners, normals, np.zeros((0, 3)), tint, centre


def _base64(values: Array) -> str:
    return base64.b64encode(np.ascontiguousarray(values, dtype="<f4").tobytes()).decode("ascii")
