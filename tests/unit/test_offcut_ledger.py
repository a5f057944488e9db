"""The ledger of offcuts: what it takes, what it refuses and how it says so; nothing is ever lost."""

import pathlib

import pytest

from laminature.errors import StoreError
from laminature.geometry.flat import flat, rectangle
from laminature.model.offcut import Keep, Offcut
from laminature.store.locks import held
from laminature.store.offcuts import Entered, Ledger, change_ledger, dump, parse, read_ledger

ELL = flat([(0, 0), (120, 0), (120, 40), (50, 40), (50, 90), (0, 90)])
HOLED = flat([(0, 0), (80, 0), (80, 80), (0, 80)], [[(20, 20), (20, 40), (40, 40), (40, 20)]])
SHEET = Offcut("", "card-10", rectangle(0, 0, 120.0, 80.0), "x", "added by hand")


def said(text, *words):
    """Reading ``text`` is refused, and the message names the file and these words."""
    with pytest.raises(StoreError) as refused:
        parse(text if isinstance(text, bytes) else text.encode(), "my/offcuts.toml")
    for word in ("my/offcuts.toml", *words):
        assert word in str(refused.value)


def entry(**changes):
    """A ledger with one entry, some of its keys changed; None leaves one out."""
    keys = {"name": '"K1"', "board": '"card-10"', "width": "80", "height": "50", **changes}
    lines = [f"{key} = {value}" for key, value in keys.items() if value is not None]
    return "\n".join(["format = 1", "next = 2", "[[offcuts]]", *lines])


def test_what_was_written_reads_back_the_same():
    ledger = Ledger(
        (
            Offcut("K1", "card-10", rectangle(0, 0, 120.65, 80.0), "y", 'from "the drawer"\\ ½'),
            Offcut("K2", "my board", ELL, "none", ""),
            Offcut("shelf 3", "card-10", HOLED),
        ),
        7,
        Keep((50.0, 30.0), (12.5, 12.5)),
        (Entered("seal", "Lamp table", ("K3",), ("K4", "K5")),),
    )
    assert parse(dump(ledger), "x") == ledger
    assert dump(parse(dump(ledger), "x")) == dump(ledger)


def test_where_there_is_no_file_there_are_no_offcuts(tmp_path):
    assert read_ledger(tmp_path / "none.toml") == Ledger()


def test_names_are_given_in_turn_and_never_again():
    ledger = Ledger().added([SHEET, SHEET])
    assert [o.name for o in ledger.offcuts] == ["K1", "K2"]
    ledger = ledger.removed(["k2"]).added([SHEET])
    assert [o.name for o in ledger.offcuts] == ["K1", "K3"]
    assert parse(dump(ledger.removed(["K1", "K3"])), "x").added([SHEET]).offcuts[0].name == "K4"


def test_a_counter_turned_back_by_hand_gives_no_name_twice():
    text = entry(name='"K9"').replace("next = 2", "next = 1")
    assert parse(text.encode(), "x").next == 10
    made = 'format = 1\n[[cuts]]\nkit = "a"\nmade = ["K12"]\n'
    assert parse(made.encode(), "x").next == 13


def test_removing_what_is_not_there_changes_nothing():
    ledger = Ledger().added([SHEET])
    with pytest.raises(StoreError, match="Did you mean 'K1'"):
        ledger.removed(["K1", "K11"])


def test_an_outline_written_anywhere_begins_at_its_lower_left():
    text = entry(width=None, height=None, points="[[10, 5], [90, 5], [90, 55], [10, 55]]")
    assert parse(text.encode(), "x").offcuts[0].outline.bounds == (0.0, 0.0, 80.0, 50.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = 2\nsomething_new = 1\n", ("newer version", "format 2", "Nothing was changed")),
        ("format = 'one'\n", ("format is 1",)),
        ("next = 3\n", ("no ledger",)),
        ('format = 1\nnext = = "x"\n', ("not TOML", "line 2")),
        (b"format = 1\ntitle = '\xff'\n", (":2", "UTF-8")),
        ("a = " + "[" * 9000, ("nested",)),
        ("format = 1\nofcuts = []\n", ("'ofcuts'", "Did you mean 'offcuts'")),
        ("format = 1\noffcuts = 3\n", ("[[offcuts]]",)),
        ("format = 1\nnext = 0\n", ("next", "above zero")),
        ("format = 1\nkeep = [40]\n", ("keep", "[40, 25]")),
        ("format = 1\nkeep = [40, -1]\n", ("keep", "-1")),
        ("format = 1\n[[cuts]]\nused = []\n", ("cut 1", "no kit")),
        ('format = 1\n[[cuts]]\nkit = "a"\nmade = [1]\n', ("cut 1", "list of names")),
        (entry(name=None), ("offcut 1 (without a name)", "no name")),
        (entry(name='""'), ("name",)),
        (entry(name='"a name that is much too long for it"'), ("20 letters",)),
        (entry(name="7"), ("name", "7")),
        (entry(board=None), ("offcut 'K1'", "no board")),
        (entry(grain='"z"'), ("offcut 'K1'", "grain")),
        (entry(grain="[1]"), ("grain",)),
        (entry(width=None), ("offcut 'K1'", "width is missing")),
        (entry(width="nan"), ("width", "nan")),
        (entry(width="inf"), ("width", "inf")),
        (entry(height="-3"), ("height", "-3")),
        (entry(height="true"), ("height", "True")),
        (entry(height='"50 mm"'), ("height", "'50 mm'", "number of mm")),
        (entry(width="4e4"), ("no size for an offcut", "3000")),
        (entry(width="0.2"), ("no size for an offcut",)),
        (entry(points="[[0, 0], [1, 0], [1, 1]]"), ("not both",)),
        (entry(openings="[]"), ("openings need an outline",)),
        (entry(zebra="3"), ("'zebra'", "Known are")),
        (entry(hight="3"), ("'hight'", "Did you mean 'height'")),
    ],
)
def test_what_is_wrong_is_said_plainly(text, words):
    said(text, *words)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ("[[0, 0], [80, 50], [80, 0], [0, 50]]", ("crosses or touches itself", "x 40.00, y 25.00 mm")),
        ("[[0, 0], [80, 0]]", ("points are written",)),
        ("[[0, 0], [80, 0], [40, 0]]", ("outline",)),
        ("[[0, 0], [80, 0], [80, nan]]", ("points are written",)),
        ("[[0, 0], [80, 0], 7]", ("points are written",)),
        ("[[0, 0, 0], [80, 0, 0], [80, 50, 0]]", ("points are written",)),
    ],
)
def test_outlines_that_are_none(points, words):
    said(entry(width=None, height=None, points=points), "offcut 'K1'", *words)


def test_an_opening_beyond_its_outline():
    openings = "[[[70, 10], [95, 10], [95, 20], [70, 20]]]"
    points = "[[0, 0], [80, 0], [80, 50], [0, 50]]"
    said(entry(width=None, height=None, points=points, openings=openings), "crosses or touches")


def test_two_offcuts_of_one_name():
    text = entry() + '\n[[offcuts]]\nname = "k1"\nboard = "x"\nwidth = 50\nheight = 50\n'
    said(text, "two offcuts 'k1'")


def test_a_refused_ledger_stays_as_it_is(tmp_path):
    file = tmp_path / "offcuts.toml"
    file.write_text("format = 99\n")
    with pytest.raises(StoreError, match="newer version"):
        change_ledger(lambda before: before.added([SHEET]), file)
    assert file.read_text() == "format = 99\n"
    assert [p.name for p in tmp_path.iterdir()] == ["offcuts.toml"]


def test_a_change_that_fails_changes_nothing(tmp_path):
    file = tmp_path / "offcuts.toml"
    change_ledger(lambda before: before.added([SHEET]), file)
    before = file.read_bytes()
    with pytest.raises(StoreError):
        change_ledger(lambda ledger: ledger.removed(["K9"]), file)
    assert file.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["offcuts.toml"]


def test_a_ledger_changed_by_hand_is_kept_before_it_is_written_anew(tmp_path):
    file = tmp_path / "offcuts.toml"
    mine = "# the good ones are on the shelf\n" + entry()
    file.write_text(mine)
    written = change_ledger(lambda before: before.added([SHEET]), file)
    assert [o.name for o in written.ledger.offcuts] == ["K1", "K2"]
    assert written.kept == tmp_path / "offcuts-edited.toml"
    assert written.kept.read_text() == mine
    again = change_ledger(lambda before: before.added([SHEET]), file)
    assert again.kept is None
    file.write_text(file.read_text() + "# one more word\n")
    assert change_ledger(lambda b: b.added([SHEET]), file).kept == tmp_path / "offcuts-edited-2.toml"
    assert written.kept.read_text() == mine


def test_folders_are_made_and_links_are_left_alone(tmp_path):
    file = tmp_path / "deep" / "er" / "mine.toml"
    assert change_ledger(lambda before: before.added([SHEET]), file).file == file
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    before = file.read_bytes()
    with pytest.raises(StoreError, match="link"):
        change_ledger(lambda b: b.added([SHEET]), link)
    assert file.read_bytes() == before


@pytest.mark.parametrize("place", ["folder", "folder/below/file.toml/x.toml"])
def test_places_where_no_ledger_can_be(tmp_path, place):
    (tmp_path / "folder" / "below").mkdir(parents=True)
    (tmp_path / "folder" / "below" / "file.toml").write_text("")
    with pytest.raises(StoreError):
        change_ledger(lambda before: before.added([SHEET]), tmp_path / place)


def test_two_runs_do_not_write_at_once(tmp_path):
    file = tmp_path / "offcuts.toml"
    with (
        held(pathlib.Path(tmp_path / ".laminature-offcuts.toml.lock"), "taken"),
        pytest.raises(StoreError, match="Another run"),
    ):
        change_ledger(lambda before: before.added([SHEET]), file)
    assert not file.exists()


def test_what_could_not_be_read_again_is_never_written(tmp_path):
    file = tmp_path / "offcuts.toml"
    change_ledger(lambda before: before.added([SHEET]), file)
    before = file.read_bytes()
    with pytest.raises(StoreError, match="more than 5,000"):
        change_ledger(lambda ledger: ledger.added([SHEET] * 5000), file)
    with pytest.raises(StoreError, match="two offcuts"):
        change_ledger(lambda ledger: Ledger(ledger.offcuts * 2), file)
    assert file.read_bytes() == before
