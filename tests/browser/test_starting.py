"""The start page: forms, examples, files, works; saving by itself, taking back, going back to copies."""

import re

import pytest
from playwright.sync_api import expect

from laminature import front

from .conftest import DROP


def test_every_form_and_example_is_there_with_a_picture_drawn_by_the_tool(desk):
    page = desk.page
    for heading, wanted in [
        ("What shall be made?", [each.title for each in front.forms()]),
        ("Or with an example", [each.title for each in front.examples()]),
    ]:
        region = page.get_by_role("region", name=heading)
        for title in wanted:
            card = region.get_by_role("button", name=title).first
            expect(card).to_be_visible()
            expect(card.locator("img, svg").first).to_be_visible()
            assert card.locator("img, svg").first.bounding_box()["width"] > 30


@pytest.mark.parametrize("form", [each.name for each in front.forms()])
def test_every_form_begins_and_is_seen(desk, form):
    title = front.form(form).title
    desk.page.get_by_role("region", name="What shall be made?").get_by_role(
        "button", name=title
    ).first.click()
    desk.at_work()
    expect(desk.ticket.get_by_role("heading", level=1)).not_to_be_empty()


def test_a_design_file_is_dropped_onto_the_table(desk):
    text = front.starter("lidded-box")
    desk.page.evaluate(DROP, ["my-box.toml", text])
    desk.at_work()
    assert desk.text_of_design() == text


def test_a_design_file_is_chosen(desk, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(front.starter("lidded-box"), "utf-8")
    with desk.page.expect_file_chooser() as choosing:
        desk.button("Choose a design file…").click()
    choosing.value.set_files(path)
    desk.at_work()


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("broken.toml", "scale = 1:12", re.compile("Line 1")),
        ("picture.png", "\x00\x89PNG", re.compile("text file")),
        ("huge.toml", "#" * 2_100_000, re.compile("2 MB")),
    ],
)
def test_a_file_that_is_no_design_is_told_in_words_and_changes_nothing(desk, name, text, said):
    desk.page.evaluate(DROP, [name, text])
    expect(desk.page.get_by_role("alert").filter(has_text=said)).to_be_visible()
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    desk.page.get_by_role("alert").get_by_role("button", name="Put it away").click()
    expect(desk.page.get_by_role("alert")).to_have_count(0)


def test_a_file_that_is_nearly_a_design_comes_onto_the_table_to_be_mended(desk):
    desk.page.evaluate(DROP, ["mine.toml", 'form = { name = "lidded-box", hight = "12 in" }\n'])
    expect(desk.ticket.get_by_role("alert").filter(has_text="hight").first).to_be_visible()
    desk.ticket.get_by_role("alert").get_by_role("button", name="The file as text").first.click()
    area = desk.page.get_by_label("Design file")
    expect(area).to_have_value(re.compile("hight"))
    area.fill('form = { name = "lidded-box", height = "12 in" }\n')
    desk.button("Take this text").click()
    expect(desk.page.get_by_text("Taken.")).to_be_visible()
    desk.page.get_by_role("dialog").get_by_role("button", name="Close").click()
    expect(desk.ticket.get_by_role("alert")).to_have_count(0)
    desk.drawn()


def test_work_goes_on_after_a_reload_and_from_the_start_page(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    height.fill("21 in")
    height.press("Enter")
    expect(stool.button("Take back: Height")).to_be_enabled()
    expect(stool.ticket.get_by_text(re.compile("^Saved"))).to_be_visible()
    stool.page.reload()
    stool.at_work()
    expect(stool.field("Height")).to_have_value("21 in")

    stool.button("Put away").click()
    works = stool.page.get_by_role("region", name="Go on with")
    works.get_by_role("button", name=re.compile("Lookout stool")).first.click()
    stool.at_work().line("Sizes and board")
    expect(stool.field("Height")).to_have_value("21 in")


def test_changes_are_taken_back_and_done_again_by_word_and_by_key(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    for typed in ("20 in", "22 in"):
        height.fill(typed)
        height.press("Enter")
        expect(stool.page.locator("[data-typed=yes]")).to_have_count(0)
    stool.button("Take back: Height").click()
    expect(height).to_have_value("20 in")
    stool.page.get_by_role("heading", level=1).click()
    stool.page.keyboard.press("Control+z")
    expect(height).to_have_value("18 in")
    expect(stool.button("Nothing to take back")).to_be_disabled()
    stool.page.keyboard.press("Control+y")
    expect(height).to_have_value("20 in")
    stool.page.keyboard.press("Control+Shift+z")
    expect(height).to_have_value("22 in")


def test_an_earlier_copy_comes_back_and_even_that_is_taken_back(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    height.fill("25 in")
    height.press("Enter")
    expect(stool.page.locator("[data-typed=yes]")).to_have_count(0)
    stool.button("Earlier copies").click()
    dialog = stool.page.get_by_role("dialog", name="Earlier copies")
    dialog.get_by_role("button", name="Go back to this").last.click()
    expect(dialog).to_have_count(0)
    expect(height).to_have_value("18 in")
    stool.button("Take back: going back to an older copy").click()
    expect(height).to_have_value("25 in")


def test_a_work_goes_into_the_bin(windows, own_start):
    desk = windows(own_start()).go().begun("Lamp table")
    desk.button("Put away").click()
    works = desk.page.get_by_role("region", name="Go on with")
    expect(works).to_be_visible()
    works.get_by_role("button", name="Put into the bin: Lamp table").click()
    expect(works).to_have_count(0)
    # Nothing of theirs is ever lost: it lies in the bin folder.
    assert list((desk.start.folder / "works").rglob("design.toml"))
