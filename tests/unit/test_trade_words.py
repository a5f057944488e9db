"""A guide speaks the trade's words of its maker's workshop, and no others."""

import dataclasses
import io
import re

import pypdf
import pytest

from laminature import front
from laminature.pipeline import kit_files
from laminature.pipeline.reading import guide_words, known_boards, read_design

from ..planned import EXAMPLES, ROOT

BRITISH = (
    "housing",
    "halving",
    "halvings",
    "rebate",
    "rebates",
    "wadding",
    "piping",
    "vapour",
    "moulding",
    "grey",
    "millimetres",
)
AMERICAN = (
    "dado",
    "dados",
    "cross lap",
    "cross laps",
    "rabbet",
    "rabbets",
    "batting",
    "welt",
    "vapor",
    "gray",
    "millimeters",
)


def texts(files):
    """All that a kit says in running words; names of files are no words."""
    pages = pypdf.PdfReader(io.BytesIO(files["guide.pdf"])).pages
    yield " ".join(page.extract_text() for page in pages)
    for name in ("supplies.csv", "README.txt"):
        yield files[name].decode()


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize(("language", "foreign"), [("british", AMERICAN), ("american", BRITISH)])
def test_no_word_of_the_other_workshop_is_said(name, language, foreign):
    design = dataclasses.replace(front.read(ROOT / "examples" / f"{name}.toml"), language=language)
    for text in texts(kit_files(front.build(design))):
        plain = re.sub(r"\S*/\S*|\S+\.(?:svg|dxf|pdf)", "", " ".join(text.split())).lower()
        for word in foreign:
            assert not re.search(rf"\b{word}\b", plain), (word, language)


def test_each_language_fills_every_place():
    for language in ("british", "american"):
        for key, text in guide_words(language).plain().items():
            assert text, key
            assert "}}" not in text and "{{" not in text


@pytest.mark.parametrize(
    ("language", "board", "said"),
    [
        ("british", "chipboard-22", "shops here call it greyboard"),
        ("american", "greyboard-1-5-a4", "shops here call it chipboard"),
        ("american", "chipboard-22", ""),
        ("british", "greyboard-1-5-a4", ""),
        ("british", "card-10", ""),
    ],
)
def test_board_is_called_as_shops_call_it_here(language, board, said):
    slab = '[[part]]\nname = "slab"\nshape = "circle"\ndiameter = "12 in"\nlayers = 2\n'
    text = f'board = "{board}"\nwords = "{language}"\n{slab}'
    read = read_design(text.encode(), "t.toml", ROOT, known_boards(None, ""))
    (why,) = (s.why for s in front.build(read).supplies if s.kind == "board")
    assert said in why and ("shops" in why) == bool(said)
