"""What README.txt says of cushions: what they are made of, in what order, and what must not meet them."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.cushion import Upholstery
from laminature.model.part import Part
from laminature.model.words import Words
from laminature.writers.prose import headed, line, wrap


def cushion_words(
    cushions: Sequence[Upholstery], panels: Sequence[Part], prefixes: Sequence[str], words: Words
) -> list[str]:
    """A block for each cushion, and the cautions once. ``prefixes`` begin the names of its files."""
    blocks = [_one(made, panels, prefix, words) for made, prefix in zip(cushions, prefixes, strict=True)]
    if blocks:
        blocks[-1] += "\n" + wrap(words.of("cushion_loft")) + "\n" + wrap(words.of("cushion_caution"))
    return blocks


def _one(made: Upholstery, panels: Sequence[Part], prefix: str, words: Words) -> str:
    about, *rows = cushion_steps(made, panels, prefix, words)
    title = words.of("cushion_title", name=line(made.name, 40), on=line(made.on, 40))
    lines = [headed(title[:1].upper() + title[1:]), wrap(about)]
    lines += [wrap(f"  {n}. {told}", "     ") for n, told in enumerate(rows, start=1)]
    return "\n".join(lines)


def cushion_steps(made: Upholstery, panels: Sequence[Part], prefix: str, words: Words) -> tuple[str, ...]:
    """What a cushion is made of, then what is done in its order, a sentence or two each.

    ``panels`` are parts, its own among them; ``prefix`` begins the names of its files.
    """
    x0, y0, x1, y1 = made.outline.bounds
    letters = {p.letter: p for p in panels if p.name.startswith(f"{made.name}-")}
    about = words.of(
        "cushion_about",
        width=f"{x1 - x0:.1f}",
        depth=f"{y1 - y0:.1f}",
        height=f"{made.envelope.height:.1f}",
        boards=", ".join(f"{n} {line(p.title.partition(': ')[2], 60)}" for n, p in letters.items()),
    )
    return (about, *_buttons(made, words), *_soft(made, prefix, words), *_after(made, panels, words))


def _buttons(made: Upholstery, words: Words) -> list[str]:
    panels, buttons = made.panels, made.buttoning
    if not buttons.points and not buttons.seams:
        return []
    if panels.pricked:
        return [words.of("cushion_pricked", drill=f"{panels.drill:.1f}")]
    return [words.of("cushion_holes", hole=f"{panels.hole:.1f}")]


def _soft(made: Upholstery, prefix: str, words: Words) -> list[str]:
    """Up to the last button."""
    batting, cloth, stitching = made.batting, made.cloth, made.stitching
    rows = []
    if batting.outlines:
        rows.append(
            words.of(
                "cushion_batting",
                file=f"{prefix}batting",
                layers=words.some("layer", len(batting.outlines)),
                thickness=f"{batting.thickness:g}",
                crown=f"{batting.crown:.1f}",
            )
        )
    width, height = (f"{v:.0f}" for v in cloth.buy)
    rows.append(words.of("cushion_cloth", file=f"{prefix}cloth", width=width, height=height))
    thread = f"{stitching.thread:.0f}"
    if made.buttoning.points:
        rows.append(
            words.of(
                "cushion_sew",
                beads=words.some("bead", len(made.buttoning.points)),
                bead=f"{stitching.bead:g}",
                file=f"{prefix}buttons-front",
                lengths=words.some("length", len(stitching.needlefuls)),
                thread=thread,
            )
        )
    elif made.buttoning.seams:
        rows.append(words.of("cushion_seams", n=str(len(made.buttoning.seams)), thread=thread))
    return rows


def _after(made: Upholstery, panels: Sequence[Part], words: Words) -> list[str]:
    """When all is sewn: the panels behind the guide, then the cloth round all of them, then the piping.

    The plan's tasks have the same order (:func:`laminature.planning.covering.upholster`).
    """
    known = {p.name.removeprefix(f"{made.name}-"): p.letter for p in panels if p.name.startswith(made.name)}
    behind = [known[kind] for kind in ("relief", "backing") if kind in known]
    rows = []
    if behind:
        knots = made.buttoning.points or made.buttoning.seams
        key = "cushion_behind_knots" if knots else "cushion_behind"
        told = words.of("cushion_then").join(behind)
        rows.append(words.of(key, panels=told, guide=known["guide"], first=behind[0]))
    rows.append(words.of("cushion_turn"))
    if made.piping is not None:
        rows.append(
            words.of(
                "cushion_piping",
                length=f"{made.piping.length:.0f}",
                cord=f"{made.piping.cord:g}",
                strip=f"{made.piping.strip[0]:.1f}",
            )
        )
    return rows
