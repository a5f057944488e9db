"""What to buy for a kit: how much, in which packs, what it costs, and how each figure was come by.

Amounts are computed from the piece: areas of glue, board that thin CA soaks, edges that are sanded, cloth
that is cut. How much goes on an area comes from the rates, each of them the maker's to change.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from laminature.model.board import Board
from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.price import UNKNOWN, Prices
from laminature.model.rates import Rates
from laminature.model.sheet import Sheet
from laminature.model.supply import Supply
from laminature.model.words import Words
from laminature.planning.beforehand import beforehand
from laminature.planning.measures import (
    Contact,
    Measured,
    glued,
    line,
    measured,
    seam,
    soaked,
    surface,
    width,
)
from laminature.planning.shop import CM2, DM2, M2, M, Shop
from laminature.planning.soft import cloth_glue, soft_supplies

#: How far a pin stands out of a stack at either side, to be pulled, mm (common practice, no source).
PIN_END = 5.0


def supplies_for(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    sheets: Sequence[Sheet],
    cushions: Sequence[Upholstery],
    boards: Mapping[str, Board],
    rates: Rates,
    words: Words,
    prices: Prices = UNKNOWN,
    stacks: Sequence[Measured] | None = None,
) -> tuple[Supply, ...]:
    """The supplies of a kit in the order of their use. What it does not need is not listed.

    ``layers`` are all that are cut. Sheets that are cut from offcuts cost nothing. Amounts of liquids include
    what stays behind in tips and on scraps. ``stacks`` are given where they are measured already.
    """
    if stacks is None:
        stacks = measured(piece, joints, layers, cushions)
    shop = Shop(rates, prices, words)
    _boards(shop, sheets, boards)
    _pins(shop, piece, layers)
    _glue(shop, piece, joints, stacks, cushions)
    _hardener(shop, joints, stacks, boards)
    early = sum(one.area for one in beforehand(piece, joints, stacks, rates.coat).values())
    _finish(shop, piece, joints, stacks, early)
    soft_supplies(shop, cushions)
    _protection(shop, joints, stacks, early)
    return tuple(shop.supplies)


def _boards(shop: Shop, sheets: Sequence[Sheet], boards: Mapping[str, Board]) -> None:
    for name in dict.fromkeys(sheet.board for sheet in sheets):
        mine = [sheet for sheet in sheets if sheet.board == name]
        full = [sheet for sheet in mine if not sheet.offcut]
        if not full:
            continue
        size = f"{full[0].width:.0f} × {full[0].height:.0f} mm"
        sheets_words = shop.words.some("full_sheet", len(full))
        if len(full) < len(mine):
            beside = shop.words.some("offcut", len(mine) - len(full))
            why = shop.words.of("board_why_offcuts", sheets=sheets_words, size=size, offcuts=beside)
        else:
            why = shop.words.of("board_why", sheets=sheets_words, size=size)
        if shop.words.of("board_elsewhere") in boards[name].title.lower():
            # Chipboard is grey card in one country, and a panel of wood chips in the other.
            why += " " + shop.words.of("board_why_called")
        shop.buy_board(boards[name], len(full), why)


def _pins(shop: Shop, piece: Piece, layers: Sequence[Layer]) -> None:
    """Rod for the pins that stand in a stack while it is glued; pins are pulled and serve again."""
    wanted: dict[float, tuple[float, int, str]] = {}
    for part in piece.parts:
        count = max((len(x.pins) for x in layers if x.part == part.name and x.role == "layer"), default=0)
        if count:
            length = count * (part.thickness + 2.0 * PIN_END)
            title = part.title or part.name
            wanted[part.gluing.pin] = max(wanted.get(part.gluing.pin, (0.0, 0, "")), (length, count, title))
    for pin, (length, count, title) in sorted(wanted.items()):
        why = shop.words.of("pin_rod_why", n=str(count), title=title, end=f"{PIN_END:.0f}")
        shop.buy("pin_rod", shop.words.of("pin_rod", size=f"{pin:g}"), length, "mm", why)


def _glue(
    shop: Shop,
    piece: Piece,
    joints: Sequence[Joint],
    stacks: Sequence[Measured],
    cushions: Sequence[Upholstery],
) -> None:
    """Water glue by use. Joints are always the fine tip's: contact glue would catch before they are home."""
    spread, known = shop.rates.spread, {s.name: s for s in stacks}
    inside = [c for s in stacks for c in (*s.contacts, *((s.last,) if s.last else ()))]
    flat = [glued(j, piece, known) for j in joints if j.contact.kind == "faces"]
    closed = [glued(j, piece, known) for j in joints if j.contact.kind != "faces"]
    # A cushion that no frame keeps in its place is glued to its part, board on board.
    kept = {c.name for c in piece.cushions if c.rim > 0.0}
    soft_flats = [made.outline.flat for made in cushions if made.name not in kept]
    under = [Contact(float(shape.area), width((shape,))) for shape in soft_flats]
    flat += under
    fine = [c for c in (*inside, *flat) if c.width < spread.large]
    large = [c for c in (*inside, *flat) if c.width >= spread.large]
    said = shop.words
    told = {
        "large": f"{spread.large:g}",
        "coat": said.of("glue_coat", rate=f"{spread.card:g}"),
        "left": shop.left_words,
    }
    soft, soft_words = cloth_glue(cushions, spread.cloth, said)
    grams = (_area(fine) + _area(closed)) * spread.card / M2 + soft
    many = said.some("joint", len(closed))
    why = said.of("fine_glue_why", area=_cm2(fine), closed=_cm2(closed), joints=many, soft=soft_words, **told)
    amount = shop.with_left(grams / spread.density)
    shop.buy("fine_glue", said.of("fine_glue"), amount, "ml", why)
    beneath = [c for c in under if c.width >= spread.large]
    soft_words = said.of("tube_glue_soft", area=_cm2(beneath)) if beneath else ""
    why = said.of("tube_glue_why", area=_cm2(large), soft=soft_words, **told)
    amount = shop.with_left(_area(large) * spread.card / M2 / spread.density)
    shop.buy("tube_glue", said.of("tube_glue"), amount, "ml", why)


def _hardener(
    shop: Shop, joints: Sequence[Joint], stacks: Sequence[Measured], boards: Mapping[str, Board]
) -> None:
    """Thin CA that can soak in: what lies open of a stack, and a band at edges; glue lines stop it.

    Voids are 1 − density of the board / density of its cell walls (A. J. Stamm, USDA Forest Products
    Laboratory, 1938, for the wall); the share that fills is from memory until a coupon is weighed.
    """
    spread = shop.rates.spread
    faces = edges = voids = 0.0
    for s in stacks:
        for layer, wide, narrow in soaked(s, spread.band):
            board = boards[layer.board]
            faces += wide
            edges += narrow
            voids += (wide + narrow) * board.caliper * max(0.0, 1.0 - board.density / spread.wall)
    if not voids:
        return
    along = sum(line(j) for j in joints) / M
    amount = voids / M * spread.uptake * spread.coats + spread.joint * along
    why = shop.words.of(
        "thin_ca_why",
        faces=f"{faces / CM2:.0f}",
        edges=f"{edges / CM2:.0f}",
        band=f"{spread.band:g}",
        voids=f"{voids / M:.1f}",
        share=f"{100.0 * spread.uptake:.0f}",
        coats=shop.words.some("coat", spread.coats),
        along=f"{100.0 * along:.0f}",
        rate=f"{spread.joint:g}",
        left=shop.left_words,
    )
    shop.buy("thin_ca", shop.words.of("thin_ca"), shop.with_left(amount), "ml", why)


def _finish(
    shop: Shop, piece: Piece, joints: Sequence[Joint], stacks: Sequence[Measured], early: float
) -> None:
    """Filler, abrasives and coats; ``early`` mm² are coated before assembly, and not sanded again."""
    spread, coat = shop.rates.spread, shop.rates.coat
    wood = [s for s in stacks if not s.cushion]
    seams = sum(seam(j, piece) for j in joints) / M
    said = shop.words
    why = said.of("filler_why", length=f"{100.0 * seams:.0f}", rate=f"{spread.seam:g}", left=shop.left_words)
    shop.buy("filler", said.of("filler"), shop.with_left(seams * spread.seam), "ml", why)
    edge, face = sum(s.bare for s in wood) / M, sum(s.shown for s in wood) / DM2
    seen = surface(stacks)
    for n, grit in enumerate(spread.grits):
        sheets = edge / spread.grit_edge + face / spread.grit_area
        last = n == len(spread.grits) - 1
        sheets += (seen - early) / DM2 / spread.grit_area if last else 0.0
        why = said.of(
            "abrasive_why_last" if last else "abrasive_why",
            edge=f"{edge:.1f}",
            edge_rate=f"{spread.grit_edge:g}",
            face=f"{face:.1f}",
            face_rate=f"{spread.grit_area:g}",
            seen=f"{(seen - early) / DM2:.1f}",
        )
        shop.buy("abrasive", said.of("abrasive", grit=str(grit)), sheets, "sheets", why)
    for kind, rate, count in (("stain", spread.stain, coat.stains), ("top_coat", spread.top, coat.tops)):
        amount = shop.with_left(seen / M2 * rate * count)
        why = said.of(
            "coat_why",
            seen=f"{seen / DM2:.1f}",
            coats=said.some("coat", count),
            rate=f"{rate:g}",
            left=shop.left_words,
        )
        shop.buy(kind, said.of(kind), amount, "ml", why)


def _protection(shop: Shop, joints: Sequence[Joint], stacks: Sequence[Measured], early: float) -> None:
    """Gloves and a dust mask; coats before assembly take gloves of their own."""
    if not stacks:
        return
    said, coats = shop.words, shop.rates.coat.stains + shop.rates.coat.tops
    pairs = coats * (2 if early else 1)
    why = said.of(
        "gloves_why",
        joints=said.of("gloves_joints") if joints else "",
        n=str(pairs),
        coats=said.some("coat", coats),
        before=said.of("gloves_before") if early else "",
    )
    shop.buy("gloves", said.of("gloves"), 1.0 + bool(joints) + pairs, "pairs", why)
    shop.buy("dust_mask", said.of("dust_mask"), 1.0, "pieces", said.of("dust_mask_why"))


def _area(contacts: Sequence[Contact]) -> float:
    return sum(c.area for c in contacts)


def _cm2(contacts: Sequence[Contact]) -> str:
    return f"{_area(contacts) / CM2:.0f}"
