"""How many points the cut paths of the examples have, against the polygons they come from.

    python benchmarks/nodes.py [DESIGN.toml …]

A point is where one line or arc of a path ends; the last columns leave out straight edges, whose points
are needed anyway. Fails where the curved stretches of all kits together keep more than 0.12 of their
points. (Arcs come back whole and need less than a tenth, which the tests hold; cubics take most.)
"""

from __future__ import annotations

import sys
from pathlib import Path

from laminature import front
from laminature.drawings.placed import placed_layers
from laminature.geometry.path import Arc, Cubic

FLOOR = 0.12
EXAMPLES = Path(__file__).parents[1] / "examples"


def main(files: list[Path]) -> int:
    """Print a line per kit; 1 where the floor is not held over all of them."""
    print(
        f"{'kit':>16} {'borders':>8} {'points':>8} {'after':>7} {'share':>6} | "
        f"{'curved':>7} {'after':>6} {'share':>6}"
    )
    before_all = after_all = 0
    for file in files:
        build = front.build(front.read(file))
        borders = before = after = curved = curved_after = 0
        for sheet in build.sheets:
            for one in placed_layers(sheet, build.sheet_layers):
                rings = (one.flat.exterior, *one.flat.interiors)
                for ring, path in zip(rings, (one.outline, *one.openings), strict=True):
                    points = len(ring.coords) - 1
                    borders += 1
                    before += points
                    after += len(path.segments)
                    lines = sum(not isinstance(s, (Arc, Cubic)) for s in path)
                    if lines < len(path.segments):
                        curved += points - lines
                        curved_after += len(path.segments) - lines
        share = curved_after / curved if curved else 0.0
        print(
            f"{file.stem:>16} {borders:>8} {before:>8} {after:>7} {after / before:>6.2f} | "
            f"{curved:>7} {curved_after:>6} {share:>6.3f}"
        )
        before_all += curved
        after_all += curved_after
    print(f"curved stretches of all: {after_all / before_all:.3f} of their points (floor {FLOOR:g})")
    return int(after_all > FLOOR * before_all)


if __name__ == "__main__":
    sys.exit(main([Path(a) for a in sys.argv[1:]] or sorted(EXAMPLES.glob("*.toml"))))
