"""Every stage of the examples' kits, from the bytes of the design to the bytes of the files.

    python benchmarks/whole_kit.py [--rounds N]

Prints milliseconds per stage (best of the rounds). The benchmark fails where the way to the
findings, which a maker waits for at every change, takes more than half of a whole kit.
"""

from __future__ import annotations

import argparse
import pathlib
import sys
import time
from collections.abc import Callable

EXAMPLES = pathlib.Path(__file__).parent.parent / "examples"


def main() -> int:
    """Measure and print; the exit code is 1 where the findings come too late."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=3)
    rounds = arguments.parse_args().rounds

    from laminature import pipeline

    boards = pipeline.known_boards(None, "")

    def read(data: bytes) -> pipeline.Build:
        return pipeline.Build(pipeline.read_design(data, "example.toml", EXAMPLES, boards))

    stages: dict[str, Callable[[pipeline.Build], object]] = {
        "parts": lambda b: b.formed,
        "contacts": lambda b: b.contacts,
        "joints": lambda b: b.joints,
        "layers": lambda b: b.layers,
        "findings": lambda b: b.findings,
        "sheets": lambda b: b.sheets,
        "drawings": lambda b: b.drawings,
        "files": pipeline.kit_files,
    }
    print(f"{'example':<15} {'layers':>6} {'read':>7}" + "".join(f"{s:>10}" for s in stages) + f"{'ms':>9}")
    worst = 0.0
    for path in sorted(EXAMPLES.glob("*.toml")):
        data = path.read_bytes()
        times: dict[str, float] = {}
        for _ in range(rounds):
            start = time.perf_counter()
            build = read(data)
            took = {"read": time.perf_counter() - start}
            for name, stage in stages.items():
                start = time.perf_counter()
                stage(build)
                took[name] = time.perf_counter() - start
            for name, value in took.items():
                times[name] = min(times.get(name, value), value)
        model = sum(times[s] for s in ("read", "parts", "contacts", "joints", "layers", "findings"))
        worst = max(worst, model / sum(times.values()))
        whole = sum(times.values()) * 1e3
        row = "".join(f"{times[s] * 1e3:>10.1f}" for s in stages)
        print(f"{path.stem:<15} {len(build.layers):>6} {times['read'] * 1e3:>7.1f}{row}{whole:>9.0f}")
    print(f"from the bytes to the findings takes at most {worst:.2f} of a whole kit")
    return 0 if worst < 0.5 else 1


if __name__ == "__main__":
    sys.exit(main())
