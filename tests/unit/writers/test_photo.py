"""What a picture says of its size is believed before it is unpacked, and what is no picture is told."""

import io
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from laminature.errors import WriterError
from laminature.writers.photo import MOST, check_photos, photo_size

KINDS = {
    "png": {"format": "PNG"},
    "jpeg": {"format": "JPEG"},
    "progressive jpeg": {"format": "JPEG", "progressive": True},
    "gif": {"format": "GIF"},
    "webp": {"format": "WEBP"},
    "lossless webp": {"format": "WEBP", "lossless": True},
}


def picture(width, height, kind):
    """A picture as a library that is not ours writes it."""
    out = io.BytesIO()
    Image.effect_noise((width, height), 40.0).convert("RGB").save(out, **KINDS[kind])
    return out.getvalue()


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=20)
@given(width=st.integers(1, 300), height=st.integers(1, 300))
def test_the_size_of_a_picture_is_read_from_its_head(kind, width, height):
    data = picture(width, height, kind)
    assert photo_size(data) == (width, height)
    check_photos([("", data)])


def test_a_webp_with_more_than_a_picture_tells_its_size_too():
    out = io.BytesIO()
    Image.new("RGBA", (70, 50), (1, 2, 3, 4)).save(out, format="WEBP", exif=b"Exif\0\0" + bytes(20))
    assert b"VP8X" in out.getvalue() and photo_size(out.getvalue()) == (70, 50)


def test_a_jpeg_that_was_cut_off_is_told_and_one_with_something_behind_it_is_not():
    data = picture(200, 100, "jpeg")
    check_photos([("", data + b"a film behind the picture")])
    for share in (0.02, 0.3, 0.9):
        with pytest.raises(WriterError, match="missing"):
            check_photos([("", data[: int(share * len(data))])])


@pytest.mark.parametrize("kind", ["png", "gif", "webp"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
def test_a_picture_whose_end_is_missing_is_told_before_anything_is_set(kind, share):
    data = picture(120, 80, kind)
    with pytest.raises(WriterError, match="part of it is missing"):
        check_photos([("photo.png", data[: int(share * len(data))])])


def test_a_picture_that_claims_to_be_huge_is_never_unpacked():
    png = picture(4, 4, "png")
    jpeg = picture(64, 64, "jpeg")
    at = jpeg.index(b"\xff\xc0")
    for data in (
        png[:16] + struct.pack(">II", 50000, 50000) + png[24:],
        jpeg[: at + 5] + struct.pack(">HH", 50000, 50000) + jpeg[at + 9 :],
    ):
        with pytest.raises(WriterError, match="50000 × 50000"):
            check_photos([("", data)])
    assert MOST < 50000 * 50000


@given(
    st.binary(max_size=60),
    st.sampled_from([b"", b"\xff\xd8", b"\x89PNG\r\n\x1a\n", b"GIF89a", b"RIFF1234WEBP"]),
)
def test_any_bytes_have_a_size_or_none(data, head):
    size = photo_size(head + data)
    assert size is None or min(size) > 0
