"""Parts that can only be put together all at once, each along its own straight line.

A seat whose splayed sides are tied by a rail is the common case: the seat cannot go onto both sides
along one line, nor can a side go onto seat and rail. But while the seat comes down, the sides may close up
a little. With a velocity v for each part, two parts that a joint holds may only part along that joint's way
out e: v_i − v_j = λ·e, λ ≥ 0. That is a linear programme (Wilson and Latombe, 1994, on several hands); its
answer is then tested on the solids, pair by pair, along the straight relative ways.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.pose import Vector
from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.ways import opposite

Array = NDArray[np.float64]
#: Parts that stand apart, and by which vector for each mm that the moving part is away.
Spread = tuple[tuple[int, Vector], ...]
#: Speeds below this are none.
STILL = 1e-6
#: Parts of a locked group that this is tried for: larger ones would take long to no purpose.
MOST = 16


def together(puzzle: Puzzle, left: Mask) -> tuple[Mask, Vector, Spread] | None:
    """What moves away, along which way, and how the others spread meanwhile; None where nothing does.

    The way is of unit length, and spreads are vectors for each mm along it.
    """
    numbers = list(bits(left))
    if not 3 <= len(numbers) <= MOST:
        return None
    held = _held(puzzle, left)
    best: Array | None = None
    for k in range(len(held)):
        speeds = _least_motion(len(numbers), held, k, numbers)
        if speeds is None:
            continue
        # Seen from the part whose rest leaves the least to be moved; what meets what is the same for all.
        seen = min((speeds - speeds[still] for still in range(len(numbers))), key=_moved)
        if (best is None or _moved(seen) < _moved(best) - 1e-9) and _free(puzzle, numbers, seen):
            best = seen
    if best is None:
        return None
    size = np.linalg.norm(best, axis=1)
    fastest = size.max()
    leads = best[int(np.argmax(size))]
    off: Mask = 0
    spread = []
    for n, v in zip(numbers, best, strict=True):
        if float(np.abs(v - leads).max()) < STILL:
            off |= 1 << n
        elif float(np.linalg.norm(v)) > STILL:
            spread.append((n, _vector(v / fastest)))
    return off, _vector(leads / fastest), tuple(spread)


def _held(puzzle: Puzzle, left: Mask) -> list[tuple[int, int, Vector]]:
    """Pairs that a joint holds: i may leave j along the way out; one for each pair."""
    found = []
    for (i, j), joints in puzzle.between.items():
        if not (left >> i & 1 and left >> j & 1):
            continue
        for joint in joints:
            if joint.depth and joint.entries:
                entering = puzzle.number[joint.entering]
                other = j if entering == i else i
                found.append((entering, other, opposite(joint.entries[0])))
                break
    return found


def _least_motion(
    count: int, held: Sequence[tuple[int, int, Vector]], opened: int, numbers: Sequence[int]
) -> Array | None:
    """Speeds that open one joint at speed 1 and the others as little as can be, or None."""
    from scipy.optimize import linprog

    place = {n: k for k, n in enumerate(numbers)}
    m = len(held)
    equal = np.zeros((3 * m + 3, 3 * count + m))
    for k, (i, j, out) in enumerate(held):
        for axis in range(3):
            row = 3 * k + axis
            equal[row, 3 * place[i] + axis] = 1.0
            equal[row, 3 * place[j] + axis] = -1.0
            equal[row, 3 * count + k] = -out[axis]
    for axis in range(3):
        equal[3 * m + axis, axis] = 1.0
    cost = np.concatenate([np.zeros(3 * count), np.ones(m)])
    limits = [(None, None)] * (3 * count) + [(1.0, 1.0) if k == opened else (0.0, 1.0) for k in range(m)]
    found = linprog(cost, A_eq=equal, b_eq=np.zeros(len(equal)), bounds=limits, method="highs")
    if found.status != 0:
        return None
    speeds: Array = np.asarray(found.x[: 3 * count]).reshape(count, 3)
    return np.where(np.abs(speeds) < 1e-12, 0.0, speeds)


def _moved(speeds: Array) -> float:
    """How much gives way beside the part that moves most."""
    return float(np.sort(np.linalg.norm(speeds, axis=1))[:-1].sum())


def _free(puzzle: Puzzle, numbers: Sequence[int], speeds: Array) -> bool:
    """Whether no two parts meet, each moving at its own speed."""
    for a, i in enumerate(numbers):
        for b, j in enumerate(numbers[:a]):
            v = speeds[a] - speeds[b]
            size = float(np.linalg.norm(v))
            if size > STILL and puzzle.meet(i, j, _vector(v / size)):
                return False
    return True


def _vector(v: Array) -> Vector:
    x, y, z = (float(a) + 0.0 for a in v)
    return (x, y, z)
