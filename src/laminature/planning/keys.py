"""Keys are glued up before the stacks that they hold in line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.model.aid import KeyUse
from laminature.model.layer import Layer
from laminature.planning.batches import batches_of, gluing
from laminature.planning.bench import Bench
from laminature.planning.measures import measured


def glue_keys(bench: Bench, layers: Sequence[Layer], uses: Sequence[KeyUse]) -> None:
    """Glue the stacks of keys among ``layers``; parts that are glued on them wait until they are dry."""
    rates, words = bench.rates.glue, bench.words
    mine = [replace(layer, role="layer") for layer in layers if layer.role == "key"]
    for batch in batches_of(measured(bench.piece, (), mine, ()), bench.rates):
        if not batch.stacks[0].contacts:
            continue
        letter, count = batch.stacks[0].letter, sum(len(s.layers) for s in batch.stacks)
        what = words.some("keys_called", len(batch.stacks), letter=letter)
        bench.add(
            f"glue/{batch.name}",
            "glue",
            words.of("task_glue", what=what, n=str(count)),
            gluing(batch.stacks, bench.rates),
            0.0,
            bench.ready(batch),
            batch.parts,
        )
        dry = bench.add(
            f"dry/{batch.name}",
            "dry",
            words.of("task_dry", what=what, minutes=f"{rates.weight:.0f}"),
            0.0,
            max(rates.dry, rates.weight),
            bench.ready(batch),
            batch.parts,
        )
        for use in uses:
            if letter in use.keys:
                bench.weeded[use.part] = (*bench.weeded.get(use.part, ()), dry)
