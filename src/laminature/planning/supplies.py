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
from laminature.planning.measures import (
    Contact,
    Measured,
    area,
    band,
    glued,
    line,
    measured,
    seam,
    surface,
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
    prices: Prices = UNKNOWN,
) -> tuple[Supply, ...]:
    """The supplies of a kit in the order of their use. What it does not need is not listed.

    ``layers`` are all that are cut. Sheets that are cut from offcuts cost nothing. Amounts of liquids include
    what stays behind in tips and on scraps.
    """
    stacks = measured(piece, joints, layers)
    shop = Shop(rates, prices)
    _boards(shop, sheets, boards)
    _pins(shop, piece, layers)
    _glue(shop, piece, joints, stacks, cushions)
    _hardener(shop, joints, stacks, boards)
    _finish(shop, piece, joints, stacks)
    soft_supplies(shop, cushions)
    _protection(shop, stacks)
    return tuple(shop.supplies)


def _boards(shop: Shop, sheets: Sequence[Sheet], boards: Mapping[str, Board]) -> None:
    for name in dict.fromkeys(sheet.board for sheet in sheets):
        mine = [sheet for sheet in sheets if sheet.board == name]
        full = [sheet for sheet in mine if not sheet.offcut]
        if not full:
            continue
        size = f"{full[0].width:.0f} × {full[0].height:.0f} mm"
        why = f"{_many(len(full), 'full sheet')} of {size}, as laid out"
        if len(full) < len(mine):
            why += f"; {_many(len(mine) - len(full), 'offcut')} of yours beside that cost nothing"
        shop.buy_board(boards[name], len(full), why + ".")


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
        why = (
            f"{count} pins for {title}, the stack that needs most, each {PIN_END:.0f} mm longer at either "
            "end; they are pulled and serve every stack."
        )
        shop.buy("pin_rod", f"Rod for pins, for openings of {pin:g} mm", length, "mm", why)


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
    fine = [c for c in (*inside, *flat) if c.width < spread.large]
    large = [c for c in (*inside, *flat) if c.width >= spread.large]
    coat = f"at {spread.card:g} g/m² card to card"
    soft, soft_words = cloth_glue(cushions, spread.cloth)
    grams = (_area(fine) + _area(closed)) * spread.card / M2 + soft
    why = f"{_cm2(fine)} cm² between layers narrower than {spread.large:g} mm and {_cm2(closed)} cm² in "
    why += f"{_many(len(closed), 'joint')}, {coat}{soft_words}, {shop.left_words}."
    amount = shop.with_left(grams / spread.density)
    shop.buy("fine_glue", "Water glue with a fine tip, for small and narrow contact", amount, "ml", why)
    why = f"{_cm2(large)} cm² between layers at least {spread.large:g} mm wide, {coat}, {shop.left_words}. "
    why += "Where it is a contact glue: never in joints, which have to slide home."
    amount = shop.with_left(_area(large) * spread.card / M2 / spread.density)
    shop.buy("tube_glue", "Glue in a tube, for large flat contact", amount, "ml", why)


def _hardener(
    shop: Shop, joints: Sequence[Joint], stacks: Sequence[Measured], boards: Mapping[str, Board]
) -> None:
    """Thin CA that can soak in: one outer layer per face and a band at edges; glue lines stop it.

    Voids are 1 − density of the board / density of its cell walls (A. J. Stamm, USDA Forest Products
    Laboratory, 1938, for the wall); the share that fills is from memory until a coupon is weighed.
    """
    spread = shop.rates.spread
    faces = edges = voids = 0.0
    for s in stacks:
        last = len(s.layers) - 1
        for n, layer in enumerate(s.layers):
            board = boards[layer.board]
            whole = n in (0, last)
            soaked = area(layer.regions) if whole else band(layer.regions, spread.band)
            faces += soaked if whole else 0.0
            edges += 0.0 if whole else soaked
            voids += soaked * board.caliper * max(0.0, 1.0 - board.density / spread.wall)
    if not voids:
        return
    along = sum(line(j) for j in joints) / M
    amount = voids / M * spread.uptake * spread.coats + spread.joint * along
    why = (
        f"{faces / CM2:.0f} cm² of outer layers and {edges / CM2:.0f} cm² of inner ones within "
        f"{spread.band:g} mm of an edge have {voids / M:.1f} ml of voids, of which "
        f"{100.0 * spread.uptake:.0f} % fill, in {_many(spread.coats, 'coat')}; {100.0 * along:.0f} cm of "
        f"joints at {spread.joint:g} ml/m, {shop.left_words}."
    )
    shop.buy("thin_ca", "Thin CA", shop.with_left(amount), "ml", why)


def _finish(shop: Shop, piece: Piece, joints: Sequence[Joint], stacks: Sequence[Measured]) -> None:
    spread, coat = shop.rates.spread, shop.rates.coat
    wood = [s for s in stacks if not s.cushion]
    seams = sum(seam(j, piece) for j in joints) / M
    why = f"{100.0 * seams:.0f} cm of joints that show, at {spread.seam:g} ml/m, {shop.left_words}."
    shop.buy("filler", "Fine filler", shop.with_left(seams * spread.seam), "ml", why)
    edge, face = sum(s.bare for s in wood) / M, sum(s.shown for s in wood) / DM2
    seen = surface(stacks)
    for n, grit in enumerate(spread.grits):
        sheets = edge / spread.grit_edge + face / spread.grit_area
        why = (
            f"{edge:.1f} m of edges at {spread.grit_edge:g} m a sheet, {face:.1f} dm² of faces that show at "
        )
        why += f"{spread.grit_area:g} dm² a sheet"
        if n == len(spread.grits) - 1:
            sheets += seen / DM2 / spread.grit_area
            why += f", and once more over {seen / DM2:.1f} dm² before the finish"
        shop.buy("abrasive", f"Abrasive paper, grit {grit}", sheets, "sheets", why + ".")
    for kind, title, rate, count in (
        ("stain", "Stain", spread.stain, coat.stains),
        ("top_coat", "Top coat", spread.top, coat.tops),
    ):
        amount = shop.with_left(seen / M2 * rate * count)
        why = f"{seen / DM2:.1f} dm² of faces and edges that show, {_many(count, 'coat')} at {rate:g} ml/m², "
        shop.buy(kind, title, amount, "ml", why + shop.left_words + ".")


def _protection(shop: Shop, stacks: Sequence[Measured]) -> None:
    if not stacks:
        return
    coats = shop.rates.coat.stains + shop.rates.coat.tops
    why = f"One pair to harden, one to reinforce joints, {coats} for {_many(coats, 'coat')}; what they are "
    why += "made of as the safety data sheets say. Never cotton: CA on it becomes hot."
    shop.buy("gloves", "Gloves, not of cotton", 2.0 + coats, "pairs", why)
    why = "For the dust of hardened card, of the grade that the safety data sheets ask for."
    shop.buy("dust_mask", "Dust mask", 1.0, "pieces", why)


def _area(contacts: Sequence[Contact]) -> float:
    return sum(c.area for c in contacts)


def _cm2(contacts: Sequence[Contact]) -> str:
    return f"{_area(contacts) / CM2:.0f}"


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
