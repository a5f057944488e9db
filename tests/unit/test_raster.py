"""Cells and free places, counted by hand."""

import numpy as np
import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.region import disc
from laminature.sheets.raster import Bed, Grid, filled

FRAME = flat([(1, 1), (9, 1), (9, 8), (1, 8)], [[(3, 3), (7, 3), (7, 6), (3, 6)]])
STAR = flat([(5, 0.2), (6.3, 3.9), (9.7, 4.1), (6.6, 6.2), (7.4, 9.6), (5, 7.1), (0.3, 9.1), (3.1, 4.4)])


@pytest.mark.parametrize("shape", [FRAME, STAR, disc(4.3, (5, 5)).flat], ids=["frame", "star", "disc"])
@pytest.mark.parametrize("cell", [1.0, 0.37])
def test_a_cell_belongs_to_a_shape_when_its_middle_lies_inside(shape, cell):
    count = int(12 / cell)
    cells = filled(shape, (-1.0, -1.0), cell, count, count)
    for row, column in np.ndindex(count, count):
        x, y = -1.0 + (column + 0.5) * cell, -1.0 + (row + 0.5) * cell
        inside = rectangle(x - 1e-9, y - 1e-9, x + 1e-9, y + 1e-9).intersects(shape)
        assert cells[row, column] == inside


def test_an_empty_sheet_has_a_place_in_every_cell_that_leaves_room():
    grid = Grid(20.0, 10.0, 1.0, 1.5)
    rows, columns = Bed(grid).places(grid.stamp(rectangle(0, 0, 6, 4)))
    assert sorted(set(rows)) == list(range(7))
    assert sorted(set(columns)) == list(range(15))
    assert len(rows) == 7 * 15


def test_free_places_are_those_where_no_cell_is_shared():
    grid = Grid(16.0, 16.0, 1.0, 0.0)
    bed = Bed(grid)
    bed.put(rectangle(4, 0, 8, 16))
    bed.put(rectangle(8, 10, 16, 16))
    rows, columns = bed.places(grid.stamp(rectangle(0, 0, 4, 8)))
    expected = {(r, 0) for r in range(9)} | {(r, c) for r in range(3) for c in range(8, 13)}
    assert set(zip(rows.tolist(), columns.tolist(), strict=True)) == expected


def test_a_shape_put_into_an_opening_finds_its_place_there():
    grid = Grid(30.0, 30.0, 1.0, 1.5)
    bed = Bed(grid)
    bed.put(flat([(0, 0), (30, 0), (30, 30), (0, 30)], [[(5, 5), (25, 5), (25, 25), (5, 25)]]))
    rows, columns = bed.places(grid.stamp(rectangle(0, 0, 12, 12)))
    assert len(rows) > 0
    assert rows.min() >= 6
    assert columns.max() <= 12


def test_shapes_as_large_as_the_sheet_have_exactly_one_place():
    grid = Grid(20.0, 10.0, 0.7, 1.5)
    rows, columns = Bed(grid).places(grid.stamp(rectangle(3, 3, 23, 13)))
    assert (rows.tolist(), columns.tolist()) == ([0], [0])
