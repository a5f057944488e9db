"""Findings: by grade, each with its place on piece or sheet, its remedy, and a mend where one is certain."""

import os
import re
import subprocess
import sys
import tomllib

import pytest
from playwright.sync_api import expect

from ..spoilt import LOCKED, SPOILT
from .conftest import DROP


def dropped(desk, text):
    desk.page.evaluate(DROP, ["mine.toml", text if isinstance(text, str) else text.decode()])
    desk.at_work()
    desk.looked_through()
    return desk


def changed(before, now):
    return (before != now).any()


def test_findings_stand_by_grade_with_remedies_on_their_lines(stool):
    stool.looked_through()
    expect(stool.ticket.get_by_role("button", name=re.compile(r"^Piece.*note"))).to_be_visible()
    expect(stool.ticket.get_by_role("button", name=re.compile(r"^Cushion.*take care"))).to_be_visible()
    stool.line("Piece")
    listed = stool.ticket.get_by_role("region", name="What needs care").get_by_role("listitem")
    assert listed.count() >= 2
    for each in listed.all():
        expect(each).to_contain_text(re.compile(r"\w+ \w+ \w+"))


def test_a_stop_is_listed_first_and_noted_beside_the_piece(desk):
    dropped(desk, LOCKED)
    line = desk.ticket.get_by_role("button", name=re.compile(r"\d stops?"))
    expect(line.first).to_be_visible()
    desk.line(re.match(r"[\w ]+?(?= *\d)", line.first.inner_text().replace("\n", " "))[0].strip())
    listed = desk.ticket.get_by_role("region", name="What needs care").get_by_role("listitem")
    expect(listed.first).to_contain_text("Stop")
    assert listed.first.get_attribute("class").startswith("stop")


def test_show_the_place_turns_the_view_there(stool):
    stool.looked_through()
    stool.line("Piece")
    before = stool.pixels()
    stool.button("Show the place").first.click()
    stool.until(lambda: changed(before, stool.pixels()))


def test_a_place_in_a_joint_is_shown_on_the_piece_and_on_the_sheet(desk):
    dropped(desk, SPOILT["blind-too-shallow"])
    expect(
        desk.ticket.get_by_role("button", name=re.compile(r"^Joints.*(take care|note|stop)"))
    ).to_be_visible()
    desk.line("Joints")
    before = desk.pixels()
    desk.ticket.get_by_role("button", name="Show the place").first.click()
    desk.until(lambda: changed(before, desk.pixels()))
    desk.ticket.get_by_role("button", name="Show it on the sheet").first.click()
    shown_large(desk)


def shown_large(desk):
    """The layer that is meant lies in the window, at a size at which one sees it."""
    chosen = desk.page.locator("svg.board path.outline.chosen").first
    expect(chosen).to_be_visible()
    board = desk.page.locator("svg.board").bounding_box()

    def seen():
        box = chosen.bounding_box()
        middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        inside = board["x"] < middle[0] < board["x"] + board["width"]
        return inside and board["y"] < middle[1] < board["y"] + board["height"] and box["width"] > 20

    desk.until(seen)


@pytest.mark.parametrize("true_size", [False, True])
def test_the_sheet_is_shown_where_the_place_is_though_it_was_never_open_before(desk, true_size):
    """The sheets' line, first opened by a finding, shows the place; 0 shows all, also after the window's size
    has changed."""
    desk.button("Plank chair").first.click()
    desk.at_work()
    if true_size:
        desk.button("True size").click()
        dialog = desk.page.get_by_role("dialog")
        dialog.get_by_role("slider").evaluate(
            "input => { input.value = 5; input.dispatchEvent(new Event('input', { bubbles: true })); }"
        )
        dialog.get_by_role("button", name="It fits").click()
    desk.line("Sizes and board")
    desk.field("Scale").fill("1:24")
    desk.field("Scale").press("Enter")
    desk.field("Width").fill("40 in")
    desk.field("Width").press("Enter")
    desk.looked_through()
    desk.line("Joints")
    desk.ticket.get_by_role("button", name="Show it on the sheet").first.click()
    shown_large(desk)
    board = desk.page.locator("svg.board")
    if true_size:
        assert "scale(5)" in board.locator("g").first.get_attribute("transform")
    desk.page.set_viewport_size({"width": 1500, "height": 900})
    shown_large(desk)
    board.focus()
    desk.page.keyboard.press("0")
    room = board.bounding_box()

    def whole():
        sheet = board.locator(".sheet").first.bounding_box()
        return room["x"] <= sheet["x"] and sheet["x"] + sheet["width"] <= room["x"] + room["width"]

    desk.until(whole)


def test_a_mend_takes_the_finding_away_and_can_be_taken_back(stool):
    stool.looked_through()
    stool.line("Piece")
    mends = stool.ticket.get_by_role("button", name=re.compile("^Mix in"))
    expect(mends.first).to_be_visible()  # mends are tried last
    label = mends.first.inner_text()
    offered = mends.count()
    text = stool.text_of_design()
    mends.first.click()
    expect(stool.button(f"Take back: {label}")).to_be_enabled()
    stool.until(lambda: mends.count() < offered)
    assert stool.text_of_design() != text
    stool.button(f"Take back: {label}").click()
    expect(mends).to_have_count(offered)
    assert stool.text_of_design() == text


def test_offcuts_are_chosen_one_by_one_and_filled_first(windows, own_start):
    """Two offcuts are entered at the command line; one is ticked, and sheets and kit are made with it."""
    start = own_start()
    environment = os.environ | {"LAMINATURE_CONFIG": str(start.folder / "config")}
    for size in ("120 x 90 mm", "100 x 100 mm"):
        command = ["laminature", "offcuts", "add", "--board", "chipboard-22", "--size", size]
        done = subprocess.run(
            [sys.executable, "-m", *command], env=environment, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr + done.stdout
    desk = windows(start).go().begun()
    desk.line("Sheets")
    ticks = desk.ticket.get_by_role("group", name="Offcuts that are filled first").get_by_role("checkbox")
    expect(ticks).to_have_count(2)
    before = desk.page.locator("svg.board text.name").count()
    ticks.first.check()
    desk.until(lambda: desk.page.locator("svg.board text.name").count() > before)
    desk.page.reload()
    expect(ticks.first).to_be_checked()
    expect(ticks.last).not_to_be_checked()
    desk.line("Kit")
    desk.button("Make the kit").click()
    expect(desk.page.get_by_role("heading", name="The kit is made")).to_be_visible()
    expect(desk.page.locator(".report")).to_contain_text("your offcut")
    assert "offcut" not in tomllib.loads(desk.text_of_design())
