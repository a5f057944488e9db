"""Steps, written down one after the other from the tree of a piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from laminature.geometry.pose import Vector
from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.part import Part
from laminature.model.step import Assembly, Step
from laminature.planning.holding import closing_of, glue_for, hold_for, hold_on, travel_of
from laminature.planning.price import ABOVE
from laminature.planning.puzzle import Mask, Puzzle
from laminature.planning.search import Join, Tree
from laminature.planning.ways import dot, opposite

DOWN: Vector = (0.0, 0.0, -1.0)
STILL: Vector = (0.0, 0.0, 0.0)


class Written:
    """The steps of a piece so far. Sub-assemblies that go onto something else are noted: they cure apart."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self._parts = {p.name: p for p in parts}
        self._steps: list[Step] = []
        self._apart: list[tuple[int, ...]] = []

    def assembly(self) -> Assembly:
        """All that was written."""
        return Assembly(tuple(self._steps), tuple(self._apart))

    def tree(self, puzzle: Puzzle, tree: Tree, *, apart: bool = False) -> None:
        """The steps of a tree: what is put together aside first, so that it cures meanwhile."""
        first = len(self._steps)
        if isinstance(tree, Join):
            goes_on = tree.base if tree.aside is tree.moving else tree.moving
            spread = any((tree.moving.mask >> i) & 1 for i, _ in tree.spread)
            for side in (tree.aside, goes_on):
                self.tree(puzzle, side, apart=side is tree.moving and not spread)
            self._join(puzzle, tree)
        if apart and len(self._steps) > first:
            self._apart.append(tuple(s.number for s in self._steps[first:]))

    def _join(self, puzzle: Puzzle, join: Join) -> None:
        joints = puzzle.closing(join.base.mask, join.moving.mask)
        base = puzzle.names(join.base.mask)
        met = {name for joint in joints for name in (joint.receiver, joint.entering)}
        onto = tuple(name for name in base if name in met) or base
        spread = tuple((puzzle.parts[i].name, way) for i, way in join.spread)
        self._keep_open(puzzle, dict(spread))
        self._add(
            puzzle.names(join.moving.mask),
            onto,
            join.way,
            travel_of(joints, self._parts, join.way),
            joints,
            down=join.down,
            spread=spread,
        )

    def _keep_open(self, puzzle: Puzzle, spread: Mapping[str, Vector]) -> None:
        """Joints made before, whose two parts stand differently while the next step is done, wait for it."""
        waiting = {
            j.name for j in puzzle.joints if spread.get(j.receiver, STILL) != spread.get(j.entering, STILL)
        }
        for n, step in enumerate(self._steps):
            if waiting.intersection(step.joints):
                self._steps[n] = replace(step, open_until=self._next, hold="none")

    def face(self, name: str, way: Vector) -> None:
        """The outer layer of a part, glued on over its joints."""
        down = DOWN if dot(way, DOWN) > ABOVE else way
        self._steps.append(
            Step(self._next, (name,), (name,), way, 0.0, (), "tube", down, "weight", face=True)
        )

    def loose(self, puzzle: Puzzle, mask: Mask, onto: Sequence[str], way: Vector, travel: float) -> None:
        """A loose group, put in place without glue."""
        self._put_in(puzzle.names(mask), onto, way, travel)

    def cushion(self, cushion: Upholstery, way: Vector, travel: float, dropped_in: bool) -> None:
        """A cushion: dropped into its frame, or glued onto its part."""
        if dropped_in:
            self._put_in((cushion.name,), (cushion.on,), way, travel)
            return
        hold = hold_on(cushion.outline.flat)
        # Where a weight is laid on it, the work lies so that it comes from above.
        down = DOWN if dot(way, DOWN) > (ABOVE if hold == "weight" else -ABOVE) else way
        self._steps.append(
            Step(self._next, (cushion.name,), (cushion.on,), way, travel, (), "tube", down, hold)
        )

    def _put_in(self, moving: tuple[str, ...], onto: Sequence[str], way: Vector, travel: float) -> None:
        down = DOWN if dot(way, DOWN) > -ABOVE else opposite(DOWN)
        step = Step(self._next, moving, tuple(onto), way, travel, (), "none", down, "none", loose=True)
        self._steps.append(step)

    def _add(
        self,
        moving: tuple[str, ...],
        onto: tuple[str, ...],
        way: Vector,
        travel: float,
        joints: Sequence[Joint],
        *,
        down: Vector,
        spread: tuple[tuple[str, Vector], ...],
    ) -> None:
        self._steps.append(
            Step(
                number=self._next,
                moving=moving,
                onto=onto,
                way=way,
                travel=travel,
                joints=tuple(j.name for j in joints),
                glue=glue_for(joints, self._parts),
                down=down,
                hold="clamp" if spread else hold_for(joints, self._parts, way, down),
                closes=closing_of(joints),
                spread=spread,
            )
        )

    @property
    def _next(self) -> int:
        return len(self._steps) + 1
