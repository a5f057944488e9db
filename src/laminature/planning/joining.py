"""Tasks that put the piece together."""

from __future__ import annotations

from laminature.model.step import Assembly, Step
from laminature.planning.batches import DM2
from laminature.planning.bench import Bench, M
from laminature.planning.measures import line
from laminature.planning.steps import is_soft, short_words


def assemble(bench: Bench, assembly: Assembly | None) -> None:
    """Glue joints, step by step where steps are known, reinforce them when dry, glue on last faces."""
    if bench.joints:
        _glue_joints(bench, assembly)
    _last_faces(bench)


def _glue_joints(bench: Bench, assembly: Assembly | None) -> None:
    rates = bench.rates.join
    if assembly is None or not assembly.steps:
        names = bench.wood
        hands = (rates.step + rates.hand) * len(names) + rates.joint * len(bench.joints)
        title = bench.words.of("task_assemble", n=str(len(bench.joints)))
        bench.add("assemble", "assemble", title, hands, rates.clamp, bench.so_far(names), names)
    else:
        together: dict[str, frozenset[str]] = {}
        for step in assembly.steps:
            # Faces have tasks of their own; what is loose or covered with cloth comes at the very end.
            if not (step.loose or step.face or is_soft(bench, step)):
                _step(bench, step, together)
    whole = bench.wood
    title = bench.words.of("task_joints_dry")
    bench.add("dry/joints", "dry", title, 0.0, rates.dry, bench.so_far(whole), whole)
    along = sum(line(j) for j in bench.joints) / M
    key = "task_reinforce_coated" if bench.early else "task_reinforce"
    title = bench.words.of(key, length=f"{100.0 * along:.0f}")
    hands = rates.reinforce * along + rates.touch * len(bench.joints)
    bench.add("reinforce", "reinforce", title, hands, rates.set, ("dry/joints",), whole)


def _step(bench: Bench, step: Step, together: dict[str, frozenset[str]]) -> None:
    """A step waits for whatever was done last to any part that already holds to those of the step."""
    rates = bench.rates.join
    mine = frozenset((*step.moving, *step.onto))
    group = mine.union(*(together.get(name, frozenset()) for name in mine))
    together.update(dict.fromkeys(group, group))
    hands = rates.step + rates.joint * len(step.joints)
    hands += rates.hand if step.hold == "hand" else 0.0
    wait = {"clamp": rates.clamp, "weight": rates.weight}.get(step.hold, 0.0)
    parts = [s.name for s in bench.stacks if s.name in group]
    after = bench.so_far(parts)
    bench.add(f"step/{step.number}", "assemble", short_words(bench, step), hands, wait, after, parts)


def _last_faces(bench: Bench) -> None:
    rates, glue = bench.rates.harden, bench.rates.glue
    for s in bench.stacks:
        if s.last is None:
            continue
        one, what = (s.name,), f"{s.letter}, {s.title}"
        hands = bench.rates.sand.part + glue.stack + glue.layer + glue.area * s.last.area / DM2
        title = bench.words.of("task_face_glue", what=what)
        bench.add(f"face/{s.name}", "glue", title, hands, 0.0, bench.so_far(one), one)
        wait, title = max(glue.dry, glue.weight), bench.words.of("task_face_dry", what=what)
        bench.add(f"face-dry/{s.name}", "dry", title, 0.0, wait, bench.so_far(one), one)
        hands = rates.face + rates.area * s.last.area / DM2
        title = bench.words.of("task_face_harden", what=what)
        bench.add(f"face-harden/{s.name}", "harden", title, hands, rates.cure, bench.so_far(one), one)
