"""The finish page in words: a table of parts, what is done in its order, and what stays bare.

Sources: the order is common practice, as is that hardened card takes stain less; clearances of what stays
loose, 0.25 mm of a lid and 0.35 mm of a drawer on each side after the finish, are from memory. That CA comes
before stain wherever it can, and small drops and a fan where it cannot, is common practice too, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from laminature.model.finish import Finish, FinishPart
from laminature.model.guide import FinishPage, FinishRow
from laminature.model.part import Face
from laminature.model.words import Words
from laminature.writers.supplies import amount_text

CM, CM2 = 10.0, 100.0


def finish_page(finish: Finish, words: Words) -> FinishPage:
    """The page of a piece's finish."""
    return FinishPage(
        tuple(_row(part, words) for part in finish.parts),
        tuple(_steps(finish, words)),
        tuple(_bare(finish, words)),
    )


def _row(part: FinishPart, words: Words) -> FinishRow:
    alone = part.count == 1
    none = words.of("finish_none")
    row, long, wide = (
        ("finish_row", "finish_cm", "finish_square")
        if alone
        else ("finish_row_alike", "finish_cm_each", "finish_square_each")
    )
    return FinishRow(
        words.of(row, letter=part.letter, title=part.title, n=str(part.count)),
        words.of(long, cm=f"{part.edge / CM:.0f}") if part.edge >= CM / 2.0 else none,
        _faces(part.faces, words) if part.faces else none,
        words.of(wide, cm=f"{part.area / CM2:.0f}") if part.area >= CM2 / 2.0 else none,
        _before(part, words),
    )


def _faces(faces: Sequence[tuple[Face, str]], words: Words) -> str:
    return ", ".join(words.of(f"finish_face_{face}", label=label) for face, label in faces)


def _before(part: FinishPart, words: Words) -> str:
    """Faces that are coated before assembly, and strips to mask, those of one width together."""
    if not part.before:
        return ""
    lengths: dict[str, float] = {}
    for strip in part.masked:
        wide = f"{strip.width:.1f}"
        lengths[wide] = lengths.get(wide, 0.0) + strip.length
    masks = [
        words.of("finish_strip", cm=f"{length / CM:.1f}", width=wide)
        for wide, length in sorted(lengths.items(), key=lambda item: float(item[0]))
    ]
    if part.flat:
        masks.append(words.of("finish_flat", cm=f"{part.flat / CM2:.1f}"))
    faces = _faces(part.before, words)
    if not masks:
        return words.of("finish_coat_first", faces=faces)
    return words.of("finish_coat_masked", faces=faces, masks=", ".join(masks))


def _steps(finish: Finish, words: Words) -> Iterator[str]:
    area, finest = f"{finish.rest / CM2:.0f}", str(finish.grits[-1])
    yield words.of("finish_try")
    grits = ", ".join(map(str, finish.grits))
    yield words.of(
        "finish_sand", edge=f"{finish.edge / CM:.0f}", face=f"{finish.face / CM2:.0f}", grits=grits
    )
    coated = finish.first > 0.0
    if coated:
        masked = any(part.masked or part.flat for part in finish.parts)
        key = "finish_before_masked" if masked else "finish_before_bare"
        first = f"{finish.first / CM2:.0f}"
        yield words.of(key, area=first, coats=" ".join(_first_coats(finish, words)))
    dry = _time(finish.glue_dry, words)
    if finish.joints:
        key = "finish_join_coated" if coated else "finish_join"
        yield words.of(key, dry=dry, set=_time(finish.ca_set, words))
    if finish.last:
        yield words.some("finish_last", len(finish.last), letters=", ".join(finish.last), dry=dry)
    if finish.seam >= CM / 2.0:
        dry = _time(finish.fill_dry, words)
        yield words.of("finish_fill", seam=f"{finish.seam / CM:.0f}", dry=dry, grit=finest)
    yield words.of("finish_again_rest" if coated else "finish_again", area=area, grit=finest)
    yield from _coats(finish, area, finest, words)
    yield words.of("finish_air_cloth" if finish.cloth else "finish_air", air=_time(finish.air, words))


def _first_coats(finish: Finish, words: Words) -> Iterator[str]:
    """The coats of faces that get them before assembly."""
    for kind, count, rate, dry in (
        ("stain", finish.stains, finish.stain, finish.stain_dry),
        ("top", finish.tops, finish.top, finish.top_dry),
    ):
        if count:
            ml, wait = amount_text(rate * finish.first), _time(dry, words)
            yield words.some(f"finish_first_{kind}", count, ml=ml, dry=wait)


def _coats(finish: Finish, area: str, finest: str, words: Words) -> Iterator[str]:
    """Stain, what is rubbed between two stains, and top coats."""
    dry = _time(finish.stain_dry, words)
    if finish.stains:
        key = "finish_stain" if finish.stains == 1 else "finish_stain_first"
        yield words.of(key, area=area, ml=amount_text(finish.stain * finish.rest), dry=dry)
        yield words.of("finish_distress", grit=finest)
    if finish.stains == 2:
        yield words.of("finish_stain_second", dry=dry)
    elif finish.stains > 2:
        yield words.of("finish_stain_more", n=str(finish.stains - 1), dry=dry)
    if finish.tops:
        dry = _time(finish.top_dry, words)
        yield words.some("finish_top", finish.tops, ml=amount_text(finish.top * finish.rest), dry=dry)


def _bare(finish: Finish, words: Words) -> Iterator[str]:
    if finish.joints:
        yield words.some("finish_joint", finish.joints, fit=_fit(finish, words))
        if finish.coats:
            yield words.of("finish_room", coats=f"{finish.coats:.2f}")
    if finish.loose:
        yield words.some("finish_loose", len(finish.loose), letters=", ".join(finish.loose))
    if finish.cloth:
        yield words.of("finish_cloth")


def _fit(finish: Finish, words: Words) -> str:
    """The clearance of joints that slide, or the least and the greatest; nothing where none does."""
    told = list(dict.fromkeys(f"{side:.2f}" for side in finish.sides))
    if not told:
        return ""
    key = "finish_fit" if len(told) == 1 else "finish_fits"
    return words.of(key, least=told[0], side=told[-1])


def _time(minutes: float, words: Words) -> str:
    """Minutes, or hours where they are some."""
    if minutes < 60.0:
        return words.of("minutes", n=f"{minutes:.0f}")
    return words.of("hours", n=f"{minutes / 60.0:.3g}")
