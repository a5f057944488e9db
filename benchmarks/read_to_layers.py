"""From the bytes of a design to finished layers, for 20, 60, 200 and 400 parts.

    python benchmarks/read_to_layers.py [--rounds N]

The designs are crates of ten panels crossing ten, every panel with ten slots, so the
work per part is the same at every size and the ratios show how it grows. "cold" reads and
builds from the bytes; "changed" builds again after one part's height was changed, as a
slider does. Times are the best of the rounds. The benchmark fails where growth
from 60 to 400 parts is worse than twice the linear one, or a change costs more than 0.6 of a cold build.
"""

from __future__ import annotations

import argparse
import pathlib
import subprocess
import sys
import time
from collections.abc import Callable

SIZES = (20, 60, 200, 400)


def crate(parts: int, height: float = 40.0) -> bytes:
    """A design of ``parts`` panels in crates of twenty, standing in a row."""
    rows = ['title = "crates"', 'scale = "1:12"', 'unit = "mm"', 'board = "chipboard-22"', ""]
    for n in range(parts // 20):
        left, back = 1800.0 * (n % 5), 1800.0 * (n // 5)
        for i in range(10):
            offset = 60.0 + 150.0 * i
            tall = height if (n, i) == (0, 0) else 40.0
            wide = "width = 1500\nlayers = 4"
            rows += [
                f'[[part]]\nname = "a-{n}-{i}"\nshape = "rectangle"\nheight = {tall * 12}\n{wide}',
                f'at = [{left}, {back + offset}, 0]\nstance = "facing front"\n',
                f'[[part]]\nname = "b-{n}-{i}"\nshape = "rectangle"\nheight = 480\n{wide}',
                f'at = [{left + offset}, {back}, 0]\nstance = "facing side"\n',
            ]
    return "\n".join(rows).encode()


def best(work: Callable[[], object], rounds: int) -> float:
    """The least time of ``rounds`` runs, seconds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def imported(what: str) -> float:
    """Seconds that a fresh interpreter needs to start and import ``what``."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", what], check=True)
    return time.perf_counter() - start


def main() -> int:
    """Measure and print; the exit code is 1 where growth is out of hand."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=5)
    rounds = arguments.parse_args().rounds

    from laminature import pipeline
    from laminature.model.memory import Memory

    boards = pipeline.known_boards(None, "")
    here = pathlib.Path()
    cold, changed = {}, {}
    print(f"{'parts':>6} {'joints':>7} {'cold ms':>9} {'changed ms':>11} {'ms/part':>8}")
    for size in SIZES:
        first = crate(size)
        turn = iter(range(10**6))

        def run(data: bytes, memory: Memory | None = None) -> pipeline.Build:
            build = pipeline.Build(pipeline.read_design(data, "crates.toml", here, boards), memory=memory)
            _ = build.layers
            return build

        def slide(size: int = size, turn: object = turn) -> None:
            height = 40.0 + 0.01 * (1 + next(turn))  # type: ignore[call-overload]
            run(crate(size, height), memory)  # noqa: B023

        joints = len(run(first).joints)
        cold[size] = best(lambda: run(first), rounds)  # noqa: B023
        memory = Memory()
        run(first, memory)
        changed[size] = best(slide, rounds)
        print(
            f"{size:>6} {joints:>7} {cold[size] * 1e3:>9.1f} {changed[size] * 1e3:>11.1f}"
            f" {cold[size] * 1e3 / size:>8.2f}"
        )
    bare = imported("pass")
    for what in ("import laminature", "import laminature.cli.main", "import laminature.front"):
        print(f"{what}: {(imported(what) - bare) * 1e3:.0f} ms beyond a bare interpreter")
    growth = cold[400] / cold[60] / (400 / 60)
    print(f"growth from 60 to 400 parts: {growth:.2f} times linear")
    share = changed[60] / cold[60]
    print(f"one change at 60 parts: {share:.2f} of a cold build")
    return 0 if growth < 2.0 and share < 0.6 else 1


if __name__ == "__main__":
    sys.exit(main())
