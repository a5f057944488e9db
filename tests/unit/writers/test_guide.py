"""The guide: set from data alone, the same every time, true to size where it says so."""

import dataclasses
import io
import pathlib
import re
import struct
import tomllib
import zlib

import pypdf
import pytest

from laminature.data import library
from laminature.errors import WriterError
from laminature.model.guide import Guide, GuideStack, GuideStep, Page, Shopping, Size, Tile
from laminature.model.photo import Photo
from laminature.model.words import Words
from laminature.writers.guide import guide_pdf

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">'
    b'<path d="M10 10H390V290H10Z" fill="none" stroke="#000"/></svg>'
)
WORDS = tomllib.loads(library.words().decode())
GUIDE = Guide(
    title="Lamp table",
    scale="1:12",
    sizes=(Size("height", "25 in (635 mm)", "52.9 mm"),),
    whole=SVG,
    exploded=SVG,
    cautions=("Blades are sharp.",),
    supplies=(Shopping("Chipboard", "1 sheet", "1 × 1 sheet", "as laid out", "2.50 EUR"),),
    total="2.50 EUR",
    maps=(Page("map", SVG, 210.0, 297.0),),
    stacks=(GuideStack("A", "Top", 2, "2.3 mm", ("A1", "A2, mirrored"), SVG),),
    steps=(GuideStep(1, "Put B onto A from above.", SVG),),
    plan=(Page("plan", SVG, 210.0, 297.0),),
    pages=(Page("cloth", SVG, 210.0, 297.0), Page("batting", SVG, 60.0, 40.0)),
    templates=(Page("sheet-1", SVG, 400.0, 300.0),),
    tiles=(Tile(0, 0.0, 0.0, "1 of 2"), Tile(0, 180.0, 0.0, "2 of 2")),
    notes="First.\n\nSecond.",
    credit="Made at the harbour",
    licence="CC BY 4.0",
    dimensions=SVG,
)


def made(guide=GUIDE, language="british"):
    return guide_pdf(guide, library.guide(), Words({**WORDS["british"], **WORDS[language]}))


def read(data):
    return pypdf.PdfReader(io.BytesIO(data))


def text(data):
    return " ".join(" ".join(p.extract_text().split()) for p in read(data).pages)


def test_everything_that_is_given_is_told():
    said = text(made())
    for words in (
        *("Lamp table", "52.9 mm", "Blades are sharp.", "Chipboard", "2.50 EUR", "A2, mirrored", "2 alike"),
        *("Put B onto A from above.", "First.", "Second.", "CC BY 4.0", "sheet-1, part 2 of 2", "0.9407"),
    ):
        assert words in said


def test_the_same_guide_gives_the_same_bytes():
    assert made() == made()


@pytest.mark.parametrize(
    "title",
    [
        'Table </script> #let x = 1 $a$ *b* _c_ `d` @e <f> [g] \\ "h" //',
        '#read("/etc/hostname") #image("x.png")',
        "مصباح طاولة · שולחן · Ωμέγα",
        "a" * 3000,
        "tab\tand\x00control\x07",
    ],
)
def test_what_a_maker_wrote_is_never_run(title):
    guide = dataclasses.replace(
        GUIDE, title=title, notes=title, credit=title, steps=(GuideStep(1, title),), cautions=(title,)
    )
    data = made(guide)
    if title.startswith(("Table", "#")):
        said = "".join(text(data).split())
        assert "".join(title.split()) in said


def png(width, height):
    """A white picture of so many pixels, from the published structure of PNG."""
    rows = b"".join(b"\0" + b"\xff" * 3 * width for _ in range(height))

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


def test_a_photo_stands_on_the_title_page():
    data = made(dataclasses.replace(GUIDE, photo=png(40, 30)))
    assert len(read(data).pages[0].images) == 1


@pytest.mark.parametrize("count", [1, 2, 3, 7])
def test_further_photos_stand_with_the_makers_notes_and_the_drawing_stays(count):
    more = tuple(Photo(f"{n}.png", f"Seen from side {n}", png(30 + n, 20)) for n in range(count))
    data = made(dataclasses.replace(GUIDE, photo=png(40, 30), caption="On the sill", photos=more))
    pages, said = read(data).pages, text(data)
    assert len(pages[0].images) == 1 and "On the sill" in pages[0].extract_text()
    assert sum(len(page.images) for page in pages) == 1 + count
    assert all(f"Seen from side {n}" in said for n in range(count))
    # The drawing of the piece is smaller now, and there all the same.
    bare = made(dataclasses.replace(GUIDE, photo=png(40, 30), caption="On the sill", photos=more, whole=None))
    drawn, left_out = (read(d).pages[0].get_contents().get_data() for d in (data, bare))
    assert len(drawn) > len(left_out)


def test_of_several_photos_the_broken_ones_are_named():
    more = (Photo("good.png", data=png(4, 4)), Photo("bad.png", data=b"none"))
    with pytest.raises(WriterError, match=r"Leave out the photo 'bad\.png' \(key: photo\)"):
        made(dataclasses.replace(GUIDE, photo=png(4, 4), photo_file="first.png", photos=more))
    with pytest.raises(WriterError, match=r"'first\.png' and 'bad\.png'"):
        made(dataclasses.replace(GUIDE, photo=b"none", photo_file="first.png", photos=more))


@pytest.mark.parametrize("photo", [b"", b"no picture", png(40, 30)[:50]])
def test_a_broken_photo_is_told_in_plain_words(photo):
    with pytest.raises(WriterError, match="Leave out the photo"):
        made(dataclasses.replace(GUIDE, photo=photo))


def test_true_size_pages_have_their_size():
    pages = read(made()).pages
    sizes = [(float(p.mediabox.width) * 25.4 / 72, float(p.mediabox.height) * 25.4 / 72) for p in pages]
    assert sizes[-4] == pytest.approx((210.0, 297.0), abs=0.01)
    # The small template lies on a page with squares to measure.
    assert sizes[-3] == pytest.approx((210.0, 297.0), abs=0.01)
    assert "25 mm" in pages[-3].extract_text() and "1 in" in pages[-3].extract_text()
    assert all(s == pytest.approx((210.0, 297.0), abs=0.01) for s in sizes[-2:])


def test_an_empty_guide_is_a_guide():
    data = made(Guide("Nothing yet", "1:12"))
    assert "Nothing yet" in text(data)


def test_a_translation_has_no_word_that_the_first_has_not():
    for language, table in WORDS.items():
        assert table.keys() <= WORDS["british"].keys(), language


def test_every_word_is_used_somewhere():
    root = pathlib.Path(library.__file__).parents[1]
    code = "\n".join(p.read_text("utf-8") for p in root.rglob("*.py"))
    # Keys that are put together: what stands before the place in an f-string begins them.
    begun = ("profile_", *re.findall(r'\bf"([a-z]+_(?:[a-z]+_)*)\{', code))
    for key, text in WORDS["british"].items():
        in_page = re.search(rf"\bw\.{key}\b", library.guide().decode())
        in_entry = any(f"{{{key}}}" in other for other in WORDS["british"].values())
        stem = re.sub(r"_(one|many)$", "", key)
        in_code = f'"{stem}"' in code or f"'{stem}'" in code or f"{stem}{{" in code or key.startswith(begun)
        assert in_page or in_entry or in_code, f"{key} = {text!r}"
