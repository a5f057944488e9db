"""How much room a covered cushion takes, in closed form, before the furniture around it is drawn.

A seat pad is a panel of board with batting on its upper face and cloth drawn over all of it,
turned under and glued. Where the cloth turns a corner it is laid in a pleat: three
thicknesses lie on each other there, on the side and below, and a frame must clear that
thickest place (common practice, no source).
"""

from __future__ import annotations

import math

from laminature.errors import FormError
from laminature.model.cushion import CushionEnvelope
from laminature.model.design import CushionSpec

#: Cloth thicknesses that lie on each other where a corner is pleated.
PLEAT = 3


def envelope(spec: CushionSpec, panel_thickness: float) -> CushionEnvelope:
    """The outer measures of the cushion that ``spec`` describes, actual size, mm.

    With cloth of thickness *c*, *n* layers of batting of thickness *b* as it lies under the
    cloth, a panel of thickness *p* (``panel_thickness``) and piping cord of diameter *d*
    (0 for none)::

        side   = 3 c + (d + 2 c, where there is piping: the cord in its own cloth)
        height = p + n b + c + 3 c      (cloth above, pleat below)

    so a panel of width w becomes w + 2 · side, and an opening that takes it
    w + 2 · (side + clearance). The batting is cut to the panel and adds nothing at the sides.
    Raises FormError for a value that is negative or no number, and for a panel without thickness.
    """
    for name in ("batting_layers", "batting_thickness", "cloth_thickness", "piping", "clearance"):
        value = float(getattr(spec, name))
        if not (math.isfinite(value) and value >= 0.0):
            raise FormError(
                f"the cushion's {name} is {value:g}, and has to be 0 or more.", name, "Give it in actual mm."
            )
    if not (math.isfinite(panel_thickness) and panel_thickness > 0.0):
        raise FormError(
            "the cushion's panel has no thickness.", "panel_layers", "Give the panel at least 1 layer."
        )
    cloth = spec.cloth_thickness
    piped = spec.piping + 2.0 * cloth if spec.piping > 0.0 else 0.0
    return CushionEnvelope(
        panel_thickness=panel_thickness,
        side=PLEAT * cloth + piped,
        height=panel_thickness + spec.batting_layers * spec.batting_thickness + (1 + PLEAT) * cloth,
        clearance=spec.clearance,
        cloth=cloth,
    )
