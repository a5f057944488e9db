"""Tasks of the finish: what is coated before assembly, and all the rest when the piece stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from laminature.planning.batches import DM2
from laminature.planning.bench import Bench, M
from laminature.planning.measures import seam, surface


def coat_first(bench: Bench) -> None:
    """Mask and coat the faces that a brush hardly reaches once the piece stands, and uncover them."""
    early, coat = bench.early, bench.rates.coat
    if not early:
        return
    names = tuple(early)
    strip = sum(one.length for made in early.values() for one in made.masked) / M
    if strip > 0.0:
        title = bench.words.of("task_mask", length=f"{100.0 * strip:.0f}")
        bench.add("first/mask", "mask", title, coat.mask * strip, 0.0, bench.so_far(names), names)
    _coats(bench, "first/", "task_first_", sum(made.area for made in early.values()) / DM2, names)
    if strip > 0.0:
        title = bench.words.of("task_uncover")
        bench.add("first/uncover", "mask", title, coat.uncover * strip, 0.0, bench.so_far(names), names)


def finish(bench: Bench) -> None:
    """Fill, sand once more, stain, coat, and air."""
    rates = bench.rates
    whole = bench.wood
    area = (surface(bench.stacks) - sum(made.area for made in bench.early.values())) / DM2
    seams = sum(seam(j, bench.piece) for j in bench.joints) / M
    if seams > 0.0:
        title = bench.words.of("task_fill", length=f"{100.0 * seams:.0f}")
        hands = rates.fill.begin + rates.fill.seam * seams
        bench.add("fill", "fill", title, hands, rates.fill.dry, bench.so_far(whole), whole)
    title = bench.words.of("task_sand_again", area=f"{area:.1f}")
    hands = rates.sand.part + rates.sand.again * area
    bench.add("sand-again", "sand", title, hands, 0.0, bench.so_far(whole), whole)
    _coats(bench, "", "task_", area, whole)
    everything = [s.name for s in bench.stacks]
    title = bench.words.of("task_air")
    bench.add("air", "air", title, 0.0, rates.coat.air, bench.so_far(everything), everything)


def _coats(bench: Bench, first: str, key: str, area: float, parts: Sequence[str]) -> None:
    """All coats on ``area`` dm² of parts, one after the other."""
    for kind, n, count, rate, wait in _each(bench):
        name = kind if count == 1 else f"{kind}/{n + 1}"
        called = f"{key}{kind}" if count == 1 else f"{key}{kind}_coat"
        title = bench.words.of(called, n=str(n + 1), all=str(count), area=f"{area:.1f}")
        hands = bench.rates.coat.begin + rate * area
        bench.add(first + name, kind, title, hands, wait, bench.so_far(parts), parts)


def _each(bench: Bench) -> Iterator[tuple[str, int, int, float, float]]:
    coat = bench.rates.coat
    for n in range(coat.stains):
        yield "stain", n, coat.stains, coat.stain, coat.stain_dry
    for n in range(coat.tops):
        yield "top", n, coat.tops, coat.top, coat.top_dry
