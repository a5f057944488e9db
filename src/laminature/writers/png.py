"""PNG: a picture's pixels as bytes (W3C *Portable Network Graphics*, third edition; ISO/IEC 15948)."""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from laminature.errors import WriterError

SIGNATURE = b"\x89PNG\r\n\x1a\n"


def png(pixels: NDArray[np.uint8]) -> bytes:
    """The bytes of a PNG file of ``pixels`` (height, width, 3), 8 bits of red, green and blue.

    Every row is stored as its difference from the row above (filter type 2), which
    drawings pack well with; no time and no program is written, so that the same pixels
    give the same bytes. Raises WriterError for an array that is no such picture.
    """
    if pixels.dtype != np.uint8 or pixels.ndim != 3 or pixels.shape[2] != 3 or 0 in pixels.shape:
        raise WriterError(
            f"a picture has rows of red, green and blue bytes, not {pixels.dtype} {pixels.shape}."
        )
    height, width, _ = pixels.shape
    rows = pixels.reshape(height, width * 3)
    above = np.vstack([np.zeros_like(rows[:1]), rows[:-1]])
    filtered = np.hstack([np.full((height, 1), 2, dtype=np.uint8), rows - above])
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    # sRGB with perceptual intent, so that viewers agree about the colours.
    chunks = (
        (b"IHDR", header),
        (b"sRGB", b"\0"),
        (b"IDAT", zlib.compress(filtered.tobytes(), 9)),
        (b"IEND", b""),
    )
    return SIGNATURE + b"".join(_chunk(kind, body) for kind, body in chunks)


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
