"""Rates: how long work at the bench takes, how much of a supply it uses, and what is sold together.

Every value comes from a file of data with its source beside it, and is the maker's to change. Durations are
minutes, areas dm², lengths m (all actual size), liquids ml.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

#: How a value may be written: a time in words or in minutes, a plain number, a part of the whole, a count.
Duration = Annotated[float, "duration"]
Amount = Annotated[float, "amount"]
Share = Annotated[float, "share"]
Count = Annotated[int, "count"]


@dataclass(frozen=True)
class CutRates:
    """``sheet``: to lay one on and start it; ``piece``: to weed and label one."""

    sheet: Duration
    piece: Duration


@dataclass(frozen=True)
class GlueRates:
    """``stack`` and ``layer``: to begin a stack, to lay a layer on straight; ``area``: per dm² of glue.

    ``weight`` is the time under weight, ``dry`` from gluing until CA may come near. Alike stacks are glued in
    one go, of at most ``batch``.
    """

    stack: Duration
    layer: Duration
    area: Duration
    weight: Duration
    dry: Duration
    batch: Duration


@dataclass(frozen=True)
class HardenRates:
    """``face`` per face, ``area`` per dm² of it, ``edge`` per m; ``turn``: before it is turned over.

    ``check`` is to look over both faces of a part for places that stayed dull, ``cure`` the wait after that.
    """

    face: Duration
    area: Duration
    edge: Duration
    turn: Duration
    check: Duration
    cure: Duration


@dataclass(frozen=True)
class FitRates:
    """``slot``: to ease a slot, notch or housing; ``joint``: to try one dry."""

    slot: Duration
    joint: Duration


@dataclass(frozen=True)
class SandRates:
    """``part`` to begin one, ``edge`` per m, ``area`` per dm², all grits; ``again`` before the finish."""

    part: Duration
    edge: Duration
    area: Duration
    again: Duration


@dataclass(frozen=True)
class JoinRates:
    """``step`` to place a part, ``joint`` to glue a joint; ``hand`` a joint is held by hand.

    ``clamp`` and ``weight`` are waits, ``dry`` the wait until CA may come near; ``loose`` puts in what stays
    loose. ``touch`` is to reinforce a joint, ``reinforce`` per m more, ``set`` the wait after it.
    """

    step: Duration
    joint: Duration
    hand: Duration
    clamp: Duration
    weight: Duration
    dry: Duration
    touch: Duration
    reinforce: Duration
    set: Duration
    loose: Duration


@dataclass(frozen=True)
class FillRates:
    """``begin`` to get out and clean up, ``seam`` per m, ``dry`` the wait."""

    begin: Duration
    seam: Duration
    dry: Duration


@dataclass(frozen=True)
class CoatRates:
    """``begin`` to get out and clean brushes, once a coat; ``stain`` and ``top`` per dm²; waits; counts.

    ``mask`` and ``uncover`` are per m of strips where joints are glued on faces that are coated before.
    """

    begin: Duration
    stain: Duration
    stain_dry: Duration
    stains: Count
    top: Duration
    top_dry: Duration
    tops: Count
    mask: Duration
    uncover: Duration
    air: Duration


@dataclass(frozen=True)
class ClothRates:
    """``drill`` per hole too small to be cut; ``batting`` per layer; ``cloth`` to mark and cut it.

    ``button`` is per button, or per seam of channels; ``edge`` per m turned under and glued, ``piping``
    per m; ``back`` to glue the panels on behind. ``dry`` is each wait.
    """

    drill: Duration
    batting: Duration
    cloth: Duration
    button: Duration
    edge: Duration
    piping: Duration
    back: Duration
    dry: Duration


@dataclass(frozen=True)
class Spread:
    """How much is used. Glue: ``card`` g/m² of contact, ``density`` g/ml, ``left`` the share left behind in
    tips and on scraps. ``large`` mm: contact at least that wide is large and flat.

    CA: ``wall`` the density of the board's cell walls, g/cm³; ``uptake`` the share of its voids that fills,
    ``band`` mm deep at edges, ``coats``, ``joint`` ml per m of joint. ``seam`` ml of filler per m,
    ``stain`` and ``top`` ml per m² and coat. Abrasives: ``grits``, finest last, and m of edge and dm² of face
    that a sheet sands. ``nested`` is the share of batting and cloth bought that is used. ``cloth`` is g/m² of
    glue under batting and turned-under cloth.
    """

    card: Amount
    density: Amount
    left: Share
    large: Amount
    wall: Amount
    uptake: Share
    band: Amount
    coats: Count
    joint: Amount
    seam: Amount
    stain: Amount
    top: Amount
    grits: tuple[int, ...]
    grit_edge: Amount
    grit_area: Amount
    nested: Share
    cloth: Amount


@dataclass(frozen=True)
class Packs:
    """What is sold together: ml, sheets, dm², m, pieces, pairs."""

    fine_glue: Amount
    tube_glue: Amount
    thin_ca: Amount
    filler: Amount
    stain: Amount
    top_coat: Amount
    abrasive: Amount
    batting: Amount
    cloth: Amount
    thread: Amount
    beads: Amount
    piping_cord: Amount
    pin_rod: Amount
    gloves: Amount
    dust_mask: Amount


@dataclass(frozen=True)
class Rates:
    """All rates. ``sources`` pairs ``group.name`` with where that value comes from."""

    cut: CutRates
    glue: GlueRates
    harden: HardenRates
    fit: FitRates
    sand: SandRates
    join: JoinRates
    fill: FillRates
    coat: CoatRates
    cloth: ClothRates
    spread: Spread
    packs: Packs
    sources: tuple[tuple[str, str], ...] = field(default=(), compare=False)
