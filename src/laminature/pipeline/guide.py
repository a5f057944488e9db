"""What the guide tells of a build: its words, numbers and drawings, gathered from all stages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.dimensions import dimension_drawing
from laminature.drawings.exploded import exploded, step_drawing
from laminature.drawings.gantt import gantt
from laminature.drawings.stack_diagram import stack_diagram
from laminature.drawings.whole import whole
from laminature.drawings.words import text_span
from laminature.model.drawing import Drawing
from laminature.model.guide import Guide, GuideStack, GuideStep, Page, Shopping, Size
from laminature.model.jig import Corner
from laminature.model.layer import Layer
from laminature.model.step import Step
from laminature.model.supply import Supply
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.pipeline.templates import of_sheets, on_paper, page, pages_of, tiles, true_size
from laminature.planning.alike import runs_of_alike
from laminature.planning.words import step_words
from laminature.units import in_inches, in_mm
from laminature.writers.cautions import cautions
from laminature.writers.cushion_words import cushion_steps
from laminature.writers.finish_words import finish_page
from laminature.writers.in_line import held, small_pieces
from laminature.writers.supplies import amount_text
from laminature.writers.svg import svg

Array = NDArray[np.float64]
#: Steps that are drawn: what comes later is told in words alone.
PICTURES = 80
#: Left below what is drawn of a page of the bench, mm.
FOOT = 14.5
#: What is cut off at both sides of a page of the bench, at most, and left beside what is written there, mm.
EDGE, BESIDE = 13.0, 1.0


def guide_of(build: Build) -> Guide:
    """The guide of a whole kit."""
    design, piece, layers = build.design, build.piece, build.layers
    memory = build.memory
    cushions = build.cushions
    words = guide_words(design.language)
    true = tuple(true_size(build))
    first, pages = pages_of(true, words)
    rows, about = held(piece, build.to_cut, build.aids, words)
    templates = (*build.drawings, *(d for d in true if not on_paper(d)))
    return Guide(
        title=piece.title or design.title,
        scale=f"1:{float(design.scale):.10g}",
        language=design.language,
        sizes=_sizes(build),
        whole=svg(whole(piece, layers, cushions=cushions, memory=memory)),
        exploded=svg(
            exploded(piece, layers, build.assembly, joints=build.joints, cushions=cushions, memory=memory)
        ),
        cautions=cautions(design.cutter, bool(cushions), words),
        supplies=tuple(row_of(s, build.prices.currency, words) for s in build.supplies),
        total=total_of(build.supplies, build.prices.currency),
        maps=tuple(cropped(d) for d in build.maps),
        stacks=tuple(_stacks(build)),
        held=rows,
        held_about=about,
        small=small_pieces(build.to_cut, design.cutting.gather, words),
        steps=tuple(_steps(build)),
        plan=_plan(build),
        cushions=tuple(
            cushion_steps(made, build.aids.parts, prefix, words)
            for made, prefix in zip(cushions, cushion_prefixes(build), strict=True)
        ),
        first=first,
        pages=pages,
        templates=tuple(page(d) for d in templates),
        tiles=tuple(tiles(templates, words, of_sheets(build))),
        gauges=any(d.name == "gauges" for d in build.helpers),
        jigs=bool(build.jigs),
        finish=finish_page(build.finish, words) if build.piece.parts else None,
        notes=design.notes,
        credit=design.credit,
        licence=design.licence,
        dimensions=svg(
            dimension_drawing(
                piece,
                layers,
                design.scale,
                words,
                cushions=cushions,
                angle="first" if design.language == "british" else "third",
                unit=design.unit or "in",
                memory=memory,
            )
        ),
        photo=None if design.photo is None else design.picture,
        photo_file=design.photo or "",
        caption=design.caption,
        photos=design.photos,
    )


def piece_picture(build: Build) -> bytes:
    """The whole piece as a line drawing, as SVG."""
    return svg(whole(build.piece, build.layers, cushions=build.cushions, memory=build.memory))


def cushion_prefixes(build: Build) -> tuple[str, ...]:
    """What the names of each cushion's files begin with; a name of its own only where there are several."""
    if len(build.cushions) == 1:
        return ("cushion/",)
    return tuple(f"cushion/{n}-" for n in range(1, len(build.cushions) + 1))


def cropped(drawing: Drawing) -> Page:
    """A page of the bench, with how much of its foot and its sides is empty."""
    lowest = min(
        (*(float(s.path.flattened[:, 1].min()) for s in drawing.strokes), *(t.y for t in drawing.texts)),
        default=0.0,
    )
    spans = [text_span(t) for t in drawing.texts]
    spans += [(float(x.min()), float(x.max())) for x in (s.path.flattened[:, 0] for s in drawing.strokes)]
    room = min((min(left, drawing.width - right) for left, right in spans), default=drawing.width)
    edge = max(0.0, min(EDGE, room - BESIDE))
    return replace(page(drawing), foot=max(0.0, lowest - FOOT), edge=edge)


def _sizes(build: Build) -> tuple[Size, ...]:
    """Outer sizes of the piece with its cushions, full-size and in miniature."""
    n = float(build.design.scale)
    words = guide_words(build.design.language)
    low, high = _extent(build)

    def told(full: float) -> str:
        inches, mm = in_inches(full), in_mm(full, 0)
        return f"{mm} ({inches})" if build.design.unit == "mm" else f"{inches} ({mm})"

    return tuple(
        Size(words.of(name), told((b - a) * n), in_mm(b - a, 1))
        for name, a, b in zip(("width", "depth", "height"), low, high, strict=True)
    )


def _extent(build: Build) -> tuple[Array, Array]:
    """The lowest and the highest corner of a box about the piece with its cushions, mm."""
    points = [
        part.pose.to_piece(np.column_stack([ring, np.full(len(ring), z)]))
        for part in build.piece.parts
        for layer in build.layers
        if layer.part == part.name
        for flat in layer.regions
        for ring in (np.asarray(flat.exterior.coords),)
        for z in (layer.lower, layer.upper)
    ]
    for made in build.cushions:
        ring = made.outline.outline.flattened
        top = made.batting.crown + made.envelope.cloth
        points.append(made.pose.to_piece(np.column_stack([ring, np.full(len(ring), top)])))
    every = np.concatenate(points)
    return every.min(axis=0), every.max(axis=0)


def row_of(supply: Supply, currency: str, words: Words) -> Shopping:
    """A thing to buy, in words."""
    price = "" if supply.price is None else f"{supply.price * supply.packs:.2f} {currency}".strip()
    packs = f"{supply.packs} × {amount_text(supply.pack)} {supply.unit}"
    if supply.pack == 1.0:
        # One by one: two sheets, not two times one sheet.
        packs = f"{supply.packs} {_counted(supply.unit, supply.packs, words)}"
    return Shopping(supply.title, f"{amount_text(supply.amount)} {supply.unit}", packs, supply.why, price)


def _counted(unit: str, count: int, words: Words) -> str:
    """A unit as it is said of so many."""
    for kind in ("sheets", "pieces", "pairs"):
        if unit in (words.some(f"unit_{kind}", 1), words.some(f"unit_{kind}", 2)):
            return words.some(f"unit_{kind}", count)
    return unit


def total_of(supplies: Sequence[Supply], currency: str) -> str:
    """What all of it costs, as far as prices are known; "" where none is."""
    known = [s.price * s.packs for s in supplies if s.price is not None]
    return f"{sum(known):.2f} {currency}".strip() if known else ""


def _stacks(build: Build) -> Iterator[GuideStack]:
    """One entry for each letter, in their order: the piece's own, then aids of more than one layer."""
    words = guide_words(build.design.language)
    seen: dict[str, int] = {}
    parts = (*build.piece.parts, *(part for part in build.aids.parts if part.stack.count > 1))
    layers = (*build.layers, *build.aids.layers)
    for part in parts:
        seen[part.letter] = seen.get(part.letter, 0) + 1
    for part in parts:
        if part.letter in seen:
            count = seen.pop(part.letter)
            mine = sorted((x for x in layers if x.part == part.name), key=lambda x: x.index)
            labels = tuple(_labelled(x, words) for x in mine)
            picture = svg(stack_diagram(part, layers, words))
            yield GuideStack(
                part.letter, part.title or part.name, count, in_mm(part.thickness), labels, picture
            )


def _labelled(layer: Layer, words: Words) -> str:
    """A layer's label, and how it is cut and when it comes on."""
    if not (layer.mirrored or layer.last):
        return layer.label
    kind = "both" if layer.mirrored and layer.last else "mirrored" if layer.mirrored else "last"
    return words.of(f"layer_{kind}", label=layer.label)


def _steps(build: Build) -> Iterator[GuideStep]:
    """Every step; many in a row that are alike are told and drawn once."""
    known = guide_words(build.design.language)
    for number, run in enumerate(runs_of_alike(build.assembly, build.piece)):
        step = run[0]
        picture = None
        if number < PICTURES:
            drawn = step_drawing(
                build.piece,
                build.layers,
                build.assembly,
                step.number,
                joints=build.joints,
                cushions=build.cushions,
                memory=build.memory,
            )
            picture = svg(drawn)
        told = step_told(step, build)
        if len(run) > 1:
            told += " " + known.of("steps_alike", first=str(run[1].number), last=str(run[-1].number))
        yield GuideStep(step.number, told, picture)


def step_told(step: Step, build: Build) -> str:
    """A step in words, with the jigs that it wants."""
    words = guide_words(build.design.language)
    return " ".join([step_words(step, build.piece, words), *_helped(step.number, build)])


def _helped(step: int, build: Build) -> Iterator[str]:
    """What is said of the jigs of a step."""
    known = guide_words(build.design.language)
    for jig in build.jigs:
        if step in jig.steps:
            if isinstance(jig, Corner):
                yield known.of("use_corner", number=str(jig.number), angle=f"{jig.angle:g}")
            else:
                yield known.of("use_place", number=str(jig.number), onto=jig.letters[1])


def _plan(build: Build) -> tuple[Page, ...]:
    return tuple(cropped(d) for d in gantt(build.plan, guide_words(build.design.language)))
