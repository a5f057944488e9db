"""How far the tool travels between cuts, against the naive order.

    python benchmarks/route.py [DESIGN.toml …]

Without arguments the examples are taken. The naive order keeps the same rules (marks first, then part
by part, openings before outlines) but takes everything as the layout has it and begins each cut at
its first corner. The benchmark fails where a kit's way is longer than 0.42 of the naive one, or where
grid points whose shortest way is known are walked more than 4 % too far.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from laminature import front
from laminature.drawings.sheets import sheet_drawing
from laminature.geometry.shortest import shortest_order
from laminature.pipeline.reading import guide_words
from laminature.sheets.route import route, travel

FLOOR = 0.42
GRID_FLOOR = 1.04
EXAMPLES = Path(__file__).parents[1] / "examples"


def main(files: list[Path]) -> int:
    """Print a line per kit; 1 where a floor is not held."""
    wrong = 0
    print(
        f"{'kit':>16} {'strokes':>8} {'cut, mm':>9} {'naive, mm':>10} {'route, mm':>10} {'share':>6} {'s':>6}"
    )
    for file in files:
        build = front.build(front.read(file))
        cut = naive = short = took = 0.0
        strokes, words = 0, guide_words(build.design.language)
        for sheet in build.sheets:
            drawn = sheet_drawing(sheet, build.sheet_layers, build.boards, False, words).strokes
            start = time.perf_counter()
            found = route(drawn)
            took += time.perf_counter() - start
            marks = [s for s in drawn if s.operation in ("marking", "score")]
            naive += travel([*marks, *(s for s in drawn if s not in marks)])
            short += found.travel
            cut += found.cutting
            strokes += found.lifts
        share = short / naive
        lengths = f"{cut:>9.0f} {naive:>10.0f} {short:>10.0f}"
        print(f"{file.stem:>16} {strokes:>8} {lengths} {share:>6.2f} {took:>6.2f}")
        wrong += share > FLOOR
    side = 16
    points = np.array([(x, y) for x in range(side) for y in range(side)], float)
    mixed = points[np.random.default_rng(1).permutation(side * side)]
    start = time.perf_counter()
    walk = np.vstack([[0.0, 0.0], mixed[shortest_order(mixed, mixed, (0.0, 0.0))]])
    length = float(np.hypot(*np.diff(walk, axis=0).T).sum()) / (side * side - 1)
    print(f"{side} × {side} grid: {length:.3f} of its shortest way, {time.perf_counter() - start:.2f} s")
    return 1 if wrong or length > GRID_FLOOR else 0


if __name__ == "__main__":
    sys.exit(main([Path(a) for a in sys.argv[1:]] or sorted(EXAMPLES.glob("*.toml"))))
