"""Sheets are read back from kit.toml exactly as they were written, or not at all."""

import pytest

from laminature.geometry.flat import flat
from laminature.model.sheet import Kept, Placement, Sheet
from laminature.store import manifest
from laminature.store.layouts import read_kept
from laminature.store.manifest import About

OUTLINE = flat([(0, 0), (60.1, 0), (20, 59.7)], [[(20, 10), (30, 10), (25, 20)]])
SHEETS = (
    Sheet(
        "sheet-1", "card", 60.1, 59.7, (Placement("top", 1, 0.1 + 0.2, 7.0, 90.0),), 'O"1', OUTLINE, "none"
    ),
    Sheet("sheet-2", "card", 300.0, 200.0, (Placement("leg", 2, 1e-8, 1 / 3, 180.0, True, 1),)),
)
KEPT = Kept("ab" * 32, SHEETS, 30.0)


def written(folder, **about):
    (folder / "kit.toml").write_bytes(manifest.write({}, About("Kit", SHEETS, versions={}, **about)))


def test_a_kept_layout_comes_back_to_the_last_digit(tmp_path):
    written(tmp_path, kept=KEPT)
    found = read_kept(tmp_path)
    assert found == KEPT
    assert found.sheets[0].outline.equals(OUTLINE)


def test_a_layout_that_was_made_unasked_is_not_kept(tmp_path):
    written(tmp_path)
    assert "[layout]" not in (tmp_path / "kit.toml").read_text("utf-8")
    assert read_kept(tmp_path) is None


def test_a_folder_without_a_kit_holds_no_layout(tmp_path):
    assert read_kept(tmp_path) is None
    assert read_kept(tmp_path / "nowhere") is None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("digest = ", "# "),
        ("width = 300.0", 'width = "wide"'),
        ('grain = "none"', 'grain = "sideways"'),
        ("turn = 90.0, ", ""),
        ("[60.1, 0.0]", "[60.1]"),
        ("[60.1, 0.0], [20.0, 59.7]", "[60.1, 60.0], [60.1, 0.0], [0.0, 60.0]"),
        ("[[sheets]]", "[[sheets"),
    ],
)
def test_a_layout_that_was_spoilt_by_hand_is_left_alone(tmp_path, old, new):
    written(tmp_path, kept=KEPT)
    path = tmp_path / "kit.toml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    assert read_kept(tmp_path) is None
