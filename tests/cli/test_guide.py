"""The guide and its photo from the command line."""

import pytest

from .test_commands import files_in, laminature

STOOL = '[form]\nname = "radial-table"\nheight = "18 in"\nwidth = "15 in"\nsides = 0\n'


def kit(tmp_path, text, **environment):
    file = tmp_path / "stool.toml"
    file.write_text(text, encoding="utf-8")
    return laminature("kit", file, "-o", tmp_path / "kit", **environment)


def test_a_kit_holds_guide_supplies_and_view_with_the_makers_prices(tmp_path):
    (tmp_path / "settings").mkdir()
    (tmp_path / "settings" / "prices.toml").write_text('currency = "EUR"\n[supplies]\nthin_ca = 6.9\n')
    done = kit(tmp_path, STOOL, LAMINATURE_CONFIG=str(tmp_path / "settings"))
    assert done.returncode == 0, done.stdout + done.stderr
    files = files_in(tmp_path / "kit")
    assert {"guide.pdf", "view.html", "supplies.csv"} <= files.keys()
    assert "6.90" in files["supplies.csv"].decode() and "EUR" in files["supplies.csv"].decode()


@pytest.mark.parametrize(
    ("photo", "content", "code", "words"),
    [
        ("gone.png", None, 2, "does not exist"),
        ("broken.png", b"no picture at all", 1, "Leave out the photo"),
        ("../secret.png", b"x", 2, "climbs out"),
    ],
)
def test_a_photo_that_is_none_is_told_and_nothing_written(tmp_path, photo, content, code, words):
    if content is not None and "/" not in photo:
        (tmp_path / photo).write_bytes(content)
    done = kit(tmp_path, f'photo = "{photo}"\n' + STOOL)
    said = " ".join((done.stdout + done.stderr).split())
    assert done.returncode == code and words in said
    assert not (tmp_path / "kit").exists()
    # To check a design is enough to hear of it.
    looked = laminature("check", tmp_path / "stool.toml")
    assert looked.returncode == code and words in " ".join((looked.stdout + looked.stderr).split())


def test_of_several_photos_the_missing_and_the_huge_are_told_by_file_and_key(tmp_path):
    (tmp_path / "good.png").write_bytes(b"x")
    with (tmp_path / "huge.png").open("wb") as file:
        file.truncate(25 << 20)
    for name, words in (("gone.png", "does not exist"), ("huge.png", "is larger than")):
        done = kit(tmp_path, f'photo = ["good.png", "{name}"]\n' + STOOL)
        said = " ".join((done.stdout + done.stderr).split())
        assert done.returncode == 2 and f"photo '{name}'" in said and words in said
        assert not (tmp_path / "kit").exists()


@pytest.mark.parametrize("name", ["rates.toml", "prices.toml"])
def test_broken_rates_and_prices_are_told_with_their_line(tmp_path, name):
    (tmp_path / "settings").mkdir()
    (tmp_path / "settings" / name).write_text("[glue]\nstack = nonsense\n")
    done = kit(tmp_path, STOOL, LAMINATURE_CONFIG=str(tmp_path / "settings"))
    assert done.returncode == 2 and name in done.stderr + done.stdout
    assert not (tmp_path / "kit").exists()


def test_odd_letters_and_markup_in_words_make_a_guide(tmp_path):
    odd = "</script> #let $x$ *b* مصباح שולחן"
    text = f"title = '''{odd}'''\nnotes = '''{odd}'''\ncredit = '''{odd}'''\n" + STOOL
    done = kit(tmp_path, text)
    assert done.returncode == 0, done.stdout + done.stderr
    page = (tmp_path / "kit" / "view.html").read_text(encoding="utf-8")
    assert page.count("<script") == 2 and "&lt;/script&gt;" in page
