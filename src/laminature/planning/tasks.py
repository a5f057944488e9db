"""The tasks of a kit: what is done at the bench, how long hands are on it, and what waits for what.

Times come from the piece's own areas, edges and counts, and from the rates. Alike stacks go through the bench
together, as many as are glued in one go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from laminature.model.cushion import Upholstery
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.rates import Rates
from laminature.model.sheet import Sheet
from laminature.model.step import Assembly, Step
from laminature.model.task import Task
from laminature.planning.batches import DM2, Batch, batches_of, gluing
from laminature.planning.measures import line, measured, seam, slots, surface

M = 1e3


def tasks_for(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    sheets: Sequence[Sheet],
    assembly: Assembly | None,
    cushions: Sequence[Upholstery],
    rates: Rates,
    seconds: Mapping[str, float],
    cutter: Literal["knife", "laser"] = "knife",
) -> tuple[Task, ...]:
    """All tasks, in the order in which a maker would write them down: stage after stage.

    ``seconds`` is how long the cutter runs on each sheet, by the sheet's name: a knife by itself, a laser
    never unattended. Without an ``assembly`` putting together is one task. CA comes only after the water
    glue below it has dried, and cloth only after everything that was hardened or coated has aired.
    """
    return _Bench(piece, joints, layers, sheets, cushions, rates).all(assembly, seconds, cutter)


class _Bench:
    def __init__(
        self,
        piece: Piece,
        joints: Sequence[Joint],
        layers: Sequence[Layer],
        sheets: Sequence[Sheet],
        cushions: Sequence[Upholstery],
        rates: Rates,
    ) -> None:
        self.piece, self.joints, self.sheets = piece, joints, sheets
        self.cushions, self.rates = cushions, rates
        self.stacks = measured(piece, joints, layers)
        self.batches = batches_of(self.stacks, rates)
        self.tasks: list[Task] = []
        #: The last task of each part so far.
        self.last: dict[str, str] = {}

    def all(self, assembly: Assembly | None, seconds: Mapping[str, float], cutter: str) -> tuple[Task, ...]:
        self.cut(seconds, cutter)
        if not self.stacks:
            return tuple(self.tasks)
        self.glue()
        self.harden()
        self.fit()
        self.sand()
        self.assemble(assembly)
        self.finish()
        self.upholster()
        self.put_in(assembly)
        return tuple(self.tasks)

    def add(
        self,
        name: str,
        kind: str,
        title: str,
        hands: float,
        wait: float = 0.0,
        after: Sequence[str] = (),
        parts: Sequence[str] = (),
    ) -> str:
        """A task more, its hands-on time in half minutes, and that it is the last so far of its parts."""
        minutes = max(0.5, round(2.0 * hands) / 2.0) if hands > 0.0 else 0.0
        waits = tuple(dict.fromkeys(after))
        self.tasks.append(Task(name, kind, title, minutes, round(2.0 * wait) / 2.0, waits, tuple(parts)))
        self.last.update(dict.fromkeys(parts, name))
        return name

    def so_far(self, parts: Sequence[str]) -> tuple[str, ...]:
        """The last tasks of parts, each once."""
        return tuple(dict.fromkeys(self.last[p] for p in parts if p in self.last))

    def cut(self, seconds: Mapping[str, float], cutter: str) -> None:
        rates, before = self.rates.cut, ""
        for sheet in self.sheets:
            runs = seconds.get(sheet.name, 0.0) / 60.0
            hands, wait = (rates.sheet + runs, 0.0) if cutter == "laser" else (rates.sheet, runs)
            after = (before,) if before else ()
            before = self.add(f"cut/{sheet.name}", "cut", f"Cut {sheet.name}", hands, wait, after)
        weeded: dict[str, list[str]] = {}
        for sheet in self.sheets:
            count = len(sheet.placements)
            name = self.add(
                f"weed/{sheet.name}",
                "weed",
                f"Weed {sheet.name}, label {count} pieces",
                rates.piece * count,
                after=(f"cut/{sheet.name}",),
            )
            for placement in sheet.placements:
                weeded.setdefault(placement.part, []).append(name)
        self.weeded = {part: tuple(dict.fromkeys(names)) for part, names in weeded.items()}

    def ready(self, batch: Batch) -> tuple[str, ...]:
        """What a batch waits for: the tasks before, or the sheets that its layers lie on."""
        return self.so_far(batch.parts) or tuple(n for p in batch.parts for n in self.weeded.get(p, ()))

    def glue(self) -> None:
        rates = self.rates.glue
        glued = [b for b in self.batches if b.stacks[0].contacts]
        for batch in glued:
            layers = sum(len(s.layers) for s in batch.stacks)
            self.add(
                f"glue/{batch.name}",
                "glue",
                f"Glue {batch.words}, {layers} layers",
                gluing(batch.stacks, self.rates),
                0.0,
                self.ready(batch),
                batch.parts,
            )
        for batch in glued:
            self.add(
                f"dry/{batch.name}",
                "dry",
                f"Dry {batch.words}, at first {rates.weight:.0f} min under weight",
                0.0,
                max(rates.dry, rates.weight),
                self.ready(batch),
                batch.parts,
            )

    def harden(self) -> None:
        rates = self.rates.harden
        for face in ("lower", "upper"):
            for batch in self.batches:
                if batch.stacks[0].small and face == "lower":
                    continue
                areas = sum(s.lower if face == "lower" else s.upper for s in batch.stacks) / DM2
                hands = rates.area * areas
                hands += 0.0 if batch.stacks[0].small else rates.face * len(batch.stacks)
                if face == "upper":
                    hands += rates.edge * sum(s.round for s in batch.stacks) / M
                self.add(
                    f"harden/{batch.name}/{face}",
                    "harden",
                    f"Harden {batch.words}: " + ("lower face" if face == "lower" else "upper face, edges"),
                    hands,
                    rates.turn,
                    self.ready(batch),
                    batch.parts,
                )
        for batch in self.batches:
            self.add(
                f"cure/{batch.name}",
                "check",
                f"Look over both faces of {batch.words}; cure",
                rates.check * (1 if batch.stacks[0].small else len(batch.stacks)),
                rates.cure,
                self.ready(batch),
                batch.parts,
            )

    def fit(self) -> None:
        rates = self.rates.fit
        count: dict[str, int] = {}
        for joint in self.joints:
            for part, n in slots(joint).items():
                count[part] = count.get(part, 0) + n
        for batch in self.batches:
            n = sum(count.get(p, 0) for p in batch.parts)
            if n:
                many = "1 slot" if n == 1 else f"{n} slots and notches"
                title = f"Ease {many} of {batch.words}"
                self.add(
                    f"ease/{batch.name}", "ease", title, rates.slot * n, 0.0, self.ready(batch), batch.parts
                )
        joined = [s.name for s in self.stacks if any(s.name in (j.receiver, j.entering) for j in self.joints)]
        if joined:
            title = f"Put the piece together dry, {len(self.joints)} joints"
            hands = rates.joint * len(self.joints)
            self.add("dry-fit", "dry-fit", title, hands, 0.0, self.so_far(joined), joined)

    def sand(self) -> None:
        rates = self.rates.sand
        for batch in self.batches:
            if batch.stacks[0].cushion:
                continue
            edge = sum(s.bare for s in batch.stacks) / M
            face = sum(s.shown for s in batch.stacks) / DM2
            hands = rates.part * len(batch.stacks) + rates.edge * edge + rates.area * face
            what = [f"{100.0 * edge:.0f} cm of edge"] if edge >= 0.005 else []
            what += ["faces"] if face else []
            title = f"Sand {batch.words}" + (f", {' and '.join(what)}" if what else "")
            self.add(f"sand/{batch.name}", "sand", title, hands, 0.0, self.ready(batch), batch.parts)

    def assemble(self, assembly: Assembly | None) -> None:
        if not self.joints:
            return
        rates = self.rates.join
        if assembly is None or not assembly.steps:
            names = [s.name for s in self.stacks if not s.cushion]
            hands = (rates.step + rates.hand) * len(names) + rates.joint * len(self.joints)
            title = f"Glue the piece together, {len(self.joints)} joints"
            self.add("assemble", "assemble", title, hands, rates.clamp, self.so_far(names), names)
        else:
            together: dict[str, frozenset[str]] = {}
            for step in assembly.steps:
                if not step.loose:
                    self._step(step, together)
        whole = [s.name for s in self.stacks if not s.cushion]
        title = "Let the joints dry through"
        self.add("dry/joints", "dry", title, 0.0, rates.dry, self.so_far(whole), whole)
        along = sum(line(j) for j in self.joints) / M
        title = f"Reinforce joints with thin CA, {100.0 * along:.0f} cm"
        hands = rates.reinforce * along + rates.touch * len(self.joints)
        self.add("reinforce", "reinforce", title, hands, rates.set, ("dry/joints",), whole)
        self._last_faces()

    def _step(self, step: Step, together: dict[str, frozenset[str]]) -> None:
        """A step waits for whatever was done last to any part that already holds to those of the step."""
        rates = self.rates.join
        mine = frozenset((*step.moving, *step.onto))
        group = mine.union(*(together.get(name, frozenset()) for name in mine))
        together.update(dict.fromkeys(group, group))
        hands = rates.step + rates.joint * len(step.joints)
        hands += rates.hand if step.hold == "hand" else 0.0
        wait = {"clamp": rates.clamp, "weight": rates.weight}.get(step.hold, 0.0)
        title = f"Step {step.number}: {self._titles(step.moving)}"
        if step.onto:
            title += f" to {self._titles(step.onto)}"
        parts = [s.name for s in self.stacks if s.name in group]
        after = self.so_far(parts)
        self.add(f"step/{step.number}", "assemble", title, hands, wait, after, parts)

    def _titles(self, names: Sequence[str]) -> str:
        letters = {s.name: s.letter for s in self.stacks}
        return ", ".join(dict.fromkeys(letters.get(name, name) for name in names))

    def _last_faces(self) -> None:
        rates, glue = self.rates.harden, self.rates.glue
        for s in self.stacks:
            if s.last is None:
                continue
            one, what = (s.name,), f"{s.letter}, {s.title}"
            hands = glue.stack + glue.layer + glue.area * s.last.area / DM2
            title = f"Glue the last face on {what}"
            self.add(f"face/{s.name}", "glue", title, hands, 0.0, self.so_far(one), one)
            wait, title = max(glue.dry, glue.weight), f"Dry {what} under weight"
            self.add(f"face-dry/{s.name}", "dry", title, 0.0, wait, self.so_far(one), one)
            hands = rates.face + rates.area * s.last.area / DM2
            title = f"Harden the last face of {what}"
            self.add(f"face-harden/{s.name}", "harden", title, hands, rates.cure, self.so_far(one), one)

    def finish(self) -> None:
        rates, coat = self.rates, self.rates.coat
        whole = [s.name for s in self.stacks if not s.cushion]
        area = surface(self.stacks) / DM2
        seams = sum(seam(j, self.piece) for j in self.joints) / M
        if seams > 0.0:
            title = f"Fill what shows of joints, {100.0 * seams:.0f} cm"
            hands = rates.fill.begin + rates.fill.seam * seams
            self.add("fill", "fill", title, hands, rates.fill.dry, self.so_far(whole), whole)
        title = f"Sand once more, {area:.1f} dm²"
        hands = rates.sand.part + rates.sand.again * area
        self.add("sand-again", "sand", title, hands, 0.0, self.so_far(whole), whole)
        coats = [("stain", "Stain", n, coat.stains, coat.stain, coat.stain_dry) for n in range(coat.stains)]
        coats += [("top", "Top coat", n, coat.tops, coat.top, coat.top_dry) for n in range(coat.tops)]
        for kind, words, n, count, rate, wait in coats:
            name = kind if count == 1 else f"{kind}/{n + 1}"
            title = words if count == 1 else f"{words}, coat {n + 1} of {count}"
            hands = coat.begin + rate * area
            self.add(name, kind, f"{title}, {area:.1f} dm²", hands, wait, self.so_far(whole), whole)
        everything = [s.name for s in self.stacks]
        title = "Air by an open window until nothing smells"
        self.add("air", "air", title, 0.0, coat.air, self.so_far(everything), everything)

    def upholster(self) -> None:
        rates = self.rates.cloth
        for made in self.cushions:
            name, count = made.name, len(made.buttoning.points)
            around = float(made.outline.flat.exterior.length) / M
            if made.panels.pricked:
                holes = len(made.panels.pricked)
                self._soft(name, "drill", f"drill {holes} holes in the panels", rates.drill * holes, 0.0)
            layers = len(made.batting.outlines)
            self._soft(
                name, "batting", f"cut and glue {layers} layers of batting", rates.batting * layers, rates.dry
            )
            self._soft(name, "cloth", "mark and cut the cloth", rates.cloth, 0.0)
            lines = count or len(made.buttoning.seams)
            if lines:
                what = "buttons" if count else "channels"
                self._soft(name, "buttons", f"sew {lines} {what}", rates.button * lines, 0.0)
            self._soft(name, "edge", "turn the cloth under and glue it", rates.edge * around, rates.dry)
            if made.piping is not None:
                hands = rates.piping * made.piping.length / M
                self._soft(name, "piping", "sew and glue the piping", hands, rates.dry)
            self._soft(name, "back", "glue the backing on", rates.back, rates.dry)

    def _soft(self, cushion: str, what: str, words: str, hands: float, wait: float) -> None:
        after = self.so_far((f"cushion {cushion}",)) or ("air",)
        title = f"{cushion.capitalize()}: {words}"
        self.add(f"{what}/{cushion}", "upholster", title, hands, wait, after, (f"cushion {cushion}",))

    def put_in(self, assembly: Assembly | None) -> None:
        loose = sum(step.loose for step in assembly.steps) if assembly else len(self.cushions)
        if loose:
            cushions = tuple(f"cushion {made.name}" for made in self.cushions)
            after = self.so_far(cushions) or ("air",)
            hands = self.rates.join.loose * loose
            self.add("put-in", "assemble", "Put in what stays loose", hands, 0.0, after)
