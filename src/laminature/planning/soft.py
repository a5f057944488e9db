"""What a cushion takes: batting, cloth, thread, beads, piping, and glue for them."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.path import Path
from laminature.geometry.region import Region
from laminature.model.cushion import Upholstery
from laminature.planning.shop import CM2, DM2, M2, M, Shop


def soft_supplies(shop: Shop, cushions: Sequence[Upholstery]) -> None:
    """Put on the list what all cushions take together."""
    nested = shop.rates.spread.nested
    used = f"of which {100.0 * nested:.0f} % is used when pieces are cut out"
    for loft in sorted({made.batting.thickness for made in cushions}):
        layers = [r for made in cushions if made.batting.thickness == loft for r in made.batting.outlines]
        need = sum(r.flat.area for r in layers) / DM2
        why = f"{_count(len(layers), 'piece')}, {need:.2f} dm² together, {used}."
        shop.buy("batting", f"Batting, {loft:g} mm thick as compressed", need / nested, "dm²", why)
    if not cushions:
        return
    buy = [made.cloth.buy for made in cushions]
    strips = [made.piping.strip for made in cushions if made.piping is not None]
    need = sum(w * h for w, h in (*buy, *strips)) / DM2
    pieces = ", ".join(f"{w:.0f} × {h:.0f} mm" for w, h in buy)
    why = f"{_count(len(buy), 'piece')} of {pieces}"
    if strips:
        why += f" and {_count(len(strips), 'strip')} for piping"
    shop.buy("cloth", "Thin cloth", need / nested, "dm²", f"{why}, {need:.2f} dm² together, {used}.")
    thread = sum(made.stitching.thread for made in cushions) / M
    lengths = sum(len(made.stitching.needlefuls) for made in cushions)
    why = f"{_count(lengths, 'length')} as the stitch chart says, tails and knots counted."
    shop.buy("thread", "Strong thread", thread, "m", why)
    beads: dict[float, int] = {}
    for made in cushions:
        if made.buttoning.points:
            size = made.stitching.bead
            beads[size] = beads.get(size, 0) + len(made.buttoning.points)
    for size, count in sorted(beads.items()):
        shop.buy("beads", f"Beads, {size:g} mm", count, "pieces", "One for each button.")
    cords: dict[float, float] = {}
    for made in cushions:
        if made.piping is not None:
            cords[made.piping.cord] = cords.get(made.piping.cord, 0.0) + made.piping.length / M
    for cord, length in sorted(cords.items()):
        why = "The way round the cushion, and a tenth more for corners and the joint."
        shop.buy("piping_cord", f"Cord for piping, {cord:g} mm", length, "m", why)


def cloth_glue(cushions: Sequence[Upholstery], rate: float) -> tuple[float, str]:
    """Grams of glue at ``rate`` g/m² under batting and turned-under cloth, and how that came about."""
    if not cushions:
        return 0.0, ""
    flat = sum(r.flat.area for made in cushions for r in made.batting.outlines)
    flat += sum(p.flat.area for made in cushions for p in (made.panels.relief, made.panels.backing))
    under = sum(max(0.0, _area(made.cloth.cut) - _area(made.cloth.edge)) for made in cushions)
    words = f"; {flat / CM2:.0f} cm² under batting and panels and {under / CM2:.0f} cm² of turned-under cloth"
    return (flat + under) * rate / M2, f"{words} at {rate:g} g/m²"


def _area(path: Path) -> float:
    return float(Region(path).flat.area)


def _count(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
