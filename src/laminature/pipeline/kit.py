"""A build as the files of a kit: drawings and values to bytes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from laminature.data import library
from laminature.drawings.checklist import cutting_list, stack_list
from laminature.drawings.cushion import batting_drawings, cloth_drawing, stitch_charts
from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.drawings.squares import with_squares
from laminature.model.aid import Aids
from laminature.model.board import Board
from laminature.model.cushion import Upholstery
from laminature.model.cutting import KNIFE, Cutting
from laminature.model.design import Design
from laminature.model.drawing import Drawing
from laminature.model.fit import HAND_STACKED
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.guide import cushion_prefixes, guide_of
from laminature.pipeline.reading import guide_words
from laminature.sheets.coupon import coupon_sheets
from laminature.sheets.route import routed
from laminature.upholstery.mesh import mesh_of
from laminature.writers.dxf import dxf
from laminature.writers.gcode import gcode
from laminature.writers.glb import glb
from laminature.writers.guide import guide_pages, guide_pdf
from laminature.writers.hpgl import hpgl
from laminature.writers.pdf import pdf
from laminature.writers.photo import check_photos
from laminature.writers.readme import readme
from laminature.writers.supplies import supplies_csv
from laminature.writers.svg import svg
from laminature.writers.table import parts_csv
from laminature.writers.view import view

#: Kinds of files in a kit, by how their names begin and end. What is of no kind is in every kit.
KINDS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "svg": (("sheets/", ".svg"),),
    "dxf": (("sheets/", ".dxf"),),
    "pdf": (("sheets/", ".pdf"),),
    "machine": (("sheets/", ".hpgl"), ("sheets/", ".gcode")),
    "bench": (("bench/", ""),),
    "lists": (("parts", ".csv"), ("supplies", ".csv")),
    "model": (("piece", ".glb"), ("view", ".html")),
    "cushion": (("cushion/", ""),),
    "guide": (("guide", ".pdf"),),
}


def kind_of(name: str) -> str | None:
    """The kind of a kit's file by its name; None for what is in every kit."""
    for kind, shapes in KINDS.items():
        if any(name.startswith(begin) and name.endswith(end) for begin, end in shapes):
            return kind
    return None


def kit_files(build: Build, kinds: Iterable[str] | None = None) -> dict[str, bytes]:
    """The files of a kit by their names in its folder, but for the manifest: all, or some kinds only."""
    chosen = frozenset(KINDS if kinds is None else kinds)
    made = _all_files(build, guide="guide" in chosen)
    return {name: data for name, data in made.items() if kind_of(name) in (None, *chosen)}


def guide_pictures(build: Build) -> tuple[bytes, ...]:
    """The pages of the guide as PNG, to leaf through on a screen."""
    return guide_pages(guide_of(build), library.guide(), guide_words(build.design.language))


def check_pictures(design: Design) -> None:
    """Raises WriterError for pictures of a design that the guide cannot show."""
    if design.photo is not None:
        check_photos(((design.photo, design.picture), *((p.file, p.data) for p in design.photos)))


def _all_files(build: Build, *, guide: bool) -> dict[str, bytes]:
    words = guide_words(build.design.language)
    if guide and build.only is None:
        # Said before any work is done, and not after.
        check_pictures(build.design)
    files = {"design.toml": build.design.source}
    files |= _sheet_files(build.drawings, _pages(build), build.design.cutting)
    files |= _machine_files(build)
    build.say(0.9, "writing the lists")
    there = {layer.part for layer in build.to_cut}
    everything = replace(build.piece, parts=tuple(p for p in build.cut_parts if p.name in there))
    files["parts.csv"] = parts_csv(everything, build.cut_layers, float(build.design.scale))
    files["supplies.csv"] = supplies_csv(build.supplies, words, build.prices.currency)
    prefixes = cushion_prefixes(build)
    if build.only is None:
        skins = [(made.name, made.pose, mesh_of(made)) for made in build.cushions]
        files["piece.glb"] = glb(build.piece.parts, build.layers, skins)
        files["view.html"] = view(
            build.piece.title or build.design.title,
            words.of("made_at", scale=f"1:{float(build.design.scale):.10g}"),
            build.piece.parts,
            build.layers,
            library.view(),
            words,
            skins,
        )
        files |= {f"bench/{d.name}.svg": svg(with_squares(d)) for d in build.helpers}
        for made, prefix in zip(build.cushions, prefixes, strict=True):
            files |= _cushion_files(made, prefix, build.design.cutting, words)
        if guide:
            build.say(0.93, "setting the guide")
            files["guide.pdf"] = guide_pdf(guide_of(build), library.guide(), words)
    files["README.txt"] = readme(
        build.design,
        build.piece,
        build.to_cut,
        build.sheets,
        words,
        build.aids if build.only is None else Aids(),
        repair=build.only is not None,
        used=build.used,
        remainders=build.remainders,
        cushions=build.cushions if build.only is None else (),
        prefixes=prefixes if build.only is None else (),
    )
    build.say(1.0, "done")
    return files


def _cushion_files(made: Upholstery, prefix: str, cutting: Cutting, words: Words) -> dict[str, bytes]:
    batting, charts = batting_drawings(made, words), stitch_charts(made, words)
    cloth = cloth_drawing(made, words)
    drawings = (cloth, *batting, *charts)
    files = {f"{prefix}{d.name}.svg": svg(d) for d in drawings}
    if "dxf" in cutting.files:
        files |= {f"{prefix}{d.name}.dxf": dxf(d) for d in batting}
    return files | {f"{prefix}cushion.pdf": pdf(drawings)}


def coupon_files(board: Board) -> dict[str, bytes]:
    """The files of a test cut that measures a board's stacks, fit and kerf."""
    words = guide_words("british")
    layers, sheets, notes = coupon_sheets(board, "knife", HAND_STACKED, words)
    boards = {board.name: board}
    drawings = tuple(routed(sheet_drawing(s, layers, boards, True, words))[0] for s in sheets)
    files = _sheet_files(drawings, tuple(map_drawing(s, layers, boards, words) for s in sheets), KNIFE)
    files["README.txt"] = notes.encode()
    return files


def _pages(build: Build) -> tuple[Drawing, ...]:
    """What lies on the bench beside the sheets: a map of each, and the lists to tick off."""
    parts, words = build.cut_parts, guide_words(build.design.language)
    lists: list[Drawing] = []
    for sheet, route in zip(build.sheets, build.routes, strict=True):
        lists += cutting_list(
            sheet, route.pieces, build.sheet_layers, parts, words, build.facts(sheet, route)
        )
    return (*build.maps, *lists, *stack_list(build.to_cut, parts, build.boards, words))


def _sheet_files(
    drawings: tuple[Drawing, ...], pages: tuple[Drawing, ...], cutting: Cutting
) -> dict[str, bytes]:
    files = {}
    for drawing in drawings:
        if "svg" in cutting.files:
            files[f"sheets/{drawing.name}.svg"] = svg(drawing)
        if "dxf" in cutting.files:
            files[f"sheets/{drawing.name}.dxf"] = dxf(drawing)
    if "pdf" in cutting.files:
        files["sheets/sheets.pdf"] = pdf((*drawings, *pages))
    return files | {f"bench/{page.name}.svg": svg(page) for page in pages}


def _machine_files(build: Build) -> dict[str, bytes]:
    """HP-GL and G-code of the sheets, where the design asks for them."""
    kind, cutting = build.design.cutter, build.design.cutting
    words, files = guide_words(build.design.language), {}
    for sheet, drawing in zip(build.sheets, build.driven, strict=True):
        board = build.boards[sheet.board]
        passes = cutting.passes or board.passes(kind)
        if "hpgl" in cutting.files:
            files[f"sheets/{drawing.name}.hpgl"] = hpgl(drawing, cutting, passes)
        if "gcode" in cutting.files:
            files[f"sheets/{drawing.name}.gcode"] = gcode(drawing, kind, cutting, board, words)
    return files
