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
from laminature.writers.in_line import in_line
from laminature.writers.prose import count, counted, headed, line, wrap

SQUARE = 20.0
#: Usual wrong factors, and how they come about. Programs take a number without a unit for 1/72, 1/90 or
#: 1/96 inch (PDF has 72 to the inch, ISO 32000-1, 8.3.2.3; CSS has 96, CSS Values and Units, 6.2; 90 is an
#: old custom, no source). Fitted pages: A4 on 8½ × 11 in paper 279.4/297, the other way round 210/215.9.
FACTORS = (
    (0.75, "72 units to the inch were taken for 96"),
    (0.9375, "90 units to the inch were taken for 96"),
    (1.25, "90 units to the inch were taken for 72"),
    (1.333, "96 units to the inch were taken for 72"),
    (0.9407, "an A4 page was fitted to letter paper"),
    (0.9727, "a letter page was fitted to A4 paper"),
)


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
    title = line(("Repair of " if repair else "") + (piece.title or design.title))
    if repair:
        there = {layer.part for layer in layers}
        piece = replace(piece, parts=tuple(part for part in piece.parts if part.name in there))
    blocks = [
        title + "\n" + "=" * len(title),
        _repaired(design, layers) if repair else _about(design, piece, layers, sheets),
        _files(design, sheets, words, whole=not repair),
        _size(design, layers, words),
        _cutting(layers, sheets, words),
        _gluing(piece, aids),
        *in_line(piece, layers, aids),
        *cushion_words(cushions, aids.parts, prefixes, words),
        *_faces_last(design, piece, layers),
        *_small_pieces(design, layers),
        headed("Cautions")
        + "\n"
        + "\n".join(wrap("- " + c, "  ") for c in cautions(design.cutter, bool(cushions), words)),
        wrap(words.of("cautions_end")),
    ]
    if used or remainders:
        blocks.insert(-2, _offcuts(used, remainders))
    if design.notes:
        blocks.insert(2, headed("Notes from the design") + "\n" + wrap(line(design.notes, 2000)))
    if design.credit:
        blocks.append(wrap(line(design.credit, 400)))
    if design.licence:
        blocks.append(wrap(f"Licence of the design: {line(design.licence, 200)}"))
    return ("\n\n".join(blocks) + "\n").encode("utf-8", "replace")


def _about(design: Design, piece: Piece, layers: Sequence[Layer], sheets: Sequence[Sheet]) -> str:
    n = float(design.scale)
    own = sum(1 for x in layers if x.role == "layer")
    return wrap(
        f"A kit to cut from {line(design.board.title)} and glue up in layers, at 1:{n:.10g}: "
        f"{count(len(piece.parts), 'part')}, {count(own, 'layer')}, {count(len(sheets), 'sheet')}."
    )


def _repaired(design: Design, layers: Sequence[Layer]) -> str:
    return wrap(
        f"Layers of this piece to be cut once more, at 1:{float(design.scale):.10g}: "
        f"{counted([x.label for x in layers])}. They are made from the design and from your boards as they "
        "are now: where you have measured a stack or changed the design since the first kit, compare a new "
        "layer with an old one before you glue."
    )


def _offcuts(used: Sequence[tuple[str, Offcut]], remainders: Sequence[Remainder]) -> str:
    lines = [headed("Offcuts")]
    if used:
        lines.append(wrap("These sheets are offcuts of yours; put the right one under the knife:"))
        lines += [wrap(f"  {sheet}: {_offcut(offcut)}", "    ") for sheet, offcut in used]
    if remainders:
        lines.append(
            wrap("Worth keeping when all is cut (the maps show where, dashed; write its name on each):")
        )
        lines += [
            wrap(f"  {_offcut(r.offcut)}" + (f", falls out of {r.fell_from}" if r.fell_from else ""), "    ")
            for r in remainders
        ]
    lines.append(
        wrap(
            "Say `laminature cut` with this folder's name when it is cut: then the list of your offcuts "
            "follows. Nothing has been entered in it yet."
        )
    )
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
        unit = words.of("millimetres")
        rows.append((f"sheets/{', '.join(cut)}", f"what the cutter gets, true size, in {unit}: {names}"))
    if "pdf" in kinds:
        rows.append(("sheets/sheets.pdf", "all sheets at true size, a page each, then the pages of bench/"))
    rows += [
        ("bench/*.svg", "for the bench, not for cutting: a map of each sheet, lists to tick off"),
        *((("guide.pdf", "how it is built, step by step, with templates at true size"),) if whole else ()),
        *((("view.html", "the piece to turn round in a browser, without a network"),) if whole else ()),
        ("supplies.csv", "what to buy, and how each figure was come by"),
        ("parts.csv", "every part: letter, count, layers, board, sizes"),
        *((("piece.glb", "the finished piece, to look at from all sides"),) if whole else ()),
        ("design.toml", "the design this kit was made from"),
        ("kit.toml", "what was written here, and where every layer lies"),
    ]
    lines = []
    for name, what in rows:
        if len(name) > 19:
            lines += [name, wrap(" " * 21 + what, " " * 21)]
        else:
            lines.append(wrap(f"{name:<21}{what}", " " * 21))
    return headed("What is what") + "\n" + "\n".join(lines)


def _size(design: Design, layers: Sequence[Layer], words: Words) -> str:
    lines = [headed("Check the size before you cut")]
    biggest = max(
        ((f.bounds, x) for x in layers for f in x.cut),
        key=lambda pair: max(pair[0][2] - pair[0][0], pair[0][3] - pair[0][1]),
        default=None,
    )
    told = "Open or print at 100 %, never fitted to the page. "
    if design.measuring_square:
        told += (
            f"Sheets and PDF pages with room for it have a dotted measuring square of {SQUARE:g} mm: "
            "measure it. It is in a group of its own (notes); switch that off or delete it before you cut. "
        )
    if biggest is not None:
        (x0, y0, x1, y1), layer = biggest
        told += (
            f"Or measure the largest shape, {layer.label}: it is cut {x1 - x0:.2f} × {y1 - y0:.2f} mm, "
            "before sanding. "
        )
    lines.append(wrap(told + "If it is wrong, one of these factors is the usual cause:"))
    for factor, cause in FACTORS:
        lines.append(f"  {factor:<7} the square measures {SQUARE * factor:5.2f} mm: {cause}")
    lines.append(
        wrap(
            "Twenty-five times too large or too small means inches taken for "
            f"{words.of('millimetres')}, or the reverse. "
            "Set the unit, resolution or page scaling right; do not stretch the drawing by eye."
        )
    )
    return "\n".join(lines)


def _cutting(layers: Sequence[Layer], sheets: Sequence[Sheet], words: Words) -> str:
    grey = words.of("grey")
    known = {(x.part, x.index): x for x in layers}
    lines = [
        headed("Cutting"),
        f"  marking   {grey}, thin solid line      labels and marks: draw first",
        "  score     ochre, dashes              score, do not cut through",
        "  opening   sea green, solid line      cut next",
        "  outline   plum, solid line           cut last",
        f"  notes     light {grey}, dots           never cut; drop the group",
        wrap(
            "In SVG these are groups, in DXF layers of the same names (MARKING, SCORE, …), in PDF layers "
            "that can be switched off. Label B3 is part B, third layer from below; alike parts share a "
            "letter and can stand in for each other. Draw labels with pigment ink or pencil: dye inks "
            "bleed under CA."
        ),
    ]
    mirrored = []
    for sheet in sheets:
        labels = [known[(p.part, p.layer)].label for p in sheet.placements if p.mirrored and p.piece == 0]
        if labels:
            mirrored.append(wrap(f"  {sheet.name}: {counted(labels)}", "    "))
    if mirrored:
        lines.append(
            wrap(
                "These layers are cut mirrored, as seen from below, so that their label comes to lie on a "
                "face that is hidden; turn them over before gluing (the map shows them hatched):"
            )
        )
        lines += mirrored
    bare = [x.label for x in layers if x.label_face is None]
    if bare:
        lines.append(
            wrap(f"Both faces of these show, so that they carry no label; see the map: {counted(bare)}.")
        )
    return "\n".join(lines)


def _gluing(piece: Piece, aids: Aids) -> str:
    kinds: dict[str, list[str]] = {}
    for part in (*piece.parts, *aids.parts):
        kinds.setdefault(part.letter, []).append(
            f"{line(part.title or part.name, 60)}, {count(part.stack.count, 'layer')}, "
            f"{part.thickness:.2f} mm thick"
        )
    lines = [headed("Parts")]
    for letter, words in kinds.items():
        lines.append(wrap(f"  {letter or '-':<3}{len(words)} × {words[0]}", "     "))
    lines.append(
        wrap(
            "Glue the layers of a part with all grain the same way, 1 lowest, edges flush; press them flat. "
            "Drop-outs and offcuts are worth keeping: they make test pieces, shims and cauls."
        )
    )
    return "\n".join(lines)


def _faces_last(design: Design, piece: Piece, layers: Sequence[Layer]) -> list[str]:
    """Layers that are glued on after assembly, where there are any."""
    titles = {p.name: p.title or p.name for p in piece.parts}
    boards = {**design.boards, design.board.name: design.board}
    found = {
        x.label: f"  {x.label}  {line(titles[x.part], 60)}, of {line(boards[x.board].title, 60)}: "
        "glue on last, after assembly"
        for x in layers
        if x.last and x.role == "layer"
    }
    if not found:
        return []
    words = (
        "Keep these apart. Glue up each part without its face and put the piece together: its joints go "
        "through all other layers. When the glue is hard, sand the core flush where joints come through, "
        "glue the face over it, and sand its edges when it is dry."
    )
    rows = [wrap(row, "      ") for row in found.values()]
    return [headed("Faces that come last") + "\n" + "\n".join([*rows, wrap(words)])]


def _small_pieces(design: Design, layers: Sequence[Layer]) -> list[str]:
    """Pieces that hang on bridges, and spares, where there are any."""
    lines = []
    bridged = [x.label for x in layers if x.bridges]
    if bridged:
        where = "a frame of board" if design.cutting.gather else "the sheet"
        words = (
            f"These stay tied to {where} by bridges, so that none gets lost; the map marks the bridges with "
            "small rings. Lift it off whole, cut the bridges with a knife and sand their stubs flush: "
        )
        lines.append(wrap(words + counted(bridged) + "."))
    spare = [x.label for x in layers if x.role == "spare"]
    if spare:
        lines.append(wrap(f"Spares, one more than the stacks want: {', '.join(spare)}."))
    return [headed("Small pieces") + "\n" + "\n".join(lines)] if lines else []
