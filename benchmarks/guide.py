"""The guide of each example, and of a rack of 62 layers: its drawings and words, and setting it, after all
that a kit needs besides.

    python benchmarks/guide.py [--rounds N]

Prints milliseconds per stage (best of the rounds) and per layer. The benchmark fails where the guides of
all examples together take more than twice as long as the rest of their kits, models and sheets with them: a
ratio within one run, because times differ from machine to machine.
"""

from __future__ import annotations

import argparse
import itertools
import pathlib
import sys
import time

#: A large kit: the chart rack with more shelves and dividers. Its guide is to take less than 3 s.
LARGE = (("shelves = 3", "shelves = 4"), ("dividers = 4", "dividers = 6"))
EXAMPLES = pathlib.Path(__file__).parent.parent / "examples"
#: Guides take at most so many times as long as all the rest.
MOST = 2.0


def main() -> int:
    """Measure and print; the exit code is 1 where a guide takes too long."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=3)
    rounds = arguments.parse_args().rounds

    from laminature import pipeline
    from laminature.data import library
    from laminature.pipeline.guide import guide_of
    from laminature.pipeline.reading import guide_words
    from laminature.writers.guide import guide_pdf

    boards = pipeline.known_boards(None, "")
    print(f"{'example':<15} {'layers':>6} {'rest':>8} {'drawn':>8} {'set':>8} {'a layer':>8} {'ratio':>6}")
    guides = others = 0.0
    designs = [(path.stem, path.read_text("utf-8")) for path in sorted(EXAMPLES.glob("*.toml"))]
    large = dict(designs)["chart-rack"]
    for old, new in LARGE:
        large = large.replace(old, new)
    for name, text in (*designs, ("large rack", large)):
        best: list[float] = []
        layers = 0
        for _ in range(rounds):
            build = pipeline.Build(pipeline.read_design(text.encode(), name, EXAMPLES, boards))
            times = [time.perf_counter()]
            _ = (build.findings, build.drawings, build.maps, build.plan, build.supplies, build.cushions)
            times.append(time.perf_counter())
            guide = guide_of(build)
            times.append(time.perf_counter())
            guide_pdf(guide, library.guide(), guide_words(build.design.language))
            times.append(time.perf_counter())
            took = [1e3 * (b - a) for a, b in itertools.pairwise(times)]
            best = [min(pair) for pair in zip(best, took, strict=True)] if best else took
            layers = len(build.layers)
        rest, drawn, made = best
        ratio = (drawn + made) / rest
        guides, others = guides + drawn + made, others + rest
        each = (drawn + made) / layers
        print(f"{name:<15} {layers:>6} {rest:>8.0f} {drawn:>8.0f} {made:>8.0f} {each:>8.1f} {ratio:>6.2f}")
    print(f"All guides take {guides / others:.2f} times as long as all the rest; {MOST:g} times is the most.")
    if guides > MOST * others:
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
