"""The order of assembly: the examples, and crates of 20, 60 and 200 parts.

    python benchmarks/assembly.py [--rounds N]

A crate is ten panels crossed by all the others, each slotted half-way for every one of the ten. Times are
from finished layers to the steps, the best of the rounds. The benchmark fails where an example takes
more than 0.3 s of the processor or the crate of 60 parts more than 3 s.
"""

from __future__ import annotations

import argparse
import pathlib
import sys
import time

EXAMPLES = pathlib.Path(__file__).parent.parent / "examples"
SIZES = (20, 60, 200)


def crate(parts: int) -> bytes:
    """A design of ten panels from side to side, and the others across them."""
    across = parts - 10
    size = 'shape = "rectangle"\nheight = 480\nlayers = 4'
    rows = ['title = "crate"', 'scale = "1:12"', 'unit = "mm"', 'board = "chipboard-22"', ""]
    for i in range(10):
        rows += [
            f'[[part]]\nname = "a-{i}"\n{size}\nwidth = {100 * across}',
            f'at = [0, {60 + 150 * i}, 0]\nstance = "facing front"\n',
        ]
    for i in range(across):
        rows += [
            f'[[part]]\nname = "b-{i}"\n{size}\nwidth = 1500',
            f'at = [{60 + 100 * i}, 0, 0]\nstance = "facing side"\n',
        ]
    return "\n".join(rows).encode()


def main() -> int:
    """Measure and print; the exit code is 1 where it takes too long."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=3)
    rounds = arguments.parse_args().rounds

    from laminature import pipeline
    from laminature.planning.assembly import order_of_assembly

    boards = pipeline.known_boards(None, "")
    designs = {path.stem: path.read_bytes() for path in sorted(EXAMPLES.glob("*.toml"))}
    designs |= {f"crate of {size}": crate(size) for size in SIZES}
    limits = {f"crate of {size}": 3.0 if size <= 60 else float("inf") for size in SIZES}
    slow = False
    print(f"{'piece':<16} {'parts':>6} {'joints':>7} {'steps':>6} {'ms':>8}")
    for name, data in designs.items():
        build = pipeline.Build(pipeline.read_design(data, f"{name}.toml", EXAMPLES, boards))
        given = (build.piece, build.joints, build.layers, build.cushions)
        times = []
        for _ in range(rounds):
            start = time.process_time()
            found, _ = order_of_assembly(*given)
            times.append(time.process_time() - start)
        slow |= min(times) > limits.get(name, 0.3)
        print(
            f"{name:<16} {len(build.piece.parts):>6} {len(build.joints):>7} {len(found.steps):>6}"
            f" {min(times) * 1e3:>8.0f}"
        )
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main())
