"""Mends are tried before they are offered: on the file itself, read and looked through as it would be."""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice

from laminature.errors import Cancelled, LaminatureError
from laminature.model.design import Design
from laminature.model.finding import Finding, Mend
from laminature.model.memory import Memory
from laminature.pipeline.making import Making, Progress
from laminature.pipeline.mending import cushions, joints, sizes
from laminature.pipeline.mending.desk import Desk
from laminature.pipeline.reading import changed

#: So many changes are tried for one finding, and for all findings of a design.
MOST_EACH, MOST = 10, 120

_Thought = Callable[[Desk, Finding], Iterator[Mend]]
#: By the finding's code, what may mend it, the best first. What a check itself offers comes before.
_THOUGHTS: Mapping[str, tuple[_Thought, ...]] = {
    "blind-too-shallow": (joints.cleat_or_through,),
    "button-near-edge": (cushions.further_in,),
    "bead-off-scale": (cushions.usual_button,),
    "buttons-too-close": (cushions.less_deep,),
    "carrier-not-possible": (joints.aligned_otherwise,),
    "clearance-small": (sizes.more_clearance,),
    "cloth-too-thick": (cushions.thinner_cloth,),
    "cloth-too-thick-for-pleats": (cushions.thinner_cloth,),
    "face-caught": (joints.no_last_face,),
    "face-last-not-possible": (joints.no_last_face,),
    "fingers-show": (joints.no_fingers,),
    "folds-too-thick": (cushions.thinner_cloth,),
    "guide-web-weak": (cushions.wider_apart, cushions.further_in),
    "keys-no-slots": (joints.aligned_otherwise,),
    "locked-together": (joints.glued,),
    "near-miss": (joints.moved_to_touch,),
    "no-common-entry": (joints.glued,),
    "no-room-for-buttons": (cushions.further_in,),
    "opposite-entries": (joints.alternating,),
    "part-not-attached": (joints.moved_to_touch,),
    "part-too-large": (sizes.smaller_margin,),
    "pattern-unmatched": (joints.without_rule,),
    "pillows-flat": (cushions.less_deep,),
    "pin-in-show-face": (joints.pins_hidden,),
    "pin-misplaced": (joints.places_found,),
    "pins-no-room": (joints.aligned_otherwise,),
    "pins-turnable": (joints.places_found,),
    "piping-corner-tight": (cushions.thinner_cord,),
    "profile-coarse": (sizes.finer_board,),
    "relief-web-weak": (cushions.wider_apart,),
    "run-too-short": (joints.shallower_or_glued,),
    "tab-across-grain": (joints.grain_alike,),
    "tab-narrow": (joints.fewer_tabs,),
    "tab-near-edge": (joints.fewer_tabs,),
}


def tried_mends(
    made: Making,
    read: Callable[[bytes], Design],
    progress: Progress | None = None,
    *,
    seconds: float = math.inf,
) -> tuple[Mend | None, ...]:
    """For each finding of a design a mend with the paths of its file, None where none is certain.

    ``read`` reads a changed file. A mend is certain where, with it, the finding is gone, no finding of
    grade stop has come, and, unless it was a stop itself, no more that want care are there than before.
    ``progress`` hears how far the trials are; what it raises ends them. After ``seconds`` no further trial
    is begun.
    """
    end = time.monotonic() + seconds
    desk, memory = Desk(made), Memory()
    left = MOST
    found: list[Mend | None] = []
    known: dict[tuple[object, ...], tuple[Finding, ...] | None] = {}
    for n, finding in enumerate(made.findings):
        if progress is not None:
            progress(n / len(made.findings), "trying what would mend it")
        certain = None
        for mend in islice(_thought_of(desk, finding), MOST_EACH):
            changes = desk.real(mend)
            key = tuple((path, repr(value)) for path, value in changes.items())
            if key not in known:
                if left == 0 or time.monotonic() > end:
                    break
                left -= 1
                known[key] = _after(made.design.source, desk, mend, read, memory, progress)
            after = known[key]
            if after is not None and _serves(finding, made.findings, after):
                certain = Mend(mend.label, tuple((p, _setting(v)) for p, v in changes.items()))
                break
        found.append(certain)
    return tuple(found)


def _thought_of(desk: Desk, finding: Finding) -> Iterator[Mend]:
    if finding.mend is not None:
        yield finding.mend
    for think in _THOUGHTS.get(finding.code, ()):
        yield from think(desk, finding)


def _after(
    source: bytes,
    desk: Desk,
    mend: Mend,
    read: Callable[[bytes], Design],
    memory: Memory,
    progress: Progress | None,
) -> tuple[Finding, ...] | None:
    """The findings with a mend; None where nothing can be made of the file then."""

    def still_wanted(_share: float, _words: str) -> None:
        if progress is not None:
            progress(0.0, "trying what would mend it")

    try:
        return Making(read(changed(source, desk.real(mend))), still_wanted, memory).findings
    except Cancelled:
        raise
    except (LaminatureError, KeyError, ValueError):
        return None


def _serves(finding: Finding, before: Sequence[Finding], after: Sequence[Finding]) -> bool:
    """Whether a finding is gone, and nothing that weighs as much or more has come for it."""

    def alike(them: Sequence[Finding]) -> list[Finding]:
        mine = (finding.code, finding.part, finding.parts)
        return [f for f in them if (f.code, f.part, f.parts) == mine]

    there, left = alike(before), alike(after)
    if len(left) >= len(there) or any(f.message == finding.message for f in left):
        return False
    if _stops(after) - _stops(before):
        return False
    if finding.grade == "stop":
        return True
    now, then = _weight(before), _weight(after)
    return then < now if finding.grade == "care" else then <= now


def _stops(them: Sequence[Finding]) -> Counter[tuple[str, str | None]]:
    return Counter((f.code, f.part) for f in them if f.grade == "stop")


def _weight(them: Sequence[Finding]) -> tuple[int, int]:
    """How many findings want something done: stops, and what wants care."""
    return (sum(f.grade == "stop" for f in them), sum(f.grade == "care" for f in them))


def _setting(value: object) -> str | float | bool | tuple[str | float, ...] | None:
    return tuple(value) if isinstance(value, list) else value  # type: ignore[return-value]
