"""README.txt of a kit: what is what, how to check its size, and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.model.aid import Aids
from laminature.model.cushion import Upholstery
from laminature.model.design import Design
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut, Remainder
from laminature.model.piece import Piece
from laminature.model.sheet import Sheet
from laminature.model.words import Words
from laminature.writers.cautions import cautions
from laminature.writers.cushion_words import cushion_words
from laminature.writers.in_line import in_line, small_pieces
from laminature.writers.prose import counted, headed, line, wrap

SQUARE = 20.0
#: Usual wrong factors, and how they come about. Programs take a number without a unit for 1/72, 1/90 or
#: 1/96 inch (PDF has 72 to the inch, ISO 32000-1, 8.3.2.3; CSS has 96, CSS Values and Units, 6.2; 90 is an
#: old custom, no source). Fitted pages: A4 on 8½ × 11 in paper 279.4/297, the other way round 210/215.9.
FACTORS = (
    (0.75, "factor_72_for_96"),
    (0.9375, "factor_90_for_96"),
    (1.25, "factor_90_for_72"),
    (1.333, "factor_96_for_72"),
    (0.9407, "factor_a4_on_letter"),
    (0.9727, "factor_letter_on_a4"),
)
#: What each line of a sheet's drawing is called in files; how it looks and what it is for stand in the words.
LINES = ("marking", "score", "opening", "outline", "notes")


NO_AIDS = Aids()


def readme(
    design: Design,
    piece: Piece,
    layers: Sequence[Layer],
    sheets: Sequence[Sheet],
    words: Words,
    aids: Aids = NO_AIDS,
    *,
    repair: bool = False,
    used: Sequence[tuple[str, Offcut]] = (),
    remainders: Sequence[Remainder] = (),
    cushions: Sequence[Upholstery] = (),
    prefixes: Sequence[str] = (),
) -> bytes:
    """The bytes of a kit's README.txt, UTF-8, in lines of at most 88 characters.

    ``layers`` are all that are cut, those of ``aids`` too. A ``repair`` holds only ``layers`` of the
    piece, to be cut once more. ``used`` are offcuts with the names of the sheets that they are,
    ``remainders`` the offcuts that come about. ``prefixes`` begin the names of each cushion's files.
    """
    title = line(piece.title or design.title)
    if repair:
        title = line(words.of("readme_repair", title=piece.title or design.title))
        there = {layer.part for layer in layers}
        piece = replace(piece, parts=tuple(part for part in piece.parts if part.name in there))
    blocks = [
        title + "\n" + "=" * len(title),
        _repaired(design, layers, words) if repair else _about(design, piece, layers, sheets, words),
        _files(design, sheets, words, whole=not repair),
        _size(design, layers, words),
        _cutting(layers, sheets, words),
        _gluing(piece, aids, words),
        *in_line(piece, layers, aids, words),
        *cushion_words(cushions, aids.parts, prefixes, words),
        *_faces_last(design, piece, layers, words),
        *_small_pieces(design, layers, words),
        headed(words.of("readme_cautions"))
        + "\n"
        + "\n".join(wrap("- " + c, "  ") for c in cautions(design.cutter, bool(cushions), words)),
        wrap(words.of("cautions_end")),
    ]
    if used or remainders:
        blocks.insert(-2, _offcuts(used, remainders, words))
    if design.notes:
        told = [wrap(line(told, 2000)) for told in design.notes.strip().splitlines()]
        blocks.insert(2, headed(words.of("readme_notes")) + "\n" + "\n".join(told))
    if design.credit:
        blocks.append(wrap(line(design.credit, 400)))
    if design.licence:
        blocks.append(wrap(f"{words.of('licence')} {line(design.licence, 200)}"))
    return ("\n\n".join(blocks) + "\n").encode("utf-8", "replace")


def _about(
    design: Design, piece: Piece, layers: Sequence[Layer], sheets: Sequence[Sheet], words: Words
) -> str:
    own = sum(1 for x in layers if x.role == "layer")
    return wrap(
        words.of(
            "readme_about",
            board=line(design.board.title),
            scale=_scale(design),
            parts=words.some("part", len(piece.parts)),
            layers=words.some("layer", own),
            sheets=words.some("sheet", len(sheets)),
        )
    )


def _repaired(design: Design, layers: Sequence[Layer], words: Words) -> str:
    return wrap(
        words.of("readme_repair_about", scale=_scale(design), labels=counted([x.label for x in layers]))
    )


def _scale(design: Design) -> str:
    return f"1:{float(design.scale):.10g}"


def _offcuts(used: Sequence[tuple[str, Offcut]], remainders: Sequence[Remainder], words: Words) -> str:
    lines = [headed(words.of("readme_offcuts"))]
    if used:
        lines.append(wrap(words.of("readme_offcuts_used")))
        lines += [wrap(f"  {sheet}: {_offcut(offcut)}", "    ") for sheet, offcut in used]
    if remainders:
        lines.append(wrap(words.of("readme_offcuts_kept")))
        lines += [
            wrap(
                f"  {_offcut(r.offcut)}"
                + (f", {words.of('falls_out_of', what=r.fell_from)}" if r.fell_from else ""),
                "    ",
            )
            for r in remainders
        ]
    lines.append(wrap(words.of("readme_offcuts_list")))
    return "\n".join(lines)


def _offcut(offcut: Offcut) -> str:
    x0, y0, x1, y1 = offcut.outline.bounds
    return f"{line(offcut.name, 20)}, {x1 - x0:.1f} × {y1 - y0:.1f} mm"


def _files(design: Design, sheets: Sequence[Sheet], words: Words, *, whole: bool = True) -> str:
    kinds = design.cutting.files
    names = sheets[0].name if len(sheets) == 1 else "sheet-1, sheet-2, …"
    rows: list[tuple[str, str]] = []
    cut = [f"*.{kind}" for kind in kinds if kind != "pdf"]
    if cut:
        rows.append((f"sheets/{', '.join(cut)}", words.of("readme_file_sheets", names=names)))
    if "pdf" in kinds:
        rows.append(("sheets/sheets.pdf", words.of("readme_file_pages")))
    rows.append(("bench/*.svg", words.of("readme_file_bench")))
    if whole:
        rows.append(("guide.pdf", words.of("readme_file_guide")))
        rows.append(("view.html", words.of("readme_file_view")))
    rows.append(("supplies.csv", words.of("readme_file_supplies")))
    rows.append(("parts.csv", words.of("readme_file_parts")))
    if whole:
        rows.append(("piece.glb", words.of("readme_file_model")))
    rows.append(("design.toml", words.of("readme_file_design")))
    rows.append(("kit.toml", words.of("readme_file_manifest")))
    lines = []
    for name, what in rows:
        if len(name) > 19:
            lines += [name, wrap(" " * 21 + what, " " * 21)]
        else:
            lines.append(wrap(f"{name:<21}{what}", " " * 21))
    return headed(words.of("readme_files")) + "\n" + "\n".join(lines)


def _size(design: Design, layers: Sequence[Layer], words: Words) -> str:
    biggest = max(
        ((f.bounds, x) for x in layers for f in x.cut),
        key=lambda pair: max(pair[0][2] - pair[0][0], pair[0][3] - pair[0][1]),
        default=None,
    )
    told = [words.of("readme_size_open")]
    if design.measuring_square:
        told.append(words.of("readme_size_square", side=f"{SQUARE:g}"))
    if biggest is not None:
        (x0, y0, x1, y1), layer = biggest
        width, height = f"{x1 - x0:.2f}", f"{y1 - y0:.2f}"
        told.append(words.of("readme_size_shape", label=layer.label, width=width, height=height))
    lines = [headed(words.of("readme_size")), wrap(" ".join((*told, words.of("readme_size_wrong"))))]
    for factor, cause in FACTORS:
        side = f"{SQUARE * factor:5.2f}"
        lines.append(f"  {factor:<7} {words.of('readme_size_factor', side=side, cause=words.of(cause))}")
    lines.append(wrap(words.of("readme_size_inches")))
    return "\n".join(lines)


def _cutting(layers: Sequence[Layer], sheets: Sequence[Sheet], words: Words) -> str:
    known = {(x.part, x.index): x for x in layers}
    lines = [headed(words.of("readme_cutting"))]
    for name in LINES:
        look, use = words.of(f"readme_line_{name}"), words.of(f"readme_use_{name}")
        lines.append(f"  {name:<10}{look:<27}{use}")
    lines.append(wrap(words.of("readme_groups")))
    mirrored = []
    for sheet in sheets:
        labels = [known[(p.part, p.layer)].label for p in sheet.placements if p.mirrored and p.piece == 0]
        if labels:
            mirrored.append(wrap(f"  {sheet.name}: {counted(labels)}", "    "))
    if mirrored:
        lines.append(wrap(words.of("readme_mirrored")))
        lines += mirrored
    bare = [x.label for x in layers if x.label_face is None]
    if bare:
        lines.append(wrap(words.of("readme_bare", labels=counted(bare))))
    return "\n".join(lines)


def _gluing(piece: Piece, aids: Aids, words: Words) -> str:
    kinds: dict[str, list[str]] = {}
    for part in (*piece.parts, *aids.parts):
        told = words.of(
            "readme_part",
            title=line(part.title or part.name, 60),
            layers=words.some("layer", part.stack.count),
            thickness=f"{part.thickness:.2f}",
        )
        kinds.setdefault(part.letter, []).append(told)
    lines = [headed(words.of("readme_parts"))]
    for letter, alike in kinds.items():
        lines.append(wrap(f"  {letter or '-':<3}{len(alike)} × {alike[0]}", "     "))
    lines.append(wrap(words.of("readme_glue")))
    return "\n".join(lines)


def _faces_last(design: Design, piece: Piece, layers: Sequence[Layer], words: Words) -> list[str]:
    """Layers that are glued on after assembly, where there are any."""
    titles = {p.name: p.title or p.name for p in piece.parts}
    boards = {**design.boards, design.board.name: design.board}
    found: dict[str, str] = {}
    for x in layers:
        if x.last and x.role == "layer":
            of, board = line(titles[x.part], 60), line(boards[x.board].title, 60)
            found[x.label] = f"  {x.label}  " + words.of("readme_last_row", title=of, board=board)
    if not found:
        return []
    rows = [wrap(row, "      ") for row in found.values()]
    return [headed(words.of("readme_last")) + "\n" + "\n".join([*rows, wrap(words.of("readme_last_about"))])]


def _small_pieces(design: Design, layers: Sequence[Layer], words: Words) -> list[str]:
    """Pieces that hang on bridges, and spares, where there are any."""
    lines = [wrap(told) for told in small_pieces(layers, design.cutting.gather, words)]
    return [headed(words.of("readme_small")) + "\n" + "\n".join(lines)] if lines else []
