"""How long line drawings take: the scene, its hidden lines, and the whole drawing.

    python benchmarks/hidden.py [DESIGN …]

Without designs: the six examples, a rack of 30 parts, and the lamp table at 1:6 of thin card, with more than
60 layers. Skins of parts are made anew each time; the shortest of three runs. The benchmark fails where a
drawing of 30 parts takes longer than 2 s, four times the aim: it runs on machines of any speed.
"""

from __future__ import annotations

import pathlib
import sys
import tempfile
import time

import laminature as lam
from laminature.drawings.bodies import bodies
from laminature.drawings.exploded import exploded
from laminature.drawings.hidden import see
from laminature.drawings.looking import USUAL, looking
from laminature.drawings.whole import whole
from laminature.geometry.visible import Scene

EXAMPLES = pathlib.Path(__file__).parent.parent / "examples"
AIM, FLOOR, PARTS = 0.5, 2.0, 25
RUNS = 3

RACK = """
title = "Rack of many parts"
scale = "1:12"
board = "chipboard-22"
[form]
name = "shelf-unit"
width = "72 in"
height = "72 in"
depth = "13 in"
shelves = 12
dividers = 12
board_thickness = "1 in"
top = "over"
back = "glued"
"""


def shortest(run) -> float:
    """The shortest of some runs, seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def cases(files: list[str]) -> list[tuple[str, object]]:
    """Names and designs."""
    if files:
        return [(pathlib.Path(f).stem, lam.read(f)) for f in files]
    found = [(f.stem, lam.read(f)) for f in sorted(EXAMPLES.glob("*.toml"))]
    many = (EXAMPLES / "lamp-table.toml").read_text()
    for old, new in (('"1:12"', '"1:6"'), ('"chipboard-22"', '"card-10"')):
        many = many.replace(old, new)
    with tempfile.TemporaryDirectory() as folder:
        for name, text in (("rack", RACK), ("many-layers", many)):
            file = pathlib.Path(folder) / f"{name}.toml"
            file.write_text(text)
            found.append((name, lam.read(file)))
    return found


def main(files: list[str]) -> int:
    """Print a small table; 1 where the floor is not held."""
    slow = False
    print(f"{'piece':<14}{'parts':>6}{'layers':>7}{'faces':>7}{'edges':>7}", end="")
    print(f"{'skins':>10}{'hidden':>10}{'whole':>10}{'apart':>10}")
    look = looking(*USUAL)
    for name, design in cases(files):
        build = lam.build(design)
        piece, layers, cushions = build.piece, build.layers, build.cushions
        made = bodies(piece.parts, layers, cushions)
        placed = [(b.skin, b.pose) for b in made]
        times = [
            shortest(lambda: bodies(piece.parts, layers, cushions)),  # noqa: B023
            shortest(lambda: Scene(placed, look).edges()),  # noqa: B023
            shortest(lambda: whole(piece, layers, cushions=cushions)),  # noqa: B023
            shortest(lambda: exploded(piece, layers, None, cushions=cushions)),  # noqa: B023
        ]
        faces = sum(len(b.skin.walls) + len(b.skin.caps) for b in made)
        edges = sum(len(b.skin.start) for b in made)
        print(f"{name:<14}{len(piece.parts):>6}{len(layers):>7}{faces:>7}{edges:>7}", end="")
        print("".join(f"{1000 * t:7.0f} ms" for t in times), flush=True)
        assert see(made, look).patches
        if len(piece.parts) >= PARTS:
            print(f"{'':<14} the aim is {1000 * AIM:.0f} ms for the whole")
            slow |= times[2] > FLOOR
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
