"""How long a cushion's surface, cloth and picture take, for 10, 50 and 200 buttons.

    python benchmarks/cushion.py [COUNT …]

Deep diamonds 10 × 14 mm apart under beads of 1.6 mm, on a panel with 6 mm of margin; the shortest of five
runs. The benchmark fails where the surface of 50 buttons takes longer than 0.4 s, four times the aim: it runs
on machines of any speed.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from laminature.geometry.region import box
from laminature.model.cushion import Buttoning
from laminature.upholstery.cloth import solve_cloth
from laminature.upholstery.heights import arc_lengths
from laminature.upholstery.mesh import cushion_mesh
from laminature.upholstery.surface import chosen_cell, solve_surface

ACROSS, UP, MARGIN, BEAD, CROWN = 10.0, 14.0, 6.0, 1.6, 4.0
AIM, FLOOR = 0.1, 0.4
RUNS = 5


def diamonds(wanted: int) -> Buttoning:
    """About so many buttons in diamonds, over a field about twice as wide as high."""
    rows = max(3, 2 * round((wanted / 2.8) ** 0.5 * 0.7) + 1)
    columns = max(2, round((wanted + rows // 2) / rows))
    points, at = [], {}
    for row in range(rows):
        count = columns - row % 2
        for k in range(count):
            at[2 * k + row % 2, row] = len(points)
            points.append(((k - (count - 1) / 2) * ACROSS, (row - (rows - 1) / 2) * UP / 2))
    links = [(i, at[c + s, r + 1]) for (c, r), i in at.items() for s in (-1, 1) if (c + s, r + 1) in at]
    return Buttoning("diamond", tuple(points), tuple(links), (0,) * len(points), (ACROSS, UP))


def shortest(run) -> float:
    """The shortest of some runs, seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def main(counts: list[int]) -> int:
    """Print a small table; 1 where the floor is not held."""
    slow = False
    print(f"{'buttons':>8} {'grid':>10} {'surface':>9} {'cloth':>9} {'picture':>9}  triangles  half the mesh")
    for wanted in counts:
        buttoning = diamonds(wanted)
        x, y = np.abs(np.array(buttoning.points)).max(axis=0) + MARGIN
        outline = box(-x, -y, x, y)

        def surface(cell=None, outline=outline, buttoning=buttoning):
            return solve_surface(outline, buttoning, CROWN, 0.6, BEAD, 2.5, "deep", cell)

        made = surface()
        times = [
            shortest(surface),
            shortest(lambda: solve_cloth(outline, buttoning, made, "deep", 1.1, 8.0)),  # noqa: B023
            shortest(lambda: cushion_mesh(outline, buttoning, made, "deep", 1.1, BEAD, 0.9)),  # noqa: B023
        ]
        mesh = cushion_mesh(outline, buttoning, made, "deep", 1.1, BEAD, 0.9)
        triangles = sum(len(s.faces) for s in (mesh.cloth, mesh.beads, mesh.piping))
        fine = surface(chosen_cell(outline, buttoning, BEAD) / 2)
        points, links = np.array(buttoning.points), np.array(buttoning.links)
        ends = points[links[:, 0]], points[links[:, 1]]
        change = np.abs(arc_lengths(made, *ends) / arc_lengths(fine, *ends) - 1.0).max()
        rows, columns = made.heights.shape
        cells = " ".join(f"{1000 * t:7.0f} ms" for t in times)
        print(f"{len(points):>8} {f'{columns} × {rows}':>10} {cells}  {triangles:>9}  {100 * change:.2f} %")
        if 40 <= len(points) <= 60:
            print(f"{'':>8} the aim is {1000 * AIM:.0f} ms for the surface")
            slow |= times[0] > FLOOR
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main([int(a) for a in sys.argv[1:]] or [10, 50, 200]))
