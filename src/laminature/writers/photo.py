"""Pictures by a maker, looked at before they are set: are they whole, and how large are they.

A few bytes can claim to be a picture of any size, and whoever unpacks it needs memory for all of it. So its
size is read from its head first. Sources: W3C *Portable Network Graphics* (third edition), 11.2.1; ITU-T T.81
(JPEG), B.1.1.3 and B.2.2; CompuServe *GIF89a*, 18; RFC 9649 (WebP), 2.5 to 2.7.
"""

from __future__ import annotations

import pathlib
import struct
import tempfile
from collections.abc import Iterable

from laminature.errors import WriterError

#: The most points of a picture: it takes 4 bytes for each while it is unpacked.
MOST = 64_000_000
_PNG = b"\x89PNG\r\n\x1a\n"
#: Marks of JPEG that have no length behind them.
_BARE = {0x01, *range(0xD0, 0xD8)}
#: Those that begin a frame and tell its size: all of C0 to CF but for tables (C4, C8, CC).
_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}


def check_photos(photos: Iterable[tuple[str, bytes]]) -> None:
    """Raises WriterError for pictures that are none that we can set, were cut off, or are too large.

    Each has its file's name, which may be empty for one alone. All that cannot be read are told at once.
    """
    broken = []
    for file, data in photos:
        size = photo_size(data)
        if size is not None and size[0] * size[1] > MOST:
            one = _called(repr(file) if file else "")
            raise WriterError(
                f"The {one} says that it is {size[0]} × {size[1]} points large; "
                f"{MOST // 1_000_000} million points are the most. Make it smaller: 2000 points along its "
                "longer side are plenty for a page."
            )
        if size is None or not _can_be_set(data):
            broken.append(repr(file) if file else "")
    if broken:
        told = _called(" and ".join(broken))
        raise WriterError(
            f"That is no picture that can be read, or a part of it is missing. Leave out the {told}, "
            "or take another: PNG, JPEG, GIF or WebP."
        )


def _can_be_set(data: bytes) -> bool:
    """Whether the whole picture can be unpacked; what sets the guide decides."""
    import typst

    with tempfile.TemporaryDirectory() as root:
        (pathlib.Path(root) / "photo").write_bytes(data)
        try:
            typst.compile(
                b'#image(read("/photo", encoding: none), width: 1cm)',
                root=root,  # type: ignore[type-var]
                ignore_system_fonts=True,
            )
        except (typst.TypstError, RuntimeError):
            return False
    return True


def _called(files: str) -> str:
    """A photo as it is called in messages, with the design's key where files are named."""
    return f"photo {files} (key: photo)" if files else "photo"


def photo_size(data: bytes) -> tuple[int, int] | None:
    """Width and height in points, as the head of the picture tells; None where it does not."""
    try:
        if data.startswith(_PNG):
            return _some(struct.unpack(">II", data[16:24]))
        if data.startswith((b"GIF87a", b"GIF89a")):
            return _some(struct.unpack("<HH", data[6:10]))
        if data.startswith(b"\xff\xd8"):
            return _jpeg(data)
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return _webp(data)
    except (struct.error, IndexError):
        return None
    return None


def _some(size: tuple[int, ...]) -> tuple[int, int] | None:
    width, height = size
    return (width, height) if width and height else None


def _jpeg(data: bytes) -> tuple[int, int] | None:
    size = None
    at = 2
    while True:
        if data[at] != 0xFF:
            return None
        mark = data[at + 1]
        if mark == 0xFF:
            at += 1
            continue
        if mark in _BARE:
            at += 2
            continue
        if mark in _FRAMES:
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            size = _some((width, height))
        if mark == 0xDA:
            # Within the picture FF is followed by 00 or a bare mark: D9 can only be its end.
            return size if data.find(b"\xff\xd9", at) >= 0 else None
        at += 2 + int(struct.unpack(">H", data[at + 2 : at + 4])[0])


def _webp(data: bytes) -> tuple[int, int] | None:
    kind = data[12:16]
    if kind == b"VP8X":
        width, height = (int.from_bytes(data[k : k + 3], "little") + 1 for k in (24, 27))
        return (width, height) if len(data) >= 30 else None
    if kind == b"VP8L":
        bits = struct.unpack("<I", data[21:25])[0]
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if kind == b"VP8 ":
        width, height = struct.unpack("<HH", data[26:30])
        return _some((width & 0x3FFF, height & 0x3FFF))
    return None
