"""A picture of the piece: every layer as it will be cut, in card white with ink edges.

Painted in software, so that a kit or a README needs no viewer: faces into a depth
buffer, light with its own depth buffer for the shadows, darkening in corners, then edges
where the part, the depth or the direction of a face changes.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from laminature.drawings.depth import Camera, Seen, camera, seen
from laminature.drawings.faces import CARD, Faces, faces
from laminature.geometry.pose import Pose
from laminature.model.cushion import CushionMesh
from laminature.model.layer import Layer
from laminature.model.part import Part

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
#: Pixels painted for each pixel of the picture, along each side.
FINE = 2
GROUND = np.array([0xF4, 0xEC, 0xDF]) / 255
SHADE = np.array([0x96, 0x7C, 0x74]) / 255
INK = np.array([0x26, 0x23, 0x1F]) / 255
PLUM = np.array([0x7A, 0x1F, 0x5C]) / 255
#: Where the light comes from, seen from the viewer: degrees to the right of the viewer, and above the level.
LIGHT = (-26.0, 49.0)
#: Lookups for one soft shadow.
SOFT = 24


def picture(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    width: int = 1200,
    height: int = 900,
    *,
    azimuth: float = -35.0,
    elevation: float = 25.0,
    exploded: float = 0.0,
    cushions: Sequence[tuple[str, Pose, CushionMesh]] = (),
) -> NDArray[np.uint8]:
    """Pixels (height, width, 3) of the piece as it stands, in sRGB.

    ``azimuth`` and ``elevation`` in degrees say where the viewer stands: to the right of
    straight ahead (left where negative) and above the level. ``exploded`` moves every part
    away from the middle of the piece, by so many times its distance from it; 0 shows the piece whole.
    ``cushions`` are names, poses and skins.
    """
    shape = (height * FINE, width * FINE)
    scene = faces(parts, layers, _apart(parts, layers, cushions, exploded), cushions)
    view = camera((azimuth, elevation), scene.start, shape, room=0.1)
    sight = _mended(scene, seen(scene, view))
    behind, on_ground = _backdrop(view, scene.start)
    depth = np.where(sight.face >= 0, sight.depth, behind)
    light = camera((azimuth + LIGHT[0], LIGHT[1]), scene.start, (1400, 1400), room=0.02)

    normal = np.where((sight.face >= 0)[..., None], scene.normal[sight.face], np.array([0.0, 0.0, 1.0]))
    lit = np.clip(-(normal @ light.away), 0.0, 1.0)
    # Shadows and hollows are soft: every other pixel will do.
    every = (slice(None, None, FINE), slice(None, None, FINE))
    columns, rows = np.meshgrid(np.arange(shape[1])[every[1]] + 0.5, np.arange(shape[0])[every[0]] + 0.5)
    shadow = _spread(_shadow(scene, light, view.place(columns, rows, depth[every]), normal[every]))
    hollow = _spread(_hollows(depth[every], view.scale / FINE))
    # Board is light as paper; cloth keeps its folds in sight.
    soft = scene.soft[sight.face] & (sight.face >= 0)
    glow, gain = np.where(soft, 0.05, 0.47), np.where(soft, 1.05, 0.62)
    brightness = np.clip(glow + 0.10 * normal[..., 2] + gain * lit * (1 - 0.8 * shadow), 0.0, 1.0) * hollow
    # Shade is the colour of card in the dark; other colours darken as much.
    tint = scene.tint[sight.face]
    dark = SHADE * tint / CARD
    card = dark + (tint - dark) * brightness[..., None]
    darker = np.clip(0.32 * shadow + 0.8 * (1 - hollow), 0.0, 0.6)[..., None]
    paper = GROUND * (1 - darker) + SHADE * darker if on_ground else GROUND
    colour = np.where((sight.face >= 0)[..., None], card, paper)
    for mask, ink, strength in _lines(scene, sight, depth, view):
        colour += (ink - colour) * (strength * mask)[..., None]
    return _smaller(colour)


def _apart(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    cushions: Sequence[tuple[str, Pose, CushionMesh]],
    exploded: float,
) -> dict[str, Array]:
    """How far each part and cushion is moved, mm."""
    if exploded == 0.0:
        return {}
    boxes = {}
    for part in parts:
        mine = [x for x in layers if x.part == part.name and x.regions]
        if mine:
            x0, y0, x1, y1 = part.outline.bounds
            corners = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (0.0, part.thickness)]
            boxes[part.name] = part.pose.to_piece(np.array(corners))
    for name, pose, mesh in cushions:
        boxes[name] = pose.to_piece(mesh.cloth.vertices)
    every = np.concatenate(list(boxes.values()))
    middle = (every.min(axis=0) + every.max(axis=0)) / 2
    return {name: exploded * ((b.min(axis=0) + b.max(axis=0)) / 2 - middle) for name, b in boxes.items()}


def _mended(scene: Faces, sight: Seen) -> Seen:
    """The same without cracks and ledges a pixel wide, where two layers are not quite the same curve.

    A crack shows what lies behind between two pixels of one part, a ledge a face that turns
    away between two that do not.
    """
    face, depth = sight.face.copy(), sight.depth.copy()
    part = np.where(face >= 0, scene.part[face], -1)
    for axis in (0, 1):
        before, here, after = (
            (slice(k, n), slice(None)) if axis == 0 else (slice(None), slice(k, n))
            for k, n in ((0, -2), (1, -1), (2, None))
        )
        same = (part[before] == part[after]) & (part[before] >= 0)
        way = scene.normal[face]
        flat = (way[before] * way[after]).sum(axis=-1) > 0.95
        ledge = flat & (part[here] == part[before]) & ((way[before] * way[here]).sum(axis=-1) < 0.87)
        behind = (part[here] != part[before]) & (depth[here] > np.maximum(depth[before], depth[after]))
        crack = same & (ledge | behind)
        face[here] = np.where(crack, face[before], face[here])
        depth[here] = np.where(crack, depth[before], depth[here])
        part[here] = np.where(crack, part[before], part[here])
    return Seen(depth, face)


def _backdrop(view: Camera, points: Array) -> tuple[Array, bool]:
    """Depth, at every pixel, of what is behind the piece, and whether that is the level it stands on.

    Seen level or from below there is no such level, only a backdrop.
    """
    up, away = float(view.up[2]), float(view.away[2])
    if away > -0.02:
        far = points @ view.away
        return np.full(view.shape, 2 * far.max() - far.min() + 1.0), False
    y = (view.middle[1] - (np.arange(view.shape[0]) + 0.5)) / view.scale
    depth = (float(points[:, 2].min()) - y * up) / away
    return np.broadcast_to(depth[:, None], view.shape), True


def _shadow(scene: Faces, light: Camera, where: Array, normal: Array) -> Array:
    """How much of each place lies in the shadow, 0 to 1, soft at its edges."""
    nearest = seen(scene, light).depth
    # Looked up a little off the surface, or a face would throw a shadow on itself.
    spot = light.project(where + 6.0 / light.scale * normal)
    limit = spot[..., 2] - 2.0 / light.scale
    dark = np.zeros(where.shape[:2])
    height, width = light.shape
    for dx, dy in _spiral(SOFT, 5.0):
        column = np.floor(spot[..., 0] + dx).astype(np.int64)
        row = np.floor(spot[..., 1] + dy).astype(np.int64)
        inside = (column >= 0) & (column < width) & (row >= 0) & (row < height)
        stored = nearest[np.clip(row, 0, height - 1), np.clip(column, 0, width - 1)]
        dark += inside & (stored < limit)
    return dark / SOFT


def _spiral(count: int, radius: float) -> list[tuple[float, float]]:
    """Spots spread evenly over a disc."""
    k = np.arange(count)
    r, turn = radius * np.sqrt((k + 0.5) / count), np.pi * (3 - 5**0.5) * k
    return [(float(x), float(y)) for x, y in zip(r * np.cos(turn), r * np.sin(turn), strict=True)]


def _hollows(depth: Array, scale: float) -> Array:
    """Darkening of inner corners and of places close behind an edge; 1 where there is none.

    A place is hollow where it lies behind the middle of two places on either side of it:
    level ground and slanting boards are not.
    """
    sunk = np.zeros_like(depth)
    for radius in (3, 7, 12):
        for k in range(6):
            turn = np.pi * (k + 0.5 * (radius == 7)) / 6
            dx, dy = round(radius * np.cos(turn)), round(radius * np.sin(turn))
            one = ndimage.shift(depth, (dy, dx), order=0, mode="nearest")
            two = ndimage.shift(depth, (-dy, -dx), order=0, mode="nearest")
            behind = np.clip((depth - (one + two) / 2) * scale / radius - 0.1, 0.0, None)
            sunk += np.clip(behind, 0.0, 1.0) * np.clip(1.0 - behind / 8.0, 0.0, 1.0)
    # Beyond the picture's border nothing is known.
    for edge in (sunk[:12], sunk[-12:], sunk[:, :12], sunk[:, -12:]):
        edge[...] = 0.0
    soft: Array = ndimage.gaussian_filter(sunk / 18, 1.5)
    return 1.0 - np.clip(1.1 * soft, 0.0, 0.5)


def _spread(coarse: Array) -> Array:
    """One value for each square of fine pixels, blended between neighbours."""
    blended: Array = ndimage.uniform_filter(np.repeat(np.repeat(coarse, FINE, axis=0), FINE, axis=1), 3)
    return blended


def _lines(scene: Faces, sight: Seen, depth: Array, view: Camera) -> list[tuple[Array, Array, float]]:
    """Masks of the layer lines, the edges and the outline of the whole, with colour and strength."""
    face = sight.face
    part = np.where(face >= 0, scene.part[face], -1)
    layer = np.where(face >= 0, scene.layer[face], -2)
    normal = scene.normal[face]
    outline, edge, seam = (np.zeros(face.shape, dtype=bool) for _ in range(3))
    deep = normal @ view.away
    for here, there, step in (
        ((slice(None), slice(None, -1)), (slice(None), slice(1, None)), normal @ view.right),
        ((slice(None, -1), slice(None)), (slice(1, None), slice(None)), -(normal @ view.up)),
    ):
        board = (part[here] >= 0) & (part[there] >= 0)
        same = board & (part[here] == part[there])
        bend = (normal[here] * normal[there]).sum(axis=-1)
        # How far the next pixel lies off the plane of this one: depth alone jumps on steep faces too.
        off = step[here] / view.scale + deep[here] * (depth[there] - depth[here])
        jump = np.abs(off) > 4.0 / view.scale
        bent = ((bend < 0.87) | jump) & ~(scene.soft[face[here]] & scene.soft[face[there]])
        outline[here] |= (part[here] >= 0) != (part[there] >= 0)
        edge[here] |= board & ((part[here] != part[there]) | bent)
        seam[here] |= same & (layer[here] != layer[there]) & (bend > 0.95) & ~jump
    cross = ndimage.generate_binary_structure(2, 1)
    wide = ndimage.binary_dilation(outline, cross, iterations=1)
    middling = ndimage.binary_dilation(edge, np.ones((2, 2), dtype=bool))
    return [(seam * 1.0, PLUM, 0.22), (middling * 1.0, INK, 0.78), (wide * 1.0, INK, 0.95)]


def _smaller(colour: Array) -> NDArray[np.uint8]:
    """The mean of each square of fine pixels, as bytes."""
    height, width, _ = colour.shape
    mean = colour.reshape(height // FINE, FINE, width // FINE, FINE, 3).mean(axis=(1, 3))
    pixels: NDArray[np.uint8] = np.clip(np.round(mean * 255), 0, 255).astype(np.uint8)
    return pixels
