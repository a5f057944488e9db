"""Which bead stands for a button.

Buttons are measured in lignes: 40 to the inch, so 1 ligne is 0.635 mm (trade charts, which round; not
the watchmakers' ligne). A 30-ligne button is 19.05 mm, 1.59 mm at 1:12.
"""

from __future__ import annotations

from dataclasses import replace

from laminature.model.design import CushionSpec
from laminature.model.finding import Finding, Mend
from laminature.units import LIGNE, in_mm

#: The button of a design that names none, lignes (common practice, no source).
USUAL_BUTTON = 30.0
#: Diameters in which small round beads are sold, mm (common practice, no source).
BEADS = (1.5, 1.8, 2.0, 2.2, 2.5, 3.0)
#: A bead further off its button than this share is told to the maker.
OFF_SCALE = 0.15


def lignes(size: float) -> float:
    """A full-size diameter in mm, in lignes."""
    return size / float(LIGNE)


def button_size(spec: CushionSpec, scale: float) -> float:
    """The diameter of the button wanted, mm at miniature scale."""
    return spec.button if spec.button is not None else USUAL_BUTTON * float(LIGNE) / scale


def bead_for(spec: CushionSpec, scale: float) -> float:
    """The diameter of the beads, mm: the maker's own, else that sold nearest to the button wanted."""
    if spec.bead is not None:
        return spec.bead
    wanted = button_size(spec, scale)
    return min(BEADS, key=lambda bead: (abs(bead - wanted), bead))


def bead_findings(spec: CushionSpec, scale: float) -> tuple[Finding, ...]:
    """Which button the bead stands for at full size, where it is not nearly the one wanted."""
    wanted, bead = button_size(spec, scale), bead_for(spec, scale)
    if abs(bead - wanted) <= OFF_SCALE * wanted:
        return ()
    said = (
        f"The beads of {in_mm(bead)} stand for buttons of {lignes(bead * scale):.0f} lignes "
        f"({in_mm(bead * scale, 1)}), where {lignes(wanted * scale):.0f} lignes ({in_mm(wanted * scale, 1)}) "
        "are wanted."
    )
    remedy = (
        f"A button true to scale is {in_mm(wanted)} across; French knots or punched discs can be smaller."
    )
    mend = None
    if spec.bead is not None and not bead_findings(replace(spec, bead=None), scale):
        mend = Mend("Take the nearest bead that is sold", ((("cushion", spec.name, "bead"), None),))
    return (Finding("bead-off-scale", "note", said, remedy, spec.name, mend=mend),)
