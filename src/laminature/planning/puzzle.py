"""A piece as a puzzle: its parts as bits, what bars what on which way, and what holds on to what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np

from laminature.geometry.pose import Vector
from laminature.geometry.solid import Solid
from laminature.geometry.sweeping import meets
from laminature.model.joint import Joint
from laminature.model.part import Part
from laminature.planning.ways import more_ways, opposite, ways_of

#: Some of the parts: bit i stands for part i.
Mask = int


def bits(mask: Mask) -> Iterator[int]:
    """The numbers of the parts in ``mask``, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class Puzzle:
    """Parts that are put together, by number, with the ways along which they are tried.

    ``ways`` holds unit vectors, each followed by its opposite: ``k ^ 1`` is the way back of way ``k``.
    What bars what is worked out once for each way, when it is first asked for.
    """

    def __init__(
        self,
        parts: Sequence[Part],
        solids: Sequence[Solid],
        joints: Sequence[Joint],
        *,
        thorough: bool = False,
    ) -> None:
        self.parts = tuple(parts)
        self.solids = tuple(solids)
        self.number = {p.name: i for i, p in enumerate(parts)}
        self.whole: Mask = (1 << len(parts)) - 1
        self.joints = tuple(j for j in joints if j.receiver in self.number and j.entering in self.number)
        self.ways = list((more_ways if thorough else ways_of)(self.joints, self.parts))
        # Parts that are alike share a letter; before letters are allotted, an outline and a stack.
        self.likeness = [p.letter or (p.outline, p.stack, p.profile, p.rim) for p in self.parts]
        self.between: dict[tuple[int, int], list[Joint]] = defaultdict(list)
        self.touching: list[Mask] = [0] * len(parts)
        for joint in self.joints:
            i, j = self.number[joint.receiver], self.number[joint.entering]
            self.between[min(i, j), max(i, j)].append(joint)
            self.touching[i] |= 1 << j
            self.touching[j] |= 1 << i
        self._bars: dict[int, list[Mask]] = {}
        self._ignored = np.zeros((len(parts), len(parts)), dtype=bool)

    def bars(self, k: int) -> list[Mask]:
        """For each part, all parts that it would meet if it were moved along way ``k`` without end."""
        if k not in self._bars:
            found = meets(self.solids, self.ways[k]) & ~self._ignored
            self._bars[k] = _masks(found)
            # One meets the other exactly where the other, moved the other way, meets the one.
            self._bars[k ^ 1] = _masks(found.T)
        return self._bars[k]

    def meet(self, i: int, j: int, way: Vector) -> bool:
        """Whether part ``i``, moved along any ``way``, meets part ``j``."""
        k = self._known(way)
        if k is not None:
            return bool(self.bars(k)[i] >> j & 1)
        return bool(meets([self.solids[i], self.solids[j]], way)[0, 1])

    def way_number(self, way: Vector) -> int:
        """The number of a way, which is added where it is new."""
        k = self._known(way)
        if k is None:
            k = len(self.ways)
            self.ways += [way, opposite(way)]
        return k

    def _known(self, way: Vector) -> int | None:
        """A way that is the same but for rounding."""
        return next(
            (
                k
                for k, w in enumerate(self.ways)
                if max(abs(a - b) for a, b in zip(way, w, strict=True)) < 1e-9
            ),
            None,
        )

    def ignore(self, i: int, j: int) -> None:
        """Do not let two parts bar each other: they lie in each other already, which is told elsewhere."""
        self._ignored[[i, j], [j, i]] = True
        self._bars.clear()

    def carried(self, part: int, k: int, within: Mask) -> Mask:
        """The parts of ``within`` that have to go along when ``part`` is moved along way ``k``."""
        bars = self.bars(k)
        moved: Mask = 1 << part
        fresh = moved
        while fresh:
            met = 0
            for i in bits(fresh):
                met |= bars[i]
            fresh = met & within & ~moved
            moved |= fresh
        return moved

    def locked(self, mask: Mask) -> bool:
        """Whether no part of ``mask`` can be moved off, alone or with others, along any of the ways."""
        # All of them go along with the first one, and it with each of them.
        first = (mask & -mask).bit_length() - 1
        return all(self.carried(first, k, mask) == mask for k in range(len(self.ways)))

    def barring(self, moving: Mask, k: int, rest: Mask) -> Mask:
        """Those of ``rest`` that ``moving`` meets on way ``k``."""
        bars = self.bars(k)
        met: Mask = 0
        for i in bits(moving):
            met |= bars[i]
        return met & rest

    def connected(self, mask: Mask) -> bool:
        """Whether the parts of ``mask`` hang together by their joints."""
        return self.held_with(mask & -mask, mask) == mask

    def held_with(self, some: Mask, within: Mask) -> Mask:
        """All of ``within`` that hangs together with ``some`` of it by joints."""
        seen = fresh = some
        while fresh:
            met = 0
            for i in bits(fresh):
                met |= self.touching[i]
            fresh = met & within & ~seen
            seen |= fresh
        return seen

    def closing(self, one: Mask, other: Mask) -> list[Joint]:
        """The joints between parts of ``one`` and parts of ``other``, in the order of the piece."""
        found = []
        for i in bits(one):
            for j in bits(self.touching[i] & other):
                found += self.between[min(i, j), max(i, j)]
        return found

    def names(self, mask: Mask) -> tuple[str, ...]:
        """The names of the parts in ``mask``."""
        return tuple(self.parts[i].name for i in bits(mask))


def _masks(found: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> list[Mask]:
    rows = []
    for row in found:
        mask = 0
        for j in np.nonzero(row)[0]:
            mask |= 1 << int(j)
        rows.append(mask)
    return rows
