"""Tasks from the sheet to sanded parts."""

from __future__ import annotations

from collections.abc import Mapping

from laminature.planning.batches import DM2, gluing
from laminature.planning.bench import Bench, M
from laminature.planning.measures import slots


def cut(bench: Bench, seconds: Mapping[str, float], cutter: str) -> None:
    """Cut the sheets, one after another, and take them apart."""
    rates, before = bench.rates.cut, ""
    for sheet in bench.sheets:
        runs = seconds.get(sheet.name, 0.0) / 60.0
        hands, wait = (rates.sheet + runs, 0.0) if cutter == "laser" else (rates.sheet, runs)
        after = (before,) if before else ()
        before = bench.add(
            f"cut/{sheet.name}", "cut", bench.words.of("task_cut", sheet=sheet.name), hands, wait, after
        )
    weeded: dict[str, list[str]] = {}
    for sheet in bench.sheets:
        count = len(sheet.placements)
        name = bench.add(
            f"weed/{sheet.name}",
            "weed",
            bench.words.of("task_weed", sheet=sheet.name, n=str(count)),
            rates.piece * count,
            after=(f"cut/{sheet.name}",),
        )
        for placement in sheet.placements:
            weeded.setdefault(placement.part, []).append(name)
    bench.weeded = {part: tuple(dict.fromkeys(names)) for part, names in weeded.items()}


def glue(bench: Bench) -> None:
    """Glue the stacks and let them dry."""
    rates = bench.rates.glue
    glued = [b for b in bench.batches if b.stacks[0].contacts]
    for batch in glued:
        layers = sum(len(s.layers) for s in batch.stacks)
        bench.add(
            f"glue/{batch.name}",
            "glue",
            bench.words.of("task_glue", what=batch.called(bench.words), n=str(layers)),
            gluing(batch.stacks, bench.rates),
            0.0,
            bench.ready(batch),
            batch.parts,
        )
    for batch in glued:
        bench.add(
            f"dry/{batch.name}",
            "dry",
            bench.words.of("task_dry", what=batch.called(bench.words), minutes=f"{rates.weight:.0f}"),
            0.0,
            max(rates.dry, rates.weight),
            bench.ready(batch),
            batch.parts,
        )


def harden(bench: Bench) -> None:
    """Harden face by face, look whether none was forgotten, and cure."""
    rates = bench.rates.harden
    for face in ("lower", "upper"):
        for batch in bench.batches:
            if batch.stacks[0].small and face == "lower":
                continue
            areas = sum(s.lower if face == "lower" else s.upper for s in batch.stacks) / DM2
            hands = rates.area * areas
            hands += 0.0 if batch.stacks[0].small else rates.face * len(batch.stacks)
            if face == "upper":
                hands += rates.edge * sum(s.round for s in batch.stacks) / M
            bench.add(
                f"harden/{batch.name}/{face}",
                "harden",
                bench.words.of(f"task_harden_{face}", what=batch.called(bench.words)),
                hands,
                rates.turn,
                bench.ready(batch),
                batch.parts,
            )
    for batch in bench.batches:
        bench.add(
            f"cure/{batch.name}",
            "check",
            bench.words.of("task_cure", what=batch.called(bench.words)),
            rates.check * (1 if batch.stacks[0].small else len(batch.stacks)),
            rates.cure,
            bench.ready(batch),
            batch.parts,
        )


def fit(bench: Bench) -> None:
    """Ease what other parts go into, and put the piece together dry."""
    rates = bench.rates.fit
    count: dict[str, int] = {}
    for joint in bench.joints:
        for part, n in slots(joint).items():
            count[part] = count.get(part, 0) + n
    for batch in bench.batches:
        n = sum(count.get(p, 0) for p in batch.parts)
        if n:
            title = bench.words.some("task_ease", n, what=batch.called(bench.words))
            bench.add(
                f"ease/{batch.name}", "ease", title, rates.slot * n, 0.0, bench.ready(batch), batch.parts
            )
    joined = [s.name for s in bench.stacks if any(s.name in (j.receiver, j.entering) for j in bench.joints)]
    if joined:
        title = bench.words.some("task_dry_fit", len(bench.joints))
        hands = rates.joint * len(bench.joints)
        bench.add("dry-fit", "dry-fit", title, hands, 0.0, bench.so_far(joined), joined)


def sand(bench: Bench) -> None:
    """Sand edges and faces: only now, when it is known that parts fit."""
    rates = bench.rates.sand
    for batch in bench.batches:
        if batch.stacks[0].cushion:
            continue
        edge = sum(s.bare for s in batch.stacks) / M
        face = sum(s.shown for s in batch.stacks) / DM2
        hands = rates.part * len(batch.stacks) + rates.edge * edge + rates.area * face
        long = edge >= 0.005
        kind = "_both" if long and face else "_edge" if long else "_face" if face else ""
        title = bench.words.of(f"task_sand{kind}", what=batch.called(bench.words), edge=f"{100.0 * edge:.0f}")
        bench.add(f"sand/{batch.name}", "sand", title, hands, 0.0, bench.ready(batch), batch.parts)
