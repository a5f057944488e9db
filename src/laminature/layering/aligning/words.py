"""What is said to the maker about layers that are to be held in line."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.path import Point
from laminature.model.finding import Finding
from laminature.model.part import Part

OTHERWISE = (
    'Hold its layers in line with keys (align = "keys") or a carrier (align = "carrier"), '
    'or by hand (align = "hand"), so that its joints get room for that'
)


def named(parts: Sequence[Part]) -> str:
    """One part by its name, alike ones counted."""
    return parts[0].name if len(parts) == 1 else f"{parts[0].name} and {len(parts) - 1} alike"


def listed(parts: Sequence[Part]) -> str:
    """Names of parts, the first few where there are many."""
    names = [p.name for p in parts]
    if len(names) > 6:
        return f"{', '.join(names[:5])} and {len(names) - 5} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def counted(layers: Sequence[int]) -> str:
    """``2 to 4``, ``1 and 4``, ``3``."""
    if len(layers) > 1 and layers[-1] - layers[0] == len(layers) - 1:
        return f"{layers[0]} to {layers[-1]}" if len(layers) > 2 else f"{layers[0]} and {layers[1]}"
    return " and ".join(str(k) for k in layers)


def too_few(parts: Sequence[Part]) -> Finding:
    """``pins-no-room``: fewer than two layers that do not show."""
    return Finding(
        "pins-no-room",
        "care",
        f"{named(parts)} has fewer than two layers that do not show, so that pins would hold nothing.",
        f"{OTHERWISE}; or say with show which of its faces are really seen.",
        parts[0].name,
    )


def no_room(parts: Sequence[Part], need: float) -> Finding:
    """``pins-no-room``: no places of which every wrong pose would be found out."""
    return Finding(
        "pins-no-room",
        "care",
        f"{named(parts)} has no room for pins: two at least are wanted, with {need:.1f} mm of board about "
        "their middles on all sides, so placed that no layer can be laid the wrong way round.",
        f"{OTHERWISE}; or take thinner pins, from 2 mm.",
        parts[0].name,
    )


def misplaced(parts: Sequence[Part], at: Point, layer: int) -> Finding:
    """``pin-misplaced``: a place that the maker asked for, and that a layer does not have."""
    return Finding(
        "pin-misplaced",
        "care",
        f"A pin of {named(parts)} at {at[0]:.1f}, {at[1]:.1f} mm (miniature, in the part's own plane) does "
        f"not lie in the board of layer {layer} with all of its opening: it is left out.",
        "Move it away from edges and slots, or leave out places, and they are found.",
        parts[0].name,
        layer,
    )


def turns_over(parts: Sequence[Part]) -> Finding:
    """``pins-turnable``: places that the maker asked for and that allow a wrong pose."""
    return Finding(
        "pins-turnable",
        "care",
        f"A layer of {named(parts)} goes onto its pins turned or flipped as well.",
        "Ask for three places whose distances from each other differ by more than 1.2 mm, not in one line; "
        "or leave out places, and they are found.",
        parts[0].name,
    )


def shows_at_face(parts: Sequence[Part], layers: Sequence[int]) -> Finding:
    """``pin-in-show-face``: the maker lets pins come out where they are seen."""
    return Finding(
        "pin-in-show-face",
        "care",
        f"Pins of {named(parts)} come out at a face that shows (layer {counted(layers)}).",
        "Cut them off flush and fill the openings before finishing, or leave out through_show.",
        parts[0].name,
        layers[0],
    )


def laid_last(parts: Sequence[Part], pierced: Sequence[int], left: Sequence[int]) -> Finding:
    """``pins-below-face``: which layers no pin holds."""
    several = len(left) > 1
    return Finding(
        "pins-below-face",
        "note",
        f"Pins hold layers {counted(pierced)} of {listed(parts)}; no pin goes through "
        f"layer{'s' if several else ''} {counted(left)}.",
        f"Lay {'these' if several else 'this one'} last, edges flush all round and, where there are slots, "
        "with the dry neighbour or a slip of board standing in them until the glue grabs.",
        parts[0].name,
        left[0],
    )


def no_slots(parts: Sequence[Part]) -> Finding:
    """``keys-no-slots``: a part without two slots that keys could stand in."""
    return Finding(
        "keys-no-slots",
        "care",
        f"{named(parts)} has no two slots in one layer for keys to stand in: closed ones, at right angles.",
        'Give its joint two tabs (count = 2), or hold its layers in line with pins (align = "pins") or a '
        'carrier (align = "carrier"), or by hand (align = "hand"), so that its joints get room for that.',
        parts[0].name,
    )


def keys_reach(parts: Sequence[Part], held: Sequence[int]) -> Finding:
    """``keys-below-face``: which layers have no slots for keys."""
    left = [k for k in range(1, parts[0].stack.count + 1) if k not in held]
    several = len(left) > 1
    return Finding(
        "keys-below-face",
        "note",
        f"Keys hold layer{'s' if len(held) > 1 else ''} {counted(held)} of {listed(parts)}; "
        f"layer{'s' if several else ''} {counted(left)} {'have' if several else 'has'} no slots for them.",
        f"Lay {'these' if several else 'this one'} last, edges flush all round.",
        parts[0].name,
        left[0],
    )


def no_carrier(parts: Sequence[Part]) -> Finding:
    """``carrier-not-possible``: no frame holds all layers of a part."""
    return Finding(
        "carrier-not-possible",
        "care",
        f"No carrier can hold every layer of {named(parts)}: bridges need an edge that runs along or across "
        "it, and is no tab's.",
        'Hold its layers in line with pins (align = "pins") or keys (align = "keys"), '
        'or by hand (align = "hand"), so that its joints get room for that.',
        parts[0].name,
    )
