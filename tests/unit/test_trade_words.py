"""A guide speaks the trade's words of its maker's workshop, and no others."""

import dataclasses
import io
import re

import pypdf
import pytest

from laminature import front
from laminature.pipeline import kit_files
from laminature.pipeline.reading import guide_words

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
    "neighbour",
    "licence",
    "sensitised",
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
    "neighbor",
    "license",
    "sensitized",
)


def texts(files):
    """All that a kit says in running words; names of files are no words."""
    pages = pypdf.PdfReader(io.BytesIO(files["guide.pdf"])).pages
    yield " ".join(page.extract_text() for page in pages)
    for name in ("supplies.csv", "README.txt"):
        yield files[name].decode()
    for name, data in files.items():
        if name.startswith("bench/"):
            yield " ".join(re.findall(r'(?:aria-label="|<title>)([^"<]*)', data.decode()))
        if name.endswith(".gcode"):
            # A laser's housing is that of its beam, in every workshop.
            yield data.decode().replace("closed housing", "")
    yield re.sub(r"(?s)<(style|script)[^>]*>.*?</\1>|<[^>]*>", " ", files["view.html"].decode())


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize(("language", "foreign"), [("british", AMERICAN), ("american", BRITISH)])
def test_no_word_of_the_other_workshop_is_said(name, language, foreign):
    design = front.read(ROOT / "examples" / f"{name}.toml")
    cutting = dataclasses.replace(design.cutting, files=(*design.cutting.files, "gcode"))
    design = dataclasses.replace(
        design, language=language, cutting=cutting, cutter="laser", licence="CC BY 4.0"
    )
    for text in texts(kit_files(front.build(design))):
        plain = re.sub(r"\S*/\S*|\S+\.(?:svg|dxf|pdf)", "", " ".join(text.split())).lower()
        for word in foreign:
            assert not re.search(rf"\b{word}\b", plain), (word, language)


def test_an_entry_has_the_same_places_in_every_language():
    british, american = (guide_words(language).plain() for language in ("british", "american"))
    assert british.keys() == american.keys()
    for key, text in british.items():
        places = re.findall(r"{\w+}", text)
        assert sorted(places) == sorted(re.findall(r"{\w+}", american[key])), key
