"""The illustrated guide as PDF, set by Typst (Apache-2.0): fonts embedded, no network, no dates.

The maker's words travel as data, never as markup, so that nothing in a design is run. Typst is
given an empty folder as its root, so that no design can read the disk either.
"""

from __future__ import annotations

import dataclasses
import json
import pathlib
import tempfile
from typing import Literal

from laminature.errors import WriterError
from laminature.model.guide import Guide
from laminature.model.words import Words
from laminature.writers.photo import check_photos

#: A part of a template, mm. With its title, corners and squares it fits on A4 as well as on 8½ × 11 in
#: paper, printed at 100 % and wherever a printer puts it, with 6 mm at each edge that printers leave white
#: (common practice, no source).
TILE = (180.0, 225.0)
#: Dots per inch of pages for a screen.
SCREEN = 110.0


def guide_pdf(guide: Guide, template: bytes, words: Words) -> bytes:
    """The bytes of the guide. ``template`` is Typst, ``words`` what it adds by itself.

    The same guide gives the same bytes. Raises WriterError where a picture cannot be understood.
    """
    return b"".join(_set(guide, template, words, "pdf"))


def guide_pages(guide: Guide, template: bytes, words: Words) -> tuple[bytes, ...]:
    """The guide's pages as PNG for a screen. Raises WriterError where a picture cannot be understood."""
    return _set(guide, template, words, "png")


def _set(guide: Guide, template: bytes, words: Words, kind: Literal["pdf", "png"]) -> tuple[bytes, ...]:
    """One whole of bytes as PDF, one for each page as PNG."""
    import typst

    inputs = {"data": json.dumps(_plain(guide, words), ensure_ascii=False)}
    first = () if guide.photo is None else ((guide.photo_file, guide.photo),)
    check_photos((*first, *((photo.file, photo.data) for photo in guide.photos)))
    with tempfile.TemporaryDirectory() as root:
        if guide.photo is not None:
            (pathlib.Path(root) / "photo").write_bytes(guide.photo)
        for n, photo in enumerate(guide.photos):
            (pathlib.Path(root) / f"photo-{n}").write_bytes(photo.data)
        try:
            # The stubs want path and root of one type, which bytes and a folder are not.
            made = typst.compile(
                template,
                root=root,  # type: ignore[type-var]
                sys_inputs=inputs,
                ignore_system_fonts=True,
                format=kind,
                ppi=SCREEN if kind == "png" else None,
            )
        except (typst.TypstError, RuntimeError) as error:
            raise WriterError(f"The guide cannot be set: {_first_line(str(error))}") from error
    return tuple(bytes(page) for page in made) if isinstance(made, list) else (bytes(made),)


def _plain(guide: Guide, words: Words) -> dict[str, object]:
    """The guide as JSON takes it: bytes of SVG as text; of a photo only that there is one."""
    bare = dataclasses.replace(
        guide, photo=None, photos=tuple(dataclasses.replace(photo, data=b"") for photo in guide.photos)
    )
    made = {k: _text(v) for k, v in dataclasses.asdict(bare).items()}
    made["photo"] = guide.photo is not None
    made["words"] = words.plain()
    made["made_at"] = words.of("made_at", scale=guide.scale)
    made["tile"] = {"width": TILE[0], "height": TILE[1]}
    return made


def _text(value: object) -> object:
    if isinstance(value, bytes):
        return value.decode("utf-8", "replace")
    if isinstance(value, dict):
        return {k: _text(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_text(v) for v in value]
    return value


def _first_line(text: str) -> str:
    return text.strip().splitlines()[0][:200] if text.strip() else "it does not say why."
