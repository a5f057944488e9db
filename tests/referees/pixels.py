"""Reading a PNG's pixels with the standard library and numpy (W3C PNG, third edition, section 9: filters)."""

import struct
import zlib

import numpy as np


def decode(data):
    """Pixels (height, width, 4) of a PNG with 8-bit red, green, blue and alpha, not interlaced."""
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", data[16:29])
    assert (depth, colour, interlaced) == (8, 6, 0)
    packed, at = b"", 8
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        if kind == b"IDAT":
            packed += data[at + 8 : at + 8 + length]
        at += 12 + length
    raw = np.frombuffer(zlib.decompress(packed), dtype=np.uint8).reshape(height, 1 + 4 * width)
    rows = np.zeros((height + 1, 4 * width), dtype=np.uint8)
    for n in range(height):
        rows[n + 1] = _unfiltered(raw[n, 0], raw[n, 1:], rows[n])
    return rows[1:].reshape(height, width, 4)


def _unfiltered(kind, row, above):
    if kind == 0:
        return row
    if kind == 1:
        return np.cumsum(row.reshape(-1, 4).astype(np.int64), axis=0).astype(np.uint8).ravel()
    if kind == 2:
        return row + above
    out, up = [0] * 4, [0] * 4 + above.tolist()
    for i, value in enumerate(row.tolist()):
        left, over, corner = out[i], up[i + 4], up[i]
        if kind == 3:
            guess = (left + over) // 2
        else:
            p = left + over - corner
            guess = min((left, over, corner), key=lambda v: abs(p - v))
        out.append((value + guess) & 255)
    return np.array(out[4:], dtype=np.uint8)


def extents(drawn):
    """Bounds of what is true in ``drawn`` (height, width), in pixels: x0, y0, x1, y1."""
    columns, rows = np.flatnonzero(drawn.any(axis=0)), np.flatnonzero(drawn.any(axis=1))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1
