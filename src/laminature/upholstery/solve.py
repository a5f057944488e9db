"""All of a cushion, one step after the other: outline, buttons, panels, batting, surface, cloth, thread."""

from __future__ import annotations

from laminature.errors import FormError
from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, grown, pieces
from laminature.geometry.path import Point
from laminature.geometry.pose import Pose
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region
from laminature.model.board import Board
from laminature.model.cushion import Upholstery
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding
from laminature.model.part import Part
from laminature.model.piece import Cushion
from laminature.units import INCH
from laminature.upholstery.batting import make_batting
from laminature.upholstery.beads import bead_findings, bead_for
from laminature.upholstery.buttons import button_layout
from laminature.upholstery.cloth import solve_cloth
from laminature.upholstery.cloth_checks import cloth_findings, pillow_findings
from laminature.upholstery.envelope import PLEAT
from laminature.upholstery.panels import make_panels
from laminature.upholstery.piping import make_piping, rim_findings
from laminature.upholstery.stitching import make_stitching
from laminature.upholstery.surface import solve_surface

#: From a part's edge to the cushion on it, full size, mm, where nothing else decides (common practice, no
#: source): the wood's edge shows all round.
INSET = 0.5 * float(INCH)
#: A panel narrower than this cannot be covered, mm.
LEAST = 5.0
#: A face that leans less than this from level is sat on; its normal's z is the sine of 45 degrees.
LEVEL = 0.7

#: Said of every kit with a cushion.
FIRST_THE_WOOD = Finding(
    "cure-before-cushion",
    "care",
    "Cushions and thin CA in one kit: on cotton, wool or tissue it becomes hot within seconds and fumes, and "
    "its vapour whitens cloth and dark stain.",
    "Harden, cure, stain, top-coat and air the woodwork for 24 hours at least before any batting or cloth "
    "comes near it. No cotton swabs, gloves or tissue with CA. The glue's safety data sheet comes first.",
)


def upholster(
    cushion: Cushion, spec: CushionSpec, part: Part, board: Board, cutter: str, scale: float
) -> tuple[Upholstery, tuple[Finding, ...]]:
    """The cushion that ``spec`` describes, on ``part``, its panels cut from ``board`` by ``cutter``.

    Raises FormError where no panel is left, or for values that no cushion can have.
    """
    envelope = cushion.envelope
    drawn = cushion.outline or _on_part(part, spec, envelope.side, scale)
    base = envelope.panel_thickness + PLEAT * spec.cloth_thickness
    outline, pose, back = _placed(drawn, part, spec, base)
    buttons, told = button_layout(outline, spec, scale)
    bead = bead_for(spec, scale)
    web, opening = board.smallest_web(cutter), board.smallest_opening(cutter)
    panels, of_panels = make_panels(
        outline, buttons, bead, opening, web, front=1 if back else -1, name=spec.name
    )
    batting, of_batting = make_batting(
        outline, spec.batting_layers, spec.batting_thickness, spec.swell, spec.name
    )
    surface = solve_surface(outline, buttons, batting.crown, spec.dip, bead, spec.swell, spec.manner)
    cloth = solve_cloth(
        outline,
        buttons,
        surface,
        spec.manner,
        envelope.panel_thickness,
        spec.turn_under,
        "back" if back else "seat",
    )
    stitching = make_stitching(buttons, bead, envelope.panel_thickness + batting.crown)
    piping, of_piping = make_piping(outline, spec)
    made = Upholstery(
        name=spec.name,
        on=cushion.on,
        outline=outline,
        pose=pose,
        back=back,
        envelope=envelope,
        manner=spec.manner,
        buttoning=buttons,
        panels=panels,
        batting=batting,
        surface=surface,
        cloth=cloth,
        stitching=stitching,
        piping=piping,
    )
    cloth_only = envelope.side - (spec.piping + 2.0 * spec.cloth_thickness if spec.piping > 0.0 else 0.0)
    found = (
        *told,
        *(bead_findings(spec, scale) if buttons.points else ()),
        *of_panels,
        *of_batting,
        *cloth_findings(spec, scale, outline, cloth_only),
        *pillow_findings(spec, buttons, surface, cloth.lengths, scale),
        *of_piping,
        *(rim_findings(envelope, spec, cushion.rim, scale) if cushion.rim > 0.0 else ()),
    )
    return made, found


def _on_part(part: Part, spec: CushionSpec, side: float, scale: float) -> Region:
    """The part's outline, drawn in so that the covered cushion keeps its inset from the edge."""
    inset = (INSET / scale if spec.inset is None else spec.inset) + side
    whole = Flat(part.outline.flat.exterior)
    left = pieces(grown(whole, -inset))
    if len(left) != 1 or min(_size(left[0])) < LEAST:
        raise FormError(
            f"on {part.name!r} there is no room for the cushion {spec.name!r}.",
            "inset",
            "Give a smaller inset, or put it on a larger part.",
        )
    return borders(left[0], [Parallel(Region(part.outline.outline), -inset)])


def _placed(drawn: Region, part: Part, spec: CushionSpec, base: float) -> tuple[Region, Pose, bool]:
    """The outline about its own middle, seen from outside, and where that middle lies in the piece.

    ``base`` is how far the panels' upper face lies above the part, mm.
    """
    x0, y0, x1, y1 = drawn.bounds
    middle: Point = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    upper = spec.face == "upper"
    flip = 1.0 if upper else -1.0
    matrix, shift = ((flip, 0.0), (0.0, 1.0)), (-flip * middle[0], -middle[1])
    path = drawn.outline.mapped(matrix, shift)
    outline = Region(path if upper else path.reversed())
    height = part.stack.thickness + base if upper else -base
    own = Pose((*middle, height), (flip, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, flip))
    pose = own.then(part.pose)
    return outline, pose, abs(pose.z[2]) < LEVEL


def _size(flat: Flat) -> tuple[float, float]:
    x0, y0, x1, y1 = flat.bounds
    return x1 - x0, y1 - y0
