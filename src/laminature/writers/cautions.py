"""Cautions, only those that a kit needs. They defer to data sheets, local rules and trained people.

Sources: NIOSH and WHO/IPCS CICAD 36, ICSC 1272 for irritation and sensitising by cyanoacrylates; *Journal of
Burn Care & Research*, doi 10.1093/jbcr/iraa174, for the heat of CA on cotton (3 g reached 91 °C about 90 s
after it was put on); producers' data sheets for its vapour at 150 to 200 °C; the rest common practice.
"""

from __future__ import annotations

from typing import Literal

_CA = (
    "CA glue (cyanoacrylate) gives off vapour that irritates eyes and airways, and some people become "
    "sensitised to it. Hardening whole parts gives far more of it than a drop of glue: open the window and "
    "run a fan away from your face; wear eye protection, and a respirator if you are sensitive.",
    "CA bonds skin within seconds. Wear gloves, but not of cotton or wool: on cotton, wool and tissue it "
    "becomes hot enough to burn. In a test 3 g on cotton reached 91 °C within about 90 seconds. Keep it off "
    "cloth, rags and tissue; never wipe it up with them.",
    "No flame to clear a clogged metal tip, and no heat tool on wet or hardened CA: at 150 to 200 °C it "
    "gives off its vapour again, and it burns. Pull the plug out, cut the tip back, or soak it.",
)
_CLOTH = (
    "Batting and cloth come last: harden, cure, stain, top-coat and air the woodwork for 24 hours before. "
    "The vapour of CA whitens cloth and dark stain."
)
_BLADE = "Blades: a fresh one, several light strokes, away from your fingers, on a mat; cap it when you rest."
_LASER = (
    "A laser cuts known materials only, and nothing that was ever hardened; it is never left alone while it "
    "runs, its smoke is drawn off outdoors, and an extinguisher is at hand."
)
_DUST = (
    "Dust of hardened card is not for your lungs: a mask, a vacuum at the work, or wet sanding; wipe up, do "
    "not blow."
)
_TOY = "Not a toy. Small parts, needles and glue are kept away from children and animals."
END = (
    "These are reminders, not instructions. The safety data sheet of your product, the manual of your "
    "machine and the rules where you live come first; ask somebody qualified where you are not sure."
)


def cautions(cutter: Literal["knife", "laser"], cushions: bool) -> tuple[str, ...]:
    """The cautions for a kit that is cut with ``cutter``, with ``cushions`` or without."""
    cloth = (_CLOTH,) if cushions else ()
    beam = (_LASER,) if cutter == "laser" else ()
    return (*_CA, *cloth, _BLADE, *beam, _DUST, _TOY)
