"""How long a layout takes and how much board it uses.

    python benchmarks/layout.py KIT.json

The file holds ``sheet`` (usable width and height, mm), ``spacing`` (mm) and ``shapes``,
each with ``id``, ``exterior`` and ``openings`` (lists of points, mm); every quarter turn is
allowed. The score is the number of full sheets and the share of the last one's height that is
used. The seeded kit of 95 shapes and 126 openings is bounded from below by 2.46 (its area), 2.68
(with the spacing) and 2.73 (with openings that nothing fits into). The benchmark fails where the
score is above 4.2, whatever the time.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from laminature.geometry.flat import flat
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.sheets.check import faults, placed
from laminature.sheets.nesting import lay_out

FLOOR = 4.2
BOUNDS = (("area", 2.46), ("with spacing", 2.68), ("with openings that nothing fits", 2.73))


def main(file: Path) -> int:
    """Lay the kit out, print a small table; 1 where the floor is not held or the layout is wrong."""
    kit = json.loads(file.read_text("utf-8"))
    width, height = kit["sheet"]
    spacing = kit["spacing"]
    boards = {"card": Board("card", "card", 0.5, width, height, "none")}
    shapes = [flat(s["exterior"], s["openings"]) for s in kit["shapes"]]
    layers = [
        Layer(s["id"], s["id"], 1, "card", 0.0, 0.5, (shape,), (shape,))
        for s, shape in zip(kit["shapes"], shapes, strict=True)
    ]
    whole = sum(shape.area for shape in shapes) / (width * height)

    start = time.perf_counter()
    sheets, findings = lay_out(layers, boards, spacing, 0.0)
    first = time.perf_counter() - start
    start = time.perf_counter()
    lay_out(layers[:60], boards, spacing, 0.0)
    sixty = time.perf_counter() - start

    by_part = {layer.part: layer for layer in layers}
    top = max(placed(by_part[p.part], p).bounds[3] for p in sheets[-1].placements)
    score = len(sheets) - 1 + top / height
    print(f"{len(layers)} shapes, {sum(len(s.interiors) for s in shapes)} openings, area {whole:.2f} sheets")
    print(f"{'score':>34}  {score:.2f}   in {first:.2f} s (first 60 shapes: {sixty:.2f} s)")
    for words, bound in BOUNDS:
        print(f"{'bound, ' + words:>34}  {bound:.2f}   {score / bound:.2f} times")
    wrong = [*findings, *faults(sheets, layers, boards, spacing, 0.0)]
    for finding in wrong:
        print(finding.message)
    if score > FLOOR:
        print(f"the score is above {FLOOR}")
    return 1 if wrong or score > FLOOR else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python benchmarks/layout.py KIT.json")
    sys.exit(main(Path(sys.argv[1])))
