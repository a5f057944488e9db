"""Steps in plain words, for the guide and the README."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.pose import Vector
from laminature.model.piece import Piece
from laminature.model.step import Step
from laminature.model.words import Words
from laminature.planning.ways import dot

_SIDES: tuple[tuple[Vector, str], ...] = (
    ((0.0, 0.0, 1.0), "below"),
    ((0.0, 0.0, -1.0), "above"),
    ((1.0, 0.0, 0.0), "left"),
    ((-1.0, 0.0, 0.0), "right"),
    ((0.0, 1.0, 0.0), "front"),
    ((0.0, -1.0, 0.0), "back"),
)
_LIES: tuple[tuple[Vector, str], ...] = (
    ((0.0, 0.0, 1.0), "over"),
    ((0.0, 0.0, -1.0), "stands"),
    ((1.0, 0.0, 0.0), "right"),
    ((-1.0, 0.0, 0.0), "left"),
    ((0.0, 1.0, 0.0), "back"),
    ((0.0, -1.0, 0.0), "front"),
)
#: Steeper than 45° down is from above, and within some 25° of upright is upright (cosines).
STEEP, LEVEL = 0.7, 0.9
#: More parts than this that are there already are just the work; more names than this are counted.
FEW, LISTED = 3, 8


def step_words(step: Step, piece: Piece, words: Words) -> str:
    """One sentence: what goes onto what, from which side, with which joints and glue, and how it is held.

    Parts are called by letter and name, sides by the piece as it stands.
    """
    moving = _named(step.moving, piece, words)
    glue = words.of(f"glue_{step.glue}")
    if step.face:
        return words.of("step_face", moving=moving, glue=glue, hold=words.of(f"hold_{step.hold}"))
    if step.loose:
        return words.some("step_loose", len(step.moving), moving=moving, side=side(step.way, words))
    few = len(step.onto) <= FEW
    onto = _named(step.onto, piece, words) if few else words.of("the_work")
    if len(step.moving) > 1:
        before = len(step.moving) <= FEW
        moving = words.of("put_together", moving=moving) if before else words.of("put_apart")
    told = [_closing(step, words), glue, "" if step.hold == "none" else words.of(f"hold_{step.hold}")]
    if step.spread:
        apart = _named([name for name, _ in step.spread], piece, words)
        told.insert(1, words.of("close_up", apart=apart))
    if step.open_until:
        told.append(words.of("open_until", step=str(step.open_until)))
    said = "; ".join(t for t in told if t)
    return words.of("step_put", moving=moving, onto=onto, side=_from(step, words), told=said)


def _from(step: Step, words: Words) -> str:
    """Seen from the bench: from above where it comes down onto the work, else from a side of the piece."""
    above = dot(step.way, step.down) > STEEP
    upright = dot(step.down, (0.0, 0.0, -1.0)) > LEVEL
    if upright:
        return words.of("side_above") if above else side(step.way, words)
    # A side of a piece that lies down is called as it is when the piece stands.
    where = words.of("side_above") if above else words.of(f"own_{_nearest(_SIDES, step.way)}")
    return words.of("from_lying", side=where, lies=lies(step.down, words))


def _closing(step: Step, words: Words) -> str:
    return listed([words.some(kind, count) for kind, count in step.closes], words)


def _named(names: Sequence[str], piece: Piece, words: Words) -> str:
    letters = {p.name: p.letter for p in piece.parts}
    return listed([f"{letters[n]} ({n})" if letters.get(n) else n for n in names], words)


def listed(names: Sequence[str], words: Words) -> str:
    """Names as one says them: ``a, b and c``."""
    if len(names) > LISTED:
        return words.of("and_more", first=", ".join(names[:LISTED]), n=str(len(names) - LISTED))
    if len(names) < 2:
        return "".join(names)
    return words.of("and", first=", ".join(names[:-1]), last=names[-1])


def side(way: Vector, words: Words) -> str:
    """From where something comes that moves along ``way``, with the piece as it stands."""
    return words.of(f"side_{_nearest(_SIDES, way)}")


def lies(down: Vector, words: Words) -> str:
    """How the work lies with ``down`` down."""
    return words.of(f"lies_{_nearest(_LIES, down)}")


def _nearest(known: Sequence[tuple[Vector, str]], way: Vector) -> str:
    return max(known, key=lambda s: dot(s[0], way))[1]
