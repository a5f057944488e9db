"""From layers to flat faces in space: what a picture of a piece is painted from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.pose import Pose
from laminature.model.cushion import CushionMesh, Shell
from laminature.model.layer import Layer
from laminature.model.part import Part

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
#: Curves are drawn with chords this near to them, mm: less than a pixel of any picture.
COARSE = 0.01
#: Colours in full light, sRGB: card, and a cushion of sea-green cloth with ochre beads.
CARD = np.array([0xFF, 0xFB, 0xF3]) / 255
CLOTH = np.array([0x8F, 0xC4, 0xC2]) / 255
BEADS = np.array([0xE0, 0xB2, 0x52]) / 255
PIPING = np.array([0x5E, 0x9E, 0x9C]) / 255


@dataclass(frozen=True)
class Faces:
    """Flat faces. Edges run from ``start`` to ``end`` (n, 3), each of face ``of`` (n,).

    ``normal`` (k, 3) points out of the board; ``part`` and ``layer`` (k,) say what each face
    is of, ``layer`` counting all layers of the piece and -1 for a flat side of the board.
    ``tint`` (k, 3) is a face's colour in full light, sRGB from 0 to 1; ``soft`` (k,) says that it belongs to
    a cushion, whose bends are no edges.
    """

    start: Array
    end: Array
    of: Indices
    normal: Array
    part: Indices
    layer: Indices
    tint: Array
    soft: NDArray[np.bool_]


def faces(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    shifts: Mapping[str, Array],
    cushions: Sequence[tuple[str, Pose, CushionMesh]] = (),
) -> Faces:
    """The faces of all ``layers`` and ``cushions``; ``shifts`` moves parts and cushions by name, mm.

    Flat sides where one layer lies on another of the same shape are left out: nobody sees them.
    """
    make = _Maker()
    where = {p.name: n for n, p in enumerate(parts)}
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    count = 0
    for name, mine in by_part.items():
        part = parts[where[name]]
        pose = part.pose.moved(*shifts[name]) if name in shifts else part.pose
        mine.sort(key=lambda x: x.index)
        shapes = [tuple(f.simplify(COARSE) for f in x.regions) for x in mine]
        for k, layer in enumerate(mine):
            below = shapes[k - 1] if k else ()
            above = shapes[k + 1] if k + 1 < len(mine) else ()
            for shape in shapes[k]:
                make.walls(shape, layer, pose, where[name], count)
                if shape not in below:
                    make.side(shape, layer.lower, -1.0, pose, where[name])
                if shape not in above:
                    make.side(shape, layer.upper, 1.0, pose, where[name])
            count += 1
    number = len(parts)
    for name, pose, mesh in cushions:
        placed = pose.moved(*shifts[name]) if name in shifts else pose
        for tint, shell in ((CLOTH, mesh.cloth), (BEADS, mesh.beads), (PIPING, mesh.piping)):
            if len(shell.faces):
                make.skin(shell, placed, number, tint)
            number += 1
    return make.done()


class _Maker:
    """Collects faces."""

    def __init__(self) -> None:
        self.start: list[Array] = []
        self.end: list[Array] = []
        self.of: list[Indices] = []
        self.normal: list[Array] = []
        self.part: list[int] = []
        self.layer: list[int] = []
        self.tint: list[Array] = []
        self.soft = 0
        self.count = 0

    def side(self, shape: Flat, height: float, up: float, pose: Pose, part: int) -> None:
        """One flat side, with its openings."""
        for ring in _rings(shape):
            points = pose.to_piece(np.column_stack([ring, np.full(len(ring), height)]))
            self.start.append(points[:-1])
            self.end.append(points[1:])
            self.of.append(np.full(len(ring) - 1, self.count))
        self.normal.append(up * pose.matrix[:, 2][None])
        self.part.append(part)
        self.layer.append(-1)
        self.count += 1

    def walls(self, shape: Flat, layer: Layer, pose: Pose, part: int, number: int) -> None:
        """The cut edge of one layer: a rectangle for every edge of its outline and openings."""
        for ring in _rings(shape):
            low = pose.to_piece(np.column_stack([ring, np.full(len(ring), layer.lower)]))
            high = pose.to_piece(np.column_stack([ring, np.full(len(ring), layer.upper)]))
            corners = np.stack([low[:-1], low[1:], high[1:], high[:-1]], axis=1)
            step = np.diff(ring, axis=0)
            n = len(step)
            outwards = np.column_stack([step[:, 1], -step[:, 0], np.zeros(n)])
            outwards /= np.linalg.norm(outwards, axis=1)[:, None]
            self.start.append(corners.reshape(-1, 3))
            self.end.append(np.roll(corners, -1, axis=1).reshape(-1, 3))
            self.of.append(np.repeat(np.arange(n) + self.count, 4))
            self.normal.append(outwards @ pose.matrix.T)
            self.part.extend([part] * n)
            self.layer.extend([number] * n)
            self.count += n

    def skin(self, shell: Shell, pose: Pose, part: int, tint: Array) -> None:
        """Triangles, each with the mean of the normals at its corners."""
        corners = pose.to_piece(shell.vertices)[shell.faces]
        normal = shell.normals[shell.faces].sum(axis=1) @ pose.matrix.T
        n = len(corners)
        self.start.append(corners.reshape(-1, 3))
        self.end.append(np.roll(corners, -1, axis=1).reshape(-1, 3))
        self.of.append(np.repeat(np.arange(n) + self.count, 3))
        self.normal.append(normal / np.linalg.norm(normal, axis=1)[:, None])
        self.part.extend([part] * n)
        self.layer.extend([-1] * n)
        self.tint.append(np.broadcast_to(tint, (n, 3)))
        self.soft += n
        self.count += n

    def done(self) -> Faces:
        """All faces together."""
        board = self.count - self.soft
        return Faces(
            np.concatenate(self.start),
            np.concatenate(self.end),
            np.concatenate(self.of),
            np.concatenate(self.normal),
            np.array(self.part),
            np.array(self.layer),
            np.concatenate([np.broadcast_to(CARD, (board, 3)), *self.tint]),
            np.arange(self.count) >= board,
        )


def _rings(shape: Flat) -> list[Array]:
    """Outline walked to the left, openings to the right, closed: the board lies to the left of each."""
    found = []
    for n, ring in enumerate((shape.exterior, *shape.interiors)):
        points = np.asarray(ring.coords)
        x, y = points[:, 0], points[:, 1]
        left = bool((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() > 0.0)
        found.append(points if left == (n == 0) else points[::-1])
    return found
