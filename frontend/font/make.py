"""Makes the page's font files: a subset of Caladea as woff2, with digits of one width.

Needs fonttools and brotli, and the font as Debian ships it (fonts-crosextra-caladea):
    python frontend/font/make.py /usr/share/fonts/truetype/crosextra frontend/src/font
"""

import sys
from pathlib import Path

from fontTools import subset

CHARACTERS = (
    list(range(0x20, 0x7F))
    + list(range(0xA0, 0x180))
    + [0x2010, 0x2011, 0x2013, 0x2014, 0x2018, 0x2019, 0x201A, 0x201C, 0x201D, 0x201E, 0x2022, 0x2026]
    + [0x2032, 0x2033, 0x2044, 0x20AC, 0x2122, 0x2212, 0x2248, 0x2260, 0x2264, 0x2265]
    + list(range(0x2150, 0x215F))
    + [0x2190, 0x2191, 0x2192, 0x2193]
)
STYLES = {"Caladea-Regular": "caladea", "Caladea-Bold": "caladea-bold", "Caladea-Italic": "caladea-italic"}


def make(source: Path, target: Path) -> None:
    """Write one woff2 file for each style. Dates come from the font itself, so bytes repeat."""
    options = subset.Options(flavor="woff2", layout_features=["*"], recalc_timestamp=False, hinting=False)
    target.mkdir(parents=True, exist_ok=True)
    for style, name in STYLES.items():
        font = subset.load_font(str(source / f"{style}.ttf"), options)
        subsetter = subset.Subsetter(options)
        subsetter.populate(unicodes=CHARACTERS)
        subsetter.subset(font)
        subset.save_font(font, str(target / f"{name}.woff2"), options)


if __name__ == "__main__":
    make(Path(sys.argv[1]), Path(sys.argv[2]))
