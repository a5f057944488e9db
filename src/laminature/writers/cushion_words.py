"""What README.txt says of cushions: what they are made of, in what order, and what must not meet them."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.cushion import Upholstery
from laminature.model.part import Part
from laminature.writers.prose import count, headed, line, wrap

_CAUTION = (
    "Harden, cure, stain, top-coat and air the woodwork first, for 24 hours at least, and only then put "
    "batting, cloth and thread near it. Thin CA on cotton, wool or tissue becomes hot within seconds and "
    "fumes; its vapour whitens cloth and dark stain. Never use cotton swabs, cotton gloves or tissue with "
    "it. The safety data sheet of your glue comes first."
)
_LOFT = (
    "Batting does not scale: four layers of the quarter-inch kind would stand for a foot. Take the "
    "thinnest, split it if need be, and measure a layer as it lies under stretched cloth."
)


def cushion_words(
    cushions: Sequence[Upholstery], panels: Sequence[Part], prefixes: Sequence[str]
) -> list[str]:
    """A block for each cushion, and the cautions once. ``prefixes`` begin the names of its files."""
    blocks = [_one(made, panels, prefix) for made, prefix in zip(cushions, prefixes, strict=True)]
    if blocks:
        blocks[-1] += "\n" + wrap(_LOFT) + "\n" + wrap(_CAUTION)
    return blocks


def _one(made: Upholstery, panels: Sequence[Part], prefix: str) -> str:
    about, *rows = cushion_steps(made, panels, prefix)
    lines = [headed(f"{line(made.name, 40).capitalize()} on {line(made.on, 40)}"), wrap(about)]
    lines += [wrap(f"  {n}. {words}", "     ") for n, words in enumerate(rows, start=1)]
    return "\n".join(lines)


def cushion_steps(made: Upholstery, panels: Sequence[Part], prefix: str) -> tuple[str, ...]:
    """What a cushion is made of, then what is done in its order, a sentence or two each.

    ``panels`` are parts, its own among them; ``prefix`` begins the names of its files.
    """
    x0, y0, x1, y1 = made.outline.bounds
    letters = {p.letter: p for p in panels if p.name.startswith(f"{made.name}-")}
    boards = ", ".join(f"{letter} {line(p.title.partition(': ')[2], 60)}" for letter, p in letters.items())
    about = (
        f"Panels of {x1 - x0:.1f} × {y1 - y0:.1f} mm, the whole {made.envelope.height:.1f} mm high. "
        f"Boards: {boards}. Glue each up, harden it, and let it cure."
    )
    return (about, *_buttons(made), *_soft(made, prefix))


def _buttons(made: Upholstery) -> list[str]:
    panels, buttons = made.panels, made.buttoning
    if not buttons.points and not buttons.seams:
        return []
    if panels.pricked:
        return [
            f"The guide is only pricked where threads go: when it is hard, drill {panels.drill:.1f} mm there "
            "and take the burr off, which would cut thread."
        ]
    return [f"Threads go through the holes of {panels.hole:.1f} mm in the guide; take off any burr."]


def _soft(made: Upholstery, prefix: str) -> list[str]:
    batting, cloth, stitching = made.batting, made.cloth, made.stitching
    rows = []
    if batting.outlines:
        rows.append(
            f"Cut the batting by {prefix}batting-1.svg and so on, and glue it on in that order, the largest "
            f"first: {count(len(batting.outlines), 'layer')}, {batting.thickness:g} mm each as compressed; "
            f"the crown is {batting.crown:.1f} mm high."
        )
    rows.append(
        f"Cut the cloth by {prefix}cloth.svg (or the PDF), from {cloth.buy[0]:.0f} × {cloth.buy[1]:.0f} mm "
        "with the warp along its arrow; mark the crosses on its back."
    )
    if made.buttoning.points:
        rows.append(
            f"Sew on {count(len(made.buttoning.points), 'bead')} of {stitching.bead:g} mm in the order of "
            f"{prefix}buttons-front.svg, from the middle outwards: up through the guide, the batting and "
            "the cloth, through the bead and down the same hole; draw it down, wind it round its washer and "
            f"fix it before the next. Thread: {count(len(stitching.needlefuls), 'length')}, "
            f"{stitching.thread:.0f} mm in all."
        )
    elif made.buttoning.seams:
        rows.append(
            f"Sew the {len(made.buttoning.seams)} seams from the middle outwards; thread: "
            f"{stitching.thread:.0f} mm in all."
        )
    rows.append(
        "Glue the panel with room for knots behind the guide, then the plain ones; draw the cloth round, "
        "turn it under and glue it to the back, middles of sides first, corners last."
    )
    if made.piping is not None:
        rows.append(
            f"Piping: {made.piping.length:.0f} mm of cord of {made.piping.cord:g} mm, in a strip of cloth "
            f"{made.piping.strip[0]:.1f} mm wide, cut on the bias, round the edge before the backing goes on."
        )
    return rows
