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

BRITISH = ("housing", "halving", "halvings", "rebate", "rebates", "wadding", "piping", "vapour", "moulding")
AMERICAN = ("dado", "dados", "cross lap", "cross laps", "rabbet", "rabbets", "batting", "welt", "vapor")


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
