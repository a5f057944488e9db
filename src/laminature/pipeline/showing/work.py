"""The work on a piece for the page: steps of assembly, evenings at the bench, and what to buy."""

from __future__ import annotations

from typing import Any

from laminature.drawings.assembling import together
from laminature.drawings.exploded import taken_apart, upright
from laminature.drawings.gantt import duration, facts, gantt
from laminature.model.task import Plan
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.guide import row_of, step_told, total_of
from laminature.pipeline.reading import guide_words
from laminature.writers.svg import svg


def steps(build: Build) -> dict[str, Any]:
    """The order of assembly; vectors are in the piece, mm. Cushions are called by their skins.

    ``there`` is what lies on the bench in a step, what moves included: a sub-assembly alone until it joins
    the rest. ``turn`` is the rotation that lays it as the step has it, its columns one after the other.
    ``apart`` is how far each stands off its place in the guide's drawing of the piece taken apart.
    """
    skins = {
        made.name: [
            f"{made.name}/{role}"
            for role, there in (
                ("cloth", True),
                ("beads", bool(made.buttoning.points)),
                ("piping", made.piping is not None),
            )
            if there
        ]
        for made in build.cushions
    }
    told = []
    for step in build.assembly.steps:
        told.append(
            {
                "number": step.number,
                "words": step_told(step, build),
                "moving": [name for moved in step.moving for name in skins.get(moved, [moved])],
                "onto": list(step.onto),
                "there": [
                    name
                    for one in together(build.assembly, step.number, [*step.onto, *step.moving])
                    for name in skins.get(one, [one])
                ],
                "turn": [float(v) for v in upright(step).matrix.T.ravel()],
                "way": [float(v) for v in step.way],
                "travel": float(step.travel),
                "joints": list(step.joints),
                "hold": step.hold,
                "down": [float(v) for v in step.down],
                "loose": step.loose,
                "face": step.face,
                "spread": [[name, [float(v) for v in way]] for name, way in step.spread],
            }
        )
    if not told:
        return {"steps": [], "apart": []}
    shifts = taken_apart(
        build.piece, build.layers, build.assembly, cushions=build.cushions, memory=build.memory
    )
    off = [
        [name, [round(float(v), 4) for v in shift]]
        for made, shift in shifts.items()
        for name in skins.get(made, [made])
    ]
    return {"steps": told, "apart": off}


def evenings(build: Build) -> dict[str, Any]:
    """The plan: a chart as SVG, what is done on each evening, and how long it all takes."""
    plan, words = build.plan, guide_words(build.design.language)
    charts = [svg(page).decode() for page in gantt(plan, words)]
    return {
        "chart": charts[0] if charts else "",
        "more": charts[1:],
        "evenings": _evenings(plan, words),
        "words": list(facts(plan, words)),
        "length": plan.length,
        "naive": plan.naive,
        "bound": plan.bound,
    }


def _evenings(plan: Plan, words: Words) -> list[dict[str, Any]]:
    tasks = {task.name: task for task in plan.tasks}
    last = {slot.task: slot for slot in sorted(plan.slots, key=lambda s: s.end)}
    told = []
    for number in sorted({slot.evening for slot in plan.slots}):
        slots = sorted((s for s in plan.slots if s.evening == number), key=lambda s: s.start)
        rows = []
        for slot in slots:
            task = tasks[slot.task]
            wait = task.wait if last[slot.task] is slot else 0.0
            spent = slot.end - slot.start
            key = "plan_row_wait" if wait else "plan_row"
            said = words.of(key, task=task.title, spent=duration(spent), wait=duration(wait))
            rows.append({"title": task.title, "minutes": spent, "wait": wait, "words": said})
        told.append(
            {
                "number": number,
                "title": f"Evening {number}",
                "minutes": sum(slot.end - slot.start for slot in slots),
                "tasks": rows,
            }
        )
    return told


def supplies(build: Build) -> dict[str, Any]:
    """What to buy, with the reason for each amount, and what it costs where prices are known."""
    currency = build.prices.currency
    rows = [row_of(one, currency, guide_words(build.design.language)) for one in build.supplies]
    return {
        "supplies": [
            {"title": r.title, "amount": r.amount, "packs": r.packs, "price": r.price, "why": r.why}
            for r in rows
        ],
        "total": total_of(build.supplies, currency),
    }
