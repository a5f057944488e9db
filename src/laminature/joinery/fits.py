"""Which fit a joint has: that of layers laid by hand, or the tighter one of layers that are held in line.

Each clearance answers for the layers that wander there. The walls of a slot are those of the part
that receives, so the clearance across the thickness is tight where its layers are held. The end of
a tab is made by the layers of the part that enters. Along the tab both wander.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from laminature.model.fit import Fit
from laminature.model.part import Part


def fit_between(usual: Fit, receiver: Part, entering: Part) -> Fit:
    """The fit of a joint in which ``entering`` ends on or in ``receiver``.

    ``usual`` is that of layers laid by hand; what it adds for hardened faces and coats stays.
    """
    into, out = receiver.gluing, entering.gluing
    if not into.held and not out.held:
        return usual
    across = min(usual.across, into.fit.across) if into.held else usual.across
    end = min(usual.end, out.fit.end) if out.held else usual.end
    along = usual.along
    if into.held and out.held:
        along = min(along, max(into.fit.along, out.fit.along))
    name = into.fit.name if into.held else out.fit.name
    if not (into.held and out.held):
        name = f"{usual.name}, partly {name}"
    return replace(usual, name=name, across=across, along=along, end=end)


def fit_among(usual: Fit, parts: Iterable[Part]) -> Fit:
    """The fit of parts that cross, each cut to let the others through: tight where all are held."""
    gluings = [p.gluing for p in parts]
    if not all(g.held for g in gluings):
        return usual
    return replace(
        usual,
        name=gluings[0].fit.name,
        across=min(usual.across, max(g.fit.across for g in gluings)),
        along=min(usual.along, max(g.fit.along for g in gluings)),
        end=min(usual.end, max(g.fit.end for g in gluings)),
    )
