"""What a cushion takes: batting, cloth, thread, beads, piping, and glue for them."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.path import Path
from laminature.geometry.region import Region
from laminature.model.cushion import Upholstery
from laminature.model.words import Words
from laminature.planning.shop import CM2, DM2, M2, M, Shop


def soft_supplies(shop: Shop, cushions: Sequence[Upholstery]) -> None:
    """Put on the list what all cushions take together."""
    nested = shop.rates.spread.nested
    said = shop.words
    used = said.of("nested", share=f"{100.0 * nested:.0f}")
    for loft in sorted({made.batting.thickness for made in cushions}):
        layers = [r for made in cushions if made.batting.thickness == loft for r in made.batting.outlines]
        need = sum(r.flat.area for r in layers) / DM2
        count = said.some("piece", len(layers))
        why = said.of("batting_why", pieces=count, area=f"{need:.2f}", nested=used)
        shop.buy("batting", said.of("batting_title", loft=f"{loft:g}"), need / nested, "dm²", why)
    if not cushions:
        return
    buy = [made.cloth.buy for made in cushions]
    strips = [made.piping.strip for made in cushions if made.piping is not None]
    need = sum(w * h for w, h in (*buy, *strips)) / DM2
    why = said.of(
        "cloth_why_piping" if strips else "cloth_why",
        pieces=said.some("piece", len(buy)),
        sizes=", ".join(f"{w:.0f} × {h:.0f} mm" for w, h in buy),
        strips=said.some("strip", len(strips)),
        area=f"{need:.2f}",
        nested=used,
    )
    shop.buy("cloth", said.of("cloth"), need / nested, "dm²", why)
    thread = sum(made.stitching.thread for made in cushions) / M
    lengths = sum(len(made.stitching.needlefuls) for made in cushions)
    why = said.of("thread_why", lengths=said.some("length", lengths))
    shop.buy("thread", said.of("thread"), thread, "m", why)
    beads: dict[float, int] = {}
    for made in cushions:
        if made.buttoning.points:
            size = made.stitching.bead
            beads[size] = beads.get(size, 0) + len(made.buttoning.points)
    for size, number in sorted(beads.items()):
        shop.buy("beads", said.of("beads", size=f"{size:g}"), number, "pieces", said.of("beads_why"))
    cords: dict[float, float] = {}
    for made in cushions:
        if made.piping is not None:
            cords[made.piping.cord] = cords.get(made.piping.cord, 0.0) + made.piping.length / M
    for cord, length in sorted(cords.items()):
        title = said.of("piping_cord", size=f"{cord:g}")
        shop.buy("piping_cord", title, length, "m", said.of("piping_cord_why"))


def cloth_glue(cushions: Sequence[Upholstery], rate: float, words: Words) -> tuple[float, str]:
    """Grams of glue at ``rate`` g/m² under batting and turned-under cloth, and how that came about."""
    if not cushions:
        return 0.0, ""
    flat = sum(r.flat.area for made in cushions for r in made.batting.outlines)
    flat += sum(p.flat.area for made in cushions for p in (made.panels.relief, made.panels.backing))
    under = sum(max(0.0, _area(made.cloth.cut) - _area(made.cloth.edge)) for made in cushions)
    told = words.of("fine_glue_soft", flat=f"{flat / CM2:.0f}", under=f"{under / CM2:.0f}", rate=f"{rate:g}")
    return (flat + under) * rate / M2, told


def _area(path: Path) -> float:
    return float(Region(path).flat.area)
