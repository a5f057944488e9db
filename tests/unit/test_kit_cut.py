"""Entering a kit that was cut: once, safely, and with names that nobody else has."""

from dataclasses import replace

import pytest

from laminature.errors import StoreError
from laminature.geometry.flat import flat, rectangle
from laminature.model.offcut import Offcut, Remainder
from laminature.store import manifest
from laminature.store.cut import enter, read_cut_list
from laminature.store.kit import write_kit
from laminature.store.manifest import About
from laminature.store.offcuts import Entered, change_ledger, read_ledger


def piece(name, width=80.0, height=50.0):
    return Offcut(name, "card", rectangle(0.0, 0.0, width, height), "y", "Lamp, sheet-2")


ELL = Offcut("K4", "card", flat([(0, 0), (120, 0), (120, 40), (50, 40), (50, 90), (0, 90)]), "x", "Lamp")


@pytest.fixture
def ledger(tmp_path):
    """A ledger with K1 and K2; the next name is K3."""
    file = tmp_path / "offcuts.toml"
    change_ledger(lambda before: before.added([piece(""), piece("", 60.0)]), file)
    return file


@pytest.fixture
def kit(tmp_path):
    """A kit that uses K1 and leaves a rectangle K3 and an L K4."""
    about = About(
        "Lamp",
        used=[("sheet-1", piece("K1"))],
        remainders=[
            Remainder(piece("K3"), "sheet-2", (5.0, 7.5)),
            Remainder(ELL, "sheet-2", (0.0, 60.0), "A1"),
        ],
    )
    write_kit(tmp_path / "kit", {"README.txt": b"a kit"}, about)
    return tmp_path / "kit"


def names(file):
    return [o.name for o in read_ledger(file).offcuts]


def test_a_kit_tells_what_it_does(kit):
    cuts = read_cut_list(kit)
    assert cuts.title == "Lamp"
    assert cuts.used == (("sheet-1", piece("K1")),)
    assert cuts.made == (
        Remainder(piece("K3"), "sheet-2", (5.0, 7.5)),
        Remainder(ELL, "sheet-2", (0.0, 60.0), "A1"),
    )


def test_used_ones_go_new_ones_come(kit, ledger):
    done = enter(kit, ledger)
    assert (done.used, done.gone, done.other, done.before) == (("K1",), (), (), None)
    assert [(one.offcut.name, said) for one, said in done.made] == [("K3", "K3"), ("K4", "K4")]
    assert read_ledger(ledger).offcuts == (
        Offcut("K2", "card", rectangle(0.0, 0.0, 60.0, 50.0), "y", "Lamp, sheet-2"),
        piece("K3"),
        ELL,
    )


def test_a_second_time_changes_nothing(kit, ledger):
    enter(kit, ledger)
    before = ledger.read_bytes()
    done = enter(kit, ledger)
    assert (done.before.used, done.before.made) == (("K1",), ("K3", "K4"))
    assert done.made == ()
    assert ledger.read_bytes() == before


def test_cut_a_second_time_all_gets_new_names(kit, ledger):
    enter(kit, ledger)
    done = enter(kit, ledger, again=True)
    assert done.gone == ("K1",)
    assert [(one.offcut.name, said) for one, said in done.made] == [("K5", "K3"), ("K6", "K4")]
    assert names(ledger) == ["K2", "K3", "K4", "K5", "K6"]


def test_names_taken_since_are_replaced_and_the_others_stay(kit, ledger):
    change_ledger(lambda before: before.added([piece("")]), ledger)
    done = enter(kit, ledger)
    assert [(one.offcut.name, said) for one, said in done.made] == [("K5", "K3"), ("K4", "K4")]
    assert read_ledger(ledger).next == 6


def test_a_name_given_and_removed_since_is_not_given_again(kit, ledger):
    change_ledger(lambda before: before.added([piece("")]).removed(["K3"]), ledger)
    assert [one.offcut.name for one, _ in enter(kit, ledger).made] == ["K5", "K4"]


def test_a_used_one_that_is_gone_is_told(kit, ledger):
    change_ledger(lambda before: before.removed(["K1"]), ledger)
    done = enter(kit, ledger)
    assert (done.used, done.gone) == ((), ("K1",))
    assert names(ledger) == ["K2", "K3", "K4"]


def test_another_piece_of_the_same_name_stays(kit, tmp_path):
    other = tmp_path / "other.toml"
    change_ledger(lambda before: before.added([piece("", 81.0)]), other)
    done = enter(kit, other)
    assert (done.used, done.other) == ((), ("K1",))
    assert names(other) == ["K1", "K3", "K4"]


def test_without_a_ledger_one_is_made(kit, tmp_path):
    file = tmp_path / "new.toml"
    enter(kit, file)
    assert names(file) == ["K3", "K4"]


def test_only_the_last_thousand_kits_are_remembered(kit, ledger):
    many = tuple(Entered(f"seal {n}") for n in range(1200))
    change_ledger(lambda before: replace(before, cuts=many), ledger)
    enter(kit, ledger)
    cuts = read_ledger(ledger).cuts
    assert len(cuts) == 1000
    assert cuts[0].kit == "seal 201"
    assert cuts[-1].kit == read_cut_list(kit).kit


def test_a_folder_that_is_no_kit(tmp_path, ledger):
    with pytest.raises(StoreError, match="is no kit"):
        enter(tmp_path / "nowhere", ledger)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("format = 1", "format = 9", "another version"),
        ("format = 1", "format = = 1", "cannot be understood"),
        ("seal = ", "steal = ", "no seal"),
        ('name = "K4"', 'name = "K4', "cannot be understood"),
        ("width = 80.0", "width = -80.0", "-80.0"),
        ("x = 5.0", "x = nan", "no place on its sheet"),
        ("[[offcuts_new]]", "[offcuts_new]", "cannot be understood|are written as"),
        ('grain = "x"', 'grain = "w"', "grain"),
    ],
)
def test_a_broken_list_changes_nothing(kit, ledger, old, new, words):
    path = kit / manifest.NAME
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))
    before = ledger.read_bytes()
    with pytest.raises(StoreError, match=words):
        enter(kit, ledger)
    assert ledger.read_bytes() == before


def test_a_kit_without_offcuts_says_so(tmp_path, ledger):
    write_kit(tmp_path / "plain", {"README.txt": b"plain"}, About("Plain"))
    done = enter(tmp_path / "plain", ledger)
    assert (done.used, done.made, done.gone, done.other) == ((), (), (), ())
    assert names(ledger) == ["K1", "K2"]
