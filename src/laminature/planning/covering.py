"""Tasks with cloth, which come last because the vapour of CA whitens it; and what is put in at the end."""

from __future__ import annotations

from laminature.model.step import Assembly
from laminature.planning.bench import Bench, M
from laminature.planning.steps import is_soft, short_words


def upholster(bench: Bench) -> None:
    """Upholster each cushion: sew through the guide, glue the panels behind, draw the cloth round them all.

    README.txt and the guide tell the same order (:mod:`laminature.writers.cushion_words`).
    """
    rates = bench.rates.cloth
    for made in bench.cushions:
        name, count = made.name, len(made.buttoning.points)
        around = float(made.outline.flat.exterior.length) / M
        if made.panels.pricked:
            holes = len(made.panels.pricked)
            _soft(bench, name, "drill", "drill", rates.drill * holes, 0.0, holes)
        layers = len(made.batting.outlines)
        _soft(bench, name, "batting", "batting", rates.batting * layers, rates.dry, layers)
        _soft(bench, name, "cloth", "cloth", rates.cloth, 0.0)
        lines = count or len(made.buttoning.seams)
        if lines:
            _soft(
                bench, name, "buttons", "buttons" if count else "channels", rates.button * lines, 0.0, lines
            )
        _behind(bench, name)
        _soft(bench, name, "edge", "edge", rates.edge * around, rates.dry)
        if made.piping is not None:
            hands = rates.piping * made.piping.length / M
            _soft(bench, name, "piping", "piping", hands, rates.dry)


def _behind(bench: Bench, cushion: str) -> None:
    """Glue the panels behind the guide, where there are any."""
    letters = {s.name: s.letter for s in bench.stacks if s.cushion}
    behind = [letters[n] for n in (f"{cushion}-relief", f"{cushion}-backing") if n in letters]
    if behind:
        rates, words = bench.rates.cloth, bench.words
        panels, guide = words.of("cushion_then").join(behind), letters[f"{cushion}-guide"]
        title = words.of("task_behind", name=_named(cushion), panels=panels, guide=guide)
        _task(bench, f"behind/{cushion}", title, rates.back, rates.dry, cushion)


def _soft(
    bench: Bench, cushion: str, what: str, key: str, hands: float, wait: float, count: int | None = None
) -> None:
    """A task of a cushion; ``key`` is that of its words, with ``count`` in them where there is one."""
    name, words = _named(cushion), bench.words
    title = (
        words.of(f"task_{key}", name=name) if count is None else words.some(f"task_{key}", count, name=name)
    )
    _task(bench, f"{what}/{cushion}", title, hands, wait, cushion)


def _task(bench: Bench, name: str, title: str, hands: float, wait: float, cushion: str) -> None:
    after = bench.so_far((f"cushion {cushion}",)) or ("air",)
    bench.add(name, "upholster", title, hands, wait, after, (f"cushion {cushion}",))


def _named(cushion: str) -> str:
    return f"{cushion[:1].upper()}{cushion[1:]}"


def put_in(bench: Bench, assembly: Assembly | None) -> None:
    """Cushions that are glued on, and then what only lies or hangs in its place."""
    rates = bench.rates.join
    cushions = tuple(f"cushion {made.name}" for made in bench.cushions)
    steps = assembly.steps if assembly else ()
    for step in steps:
        if is_soft(bench, step) and not step.loose:
            mine = tuple(f"cushion {name}" for name in step.moving)
            wait = {"clamp": rates.clamp, "weight": rates.weight}.get(step.hold, 0.0)
            hands = rates.step + (rates.hand if step.hold == "hand" else 0.0)
            after = bench.so_far(mine) or ("air",)
            bench.add(f"step/{step.number}", "assemble", short_words(bench, step), hands, wait, after, mine)
    loose = sum(step.loose for step in steps) if steps else len(bench.cushions)
    if loose:
        after = bench.so_far(cushions) or ("air",)
        bench.add("put-in", "assemble", bench.words.of("task_put_in"), rates.loose * loose, 0.0, after)
