"""Pictures, words and sizes that nobody expects, through the command line: a clear result each."""

import io
import re
import struct

import pypdf
import pytest
from PIL import Image

from .test_bad_input import kit as refused
from .test_bad_input import laminature as laminature

STOOL = '[form]\nname = "radial-table"\nheight = "18 in"\nwidth = "15 in"\nsides = 0\n'
ONE = '[[part]]\nname = "plate"\nshape = "rectangle"\nwidth = "9 in"\nheight = "6 in"\nlayers = 3\n'


def picture(kind):
    out = io.BytesIO()
    Image.effect_noise((200, 100), 40.0).convert("RGB").save(out, format=kind)
    return out.getvalue()


def claiming(width, height):
    """A small picture whose head says that it is as large as this."""
    data = picture("PNG")
    return data[:16] + struct.pack(">II", width, height) + data[24:]


BROKEN = {
    "empty": (b"", "no picture"),
    "text": (b"no picture at all", "no picture"),
    "another kind": (b"BM" + bytes(500), "PNG, JPEG, GIF or WebP"),
    "a drawing that reads the disk": (
        b'<svg xmlns="http://www.w3.org/2000/svg"><image href="/etc/passwd"/></svg>',
        "no picture",
    ),
    "cut off": (picture("JPEG")[:2000], "missing"),
    "cut off in its head": (picture("PNG")[:20], "missing"),
    "cut off in the middle": (picture("PNG")[:3000], "Leave out the photo"),
    "larger than memory": (claiming(50000, 50000), "50000 × 50000"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_picture_that_cannot_be_set_is_told_and_nothing_is_written(laminature, tmp_path, what):
    data, words = BROKEN[what]
    (tmp_path / "photo.png").write_bytes(data)
    refused(laminature, tmp_path, 'photo = "photo.png"\n' + STOOL, 1, words)


def test_a_picture_file_that_is_huge_is_not_read(laminature, tmp_path):
    with (tmp_path / "photo.png").open("wb") as file:
        file.truncate(200 << 20)
    refused(laminature, tmp_path, 'photo = "photo.png"\n' + STOOL, 2, "photo.png")


def made(laminature, tmp_path, text):
    design = tmp_path / "design.toml"
    design.write_bytes(text.encode())
    ended, said = laminature("kit", design, "-o", tmp_path / "kit")
    assert ended == 0, said
    guide = pypdf.PdfReader(tmp_path / "kit" / "guide.pdf")
    page = (tmp_path / "kit" / "view.html").read_text(encoding="utf-8")
    # As many elements of script as in a page with a plain title: no title opens or closes one.
    assert [len(re.findall(tag, page, re.IGNORECASE)) for tag in ("<script", "</script")] == [2, 2]
    return guide, "".join(" ".join(p.extract_text() for p in guide.pages).split())


WORDS = {
    "markup of the guide": '#set page(width: 1mm) #read("/etc/passwd") $x$ *b* _c_ `d` @e [f] // g',
    "markup of a page": "<script>alert(1)</script></title><img src=x onerror=alert(1)>&amp;\"'",
    "the end of a script": "</script><script>alert(1)//",
    "places that we fill": "@@DATA@@ {scale} {{moving}} {number}",
    "right to left": "שולחן עגול مصباح طاولة",
    "joined and kept together": "می\u200cخواهم 3\u00a0mm",
    "emoji": "🪑 a stool 👩🏽\u200d🔧",
    "combining": "Z\u0351\u036b\u0343 e\u0301 ﷽",
    "a very long word": "Donaudampfschiff" * 12,
}


@pytest.mark.parametrize("what", WORDS)
def test_odd_words_stay_words_in_every_file(laminature, tmp_path, what):
    odd = WORDS[what]
    quoted = '"' + odd.replace("\\", "\\\\").replace('"', '\\"') + '"'
    guide, said = made(
        laminature, tmp_path, f"title = {quoted}\nnotes = {quoted}\ncredit = {quoted}\nstands = false\n" + ONE
    )
    assert float(guide.pages[0].mediabox.width) == pytest.approx(595.28, abs=0.1)
    if what.startswith(("markup", "the end", "places")):
        assert re.sub(r"\W", "", odd) in re.sub(r"\W", "", said)


def test_signs_that_turn_text_over_are_told(laminature, tmp_path):
    refused(laminature, tmp_path, 'title = "\u202egnp.exe"\n' + STOOL, 2, "title")


def test_a_piece_of_a_single_part_has_a_guide_without_steps(laminature, tmp_path):
    guide, said = made(laminature, tmp_path, 'title = "Plate"\nstands = false\n' + ONE)
    assert "Thestacks" in said and "Puttingittogether" not in said
    assert len(guide.pages) >= 4


def test_two_hundred_parts_have_a_guide_that_can_be_read(laminature, tmp_path):
    posts = "".join(
        f'[[part]]\nname = "post-{n + 1}"\nshape = "rectangle"\nwidth = "3 in"\nheight = "5 in"\nlayers = 2\n'
        f'stance = "facing side"\nat = ["{4 + 6 * (n % 15)} in", "{3 + 6.2 * (n // 15):.1f} in", "0.54 in"]\n'
        for n in range(199)
    )
    board = '[[part]]\nname = "board"\nshape = "rectangle"\nwidth = "100 in"\nheight = "90 in"\nlayers = 2\n'
    guide, said = made(laminature, tmp_path, 'title = "Comb"\ncutter = "laser"\n' + board + posts)
    # Alike steps are told once, alike stacks by their letter.
    assert "Dothesameinsteps2to199." in said
    assert "199alike" in said
    assert len(guide.pages) < 40
    assert (tmp_path / "kit" / "guide.pdf").stat().st_size < 8 << 20
