"""Steps in plain words, for the guide and the README."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.pose import Vector
from laminature.model.piece import Piece
from laminature.model.step import Step
from laminature.planning.telling import listed
from laminature.planning.ways import dot

_GLUE = {"fine": "fine tip", "tube": "tube glue, spread thin", "none": "no glue"}
_HOLD = {
    "hand": "hold by hand until it grabs",
    "clamp": "clamp until it has set",
    "weight": "lay a weight on it until it has set",
}
_SIDES: tuple[tuple[Vector, str], ...] = (
    ((0.0, 0.0, 1.0), "below"),
    ((0.0, 0.0, -1.0), "above"),
    ((1.0, 0.0, 0.0), "the left"),
    ((-1.0, 0.0, 0.0), "the right"),
    ((0.0, 1.0, 0.0), "the front"),
    ((0.0, -1.0, 0.0), "the back"),
)
_LIES: tuple[tuple[Vector, str], ...] = (
    ((0.0, 0.0, 1.0), "upside down"),
    ((0.0, 0.0, -1.0), "as it stands"),
    ((1.0, 0.0, 0.0), "on its right side"),
    ((-1.0, 0.0, 0.0), "on its left side"),
    ((0.0, 1.0, 0.0), "on its back"),
    ((0.0, -1.0, 0.0), "on its front"),
)
_KINDS = {
    "tabs": ("tab", "tabs"),
    "housing": ("housing", "housings"),
    "fingers": ("finger joint", "finger joints"),
    "rebate": ("rebate", "rebates"),
    "halving": ("halving", "halvings"),
    "radial": ("crossing", "crossings"),
    "glue": ("glued edge", "glued edges"),
    "faces": ("glued face", "glued faces"),
}
#: Steeper than 45° down is from above, and within some 25° of upright is upright (cosines).
STEEP, LEVEL = 0.7, 0.9
#: More parts than this that are there already are just the work.
FEW = 3


def words(step: Step, piece: Piece) -> str:
    """One sentence: what goes onto what, from which side, with which joints and glue, and how it is held.

    Parts are called by letter and name, sides by the piece as it stands.
    """
    moving = _named(step.moving, piece)
    if step.face:
        return f"Glue the face onto {moving}, over its joints: {_GLUE[step.glue]}; {_HOLD[step.hold]}."
    if step.loose:
        stays = "it stays" if len(step.moving) == 1 else "they stay"
        return f"Put {moving} in from {side(step.way)}, without glue: {stays} loose."
    onto = _named(step.onto, piece) if len(step.onto) <= FEW else "the work"
    if len(step.moving) > 1:
        moving = (
            f"{moving}, put together before," if len(step.moving) <= FEW else "what was put together apart"
        )
    told = [_closing(step), _GLUE[step.glue], _HOLD.get(step.hold, "")]
    if step.spread:
        apart = _named([name for name, _ in step.spread], piece)
        told.insert(1, f"{apart} close up with it: push all home together")
    if step.open_until:
        told.append(f"leave it open by a hair until step {step.open_until}, which follows at once")
    said = "; ".join(t for t in told if t)
    return f"Put {moving} onto {onto} from {_from(step)}: {said}."


def _from(step: Step) -> str:
    """Seen from the bench: from above where it comes down onto the work, else from a side of the piece."""
    above = dot(step.way, step.down) > STEEP
    upright = dot(step.down, (0.0, 0.0, -1.0)) > LEVEL
    where = "above" if above else side(step.way)
    if upright:
        return where
    return f"{where}, the work lying {lies(step.down)}" if above else f"{_own_side(step)} {lies(step.down)}"


def _own_side(step: Step) -> str:
    """A side of a piece that lies down, as it is called when the piece stands."""
    names = {"above": "its top", "below": "its underside"}
    called = side(step.way)
    return f"{names.get(called, called.replace('the ', 'its '))}, the work lying"


def _closing(step: Step) -> str:
    return listed([f"{count} {_KINDS[kind][count != 1]}" for kind, count in step.closes])


def _named(names: Sequence[str], piece: Piece) -> str:
    letters = {p.name: p.letter for p in piece.parts}
    return listed([f"{letters[n]} ({n})" if letters.get(n) else n for n in names])


def side(way: Vector) -> str:
    """From where something comes that moves along ``way``, with the piece as it stands."""
    return max(_SIDES, key=lambda s: dot(s[0], way))[1]


def lies(down: Vector) -> str:
    """How the work lies with ``down`` down."""
    return max(_LIES, key=lambda s: dot(s[0], down))[1]
