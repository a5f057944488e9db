"""Steps of assembly made again with solids of manifold3d, and with nothing of what planned them."""

import manifold3d as m3
import numpy as np

#: Where a step is looked at: shares of the way on which its joints close, then of the whole piece's size.
NEAR = (0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0, 1.1, 1.5)
FAR = (0.03, 0.1, 0.2, 0.4, 0.7, 1.0)
#: Solids may share so much, mm³.
LIMIT = 2e-3


def faults(solids, assembly, groups):
    """What is wrong with the steps of an assembly, in words; nothing where all is well.

    ``solids`` are the parts' by name, ``groups`` their loose groups.
    """
    together = {name: frozenset([name]) for name in solids}
    boxes = np.array([s.bounding_box() for s in solids.values()])
    size = float(np.linalg.norm(boxes[:, 3:].max(axis=0) - boxes[:, :3].min(axis=0)))
    found = []
    for n, step in enumerate(assembly.steps, start=1):
        if step.number != n:
            found.append(f"step {step.number} is the {n}th")
        if step.face or step.moving[0] not in solids:
            continue
        moving, base = together[step.moving[0]], together[step.onto[0]]
        if set(step.moving) != moving:
            found.append(f"step {n}: {step.moving} move, but {sorted(moving)} hang together")
        if not set(step.onto) <= base or moving & base:
            found.append(f"step {n}: {step.onto} are not together yet, or already with what moves")
        for away in sorted({*(step.travel * s for s in NEAR), *(size * s for s in FAR)}):
            shared = _shared(solids, step, moving, base, away)
            if shared > LIMIT:
                found.append(f"step {n}: {step.moving} meet {step.onto} {away:.2f} mm away: {shared:.4f} mm³")
        whole = moving | base
        together.update(dict.fromkeys(whole, whole))
    if len(set(together.values())) != 1:
        found.append(f"not all together in the end: {[sorted(t) for t in set(together.values())]}")
    if groups and any(step.loose for step in assembly.steps) != any(groups.values()):
        found.append("what is loose is not put in loosely")
    return found


def _shared(solids, step, moving, base, away):
    """The volume that the two sides share while what moves is still ``away`` mm from its place."""
    open_by = min(away, step.travel)
    spread = {name: open_by * np.asarray(way) for name, way in step.spread}

    def put(names, shift):
        return [solids[n].translate(tuple(shift + spread.get(n, np.zeros(3)))) for n in sorted(names)]

    one, two = put(moving, -away * np.asarray(step.way)), put(base, np.zeros(3))
    shared = _volume(one, two)
    if spread:
        # Those that stand open may not lie in their neighbours of the same side either.
        shared += sum((a ^ b).volume() for side in (one, two) for k, a in enumerate(side) for b in side[:k])
    return shared


def _volume(one, two):
    union = [
        m3.Manifold.batch_boolean(side, m3.OpType.Add) if len(side) > 1 else side[0] for side in (one, two)
    ]
    return (union[0] ^ union[1]).volume()
