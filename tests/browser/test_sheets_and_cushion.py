"""The sheets at scale, and sought better ones in the background; the cushion under the hand; the evenings."""

import re
import tomllib
from itertools import pairwise

import pytest
from playwright.sync_api import expect

from .test_piece import differ


@pytest.fixture
def sheets(stool):
    stool.line("Sheets")
    expect(board(stool)).to_be_visible()
    # The whole sheet is fitted in as soon as the window has told its size.
    stool.until(lambda: scale_of(board(stool)) > 0.1)
    return stool


def board(desk):
    return desk.page.locator("svg.board")


def scale_of(locator):
    """Pixels for a millimetre in a drawing that can be moved."""
    return float(re.search(r"scale\(([\d.]+)\)", locator.locator("g").first.get_attribute("transform"))[1])


def test_every_layer_lies_on_a_sheet_coloured_by_part_and_labelled(sheets):
    outlines = board(sheets).locator("path.outline")
    labels = board(sheets).locator("text.label")
    assert outlines.count() == labels.count() > 8
    fills = {each.get_attribute("fill") for each in outlines.all()}
    letters = {re.match("[A-Z]+", each.text_content())[0] for each in labels.all()}
    assert len(fills) == len(letters) > 1
    # Drop-outs are crossed out, and what is used and left of the board is told.
    assert board(sheets).locator("path.crossed").count() > 0
    expect(sheets.table.get_by_text(re.compile(r"\d+% of (it|them) used"))).to_be_visible()


def test_the_order_of_cutting_is_shown_by_number(sheets):
    button = sheets.page.get_by_role("button", name=re.compile(r"Order of \d+ cuts"))
    count = int(re.search(r"\d+", button.inner_text())[0])
    button.click()
    numbers = sorted(int(each.text_content()) for each in board(sheets).locator("text.order").all())
    # Numbers begin anew on each sheet.
    assert len(numbers) == count
    assert numbers[0] == 1
    assert set(numbers) == set(range(1, max(numbers) + 1))


def test_sheets_are_moved_brought_near_and_shown_at_true_size(sheets):
    drawing = board(sheets)
    whole = scale_of(drawing)
    drawing.focus()
    sheets.page.keyboard.press("+")
    assert scale_of(drawing) > whole
    before = drawing.locator("g").first.get_attribute("transform")
    sheets.page.keyboard.press("ArrowRight")
    assert drawing.locator("g").first.get_attribute("transform") != before
    sheets.page.keyboard.press("0")
    assert scale_of(drawing) == pytest.approx(whole)
    sheets.button("True size").click()
    dialog = sheets.page.get_by_role("dialog")
    dialog.get_by_role("slider").evaluate(
        "input => { input.value = 5; input.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    sheets.until(lambda: dialog.locator(".card").bounding_box()["width"] == pytest.approx(428, abs=0.5))
    dialog.get_by_role("button", name="It fits").click()
    sheets.until(lambda: scale_of(drawing) == pytest.approx(5, abs=0.01))


def test_names_of_many_sheets_stand_apart_and_in_the_window(desk):
    desk.button("Boxed seat").first.click()
    desk.at_work()
    desk.line("Sizes and board")
    desk.field("Scale").fill("1:6")
    desk.field("Scale").press("Enter")
    desk.line("Sheets")
    names = board(desk).locator("text.name")
    desk.until(lambda: names.count() > 4)
    desk.page.wait_for_timeout(300)
    room = board(desk).bounding_box()
    boxes = [each.bounding_box() for each in names.all()]
    for one, other in pairwise(boxes):
        assert one["x"] + one["width"] < other["x"]
    assert boxes[0]["x"] >= room["x"]
    assert boxes[-1]["x"] + boxes[-1]["width"] <= room["x"] + room["width"]
    # Near by, a sheet bears its whole name.
    desk.table.get_by_role("button", name=re.compile("sheet-2")).click()
    expect(names.nth(1)).to_contain_text("Chipboard")


def test_a_grain_arrow_stands_where_the_board_has_one(sheets):
    arrows = board(sheets).locator("g.grain")
    assert arrows.count() == board(sheets).locator("text.name").count() > 0
    expect(arrows.first).to_be_visible()


def test_better_sheets_are_sought_in_the_background_and_stopped_by_using_them(sheets):
    sheets.button("Seek better sheets for a minute").click()
    use = sheets.button("Use these sheets")
    expect(use).to_be_visible()
    expect(sheets.page.get_by_role("progressbar", name="Better sheets are sought")).to_be_visible()
    expect(sheets.table.get_by_text(re.compile("Seeking…|Round"))).to_be_visible()
    # The table is not blocked meanwhile.
    sheets.line("Piece")
    sheets.button("stained").click()
    sheets.line("Sheets")
    use.click()
    expect(sheets.button("Seek better sheets for a minute")).to_be_visible()
    expect(board(sheets)).to_be_visible()


def test_a_change_reaches_the_sheets(sheets):
    before = [each.get_attribute("d") for each in board(sheets).locator("path.outline").all()]
    sheets.line("Sizes and board")
    height = sheets.field("Height")
    height.fill("26 in")
    height.press("Enter")
    sheets.line("Sheets")
    sheets.until(
        lambda: [each.get_attribute("d") for each in board(sheets).locator("path.outline").all()] != before
    )


def test_why_there_are_no_sheets_is_told_only_as_long_as_it_is_so(desk):
    """As soon as the design changes, sheets are being worked out; nothing old stands there meanwhile."""
    desk.button("Boxed seat").first.click()
    desk.at_work()
    desk.line("Sizes and board")
    scale = desk.field("Scale")
    scale.fill("1:2")
    scale.press("Enter")
    desk.line("Sheets")
    alert = desk.table.get_by_role("alert").filter(has_text="laid out")
    expect(alert).to_be_visible()
    desk.line("Sizes and board")
    scale.fill("1:6")
    scale.press("Enter")
    desk.line("Sheets")
    seen = desk.page.evaluate(
        """() => new Promise((done) => {
          const seen = [];
          const look = () => {
            const main = document.querySelector("main");
            seen.push(main.querySelector("svg.board") ? "sheets" : main.innerText.includes("laid out") ? "old"
              : "waiting");
            if (seen.at(-1) === "sheets" || seen.length > 900) done(seen); else requestAnimationFrame(look);
          };
          look();
        })"""
    )
    assert "old" not in seen
    assert seen[-1] == "sheets"


# The cushion


@pytest.fixture
def cushion(stool):
    stool.line("Cushion")
    expect(stool.page.locator("svg.plan")).to_be_visible()
    return stool


def places(desk):
    return [
        (float(each.get_attribute("cx")), float(each.get_attribute("cy")))
        for each in desk.page.locator("svg.plan circle.button").all()
    ]


def test_plan_batting_cloth_and_stitches_are_drawn(cushion):
    plan = cushion.page.locator("svg.plan")
    assert len(places(cushion)) > 6
    cushion.button("Batting", exact=True).click()
    assert plan.locator("path.batting").count() == 3
    cushion.button("Cloth", exact=True).click()
    assert plan.locator("path.cloth").count() == 1
    assert plan.locator("path.mark").count() > 3
    cushion.button("Sewing", exact=True).click()
    told = cushion.page.locator(".said[aria-live]")
    first = told.inner_text()
    cushion.button("One on").click()
    cushion.until(lambda: told.inner_text() != first or plan.locator("polyline.thread").count())


def test_a_button_is_dragged_and_the_cushion_puffs_up_anew(cushion):
    cushion.looked_through()
    before = places(cushion)
    seen = cushion.pixels()
    index = max(range(len(before)), key=lambda n: before[n][0] ** 2 + before[n][1] ** 2)
    handle = cushion.page.locator("svg.plan circle.button").nth(index)
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    pixels = scale_of(cushion.page.locator("svg.plan"))
    # One millimetre towards the middle.
    away = (before[index][0] ** 2 + before[index][1] ** 2) ** 0.5
    dx, dy = (-value / away * pixels for value in before[index])
    cushion.page.mouse.move(x, y)
    cushion.page.mouse.down()
    cushion.page.mouse.move(x + dx / 2, y + dy / 2)
    cushion.page.mouse.move(x + dx, y + dy)
    cushion.page.mouse.up()
    expect(cushion.page.get_by_role("button", name=re.compile("Take back: moving a button"))).to_be_enabled()
    cushion.until(lambda: differ(seen, cushion.pixels()) > 0.0005)
    design = tomllib.loads(cushion.text_of_design())
    assert design["cushion"]["pattern"] == "points"
    assert len(design["cushion"]["points"]) == len(before)
    cushion.until(lambda: len(places(cushion)) == len(before))
    after = places(cushion)
    moved = [((a - c) ** 2 + (b - d) ** 2) ** 0.5 for (a, b), (c, d) in zip(before, after, strict=True)]
    assert moved[index] == pytest.approx(1.0, abs=0.15)
    assert sum(distance > 0.02 for distance in moved) == 1


@pytest.mark.parametrize("unit", ["mm", "in", "cm"])
def test_a_button_is_moved_by_keys_in_any_unit_of_the_design(desk, unit):
    """The arrow keys move a button by a quarter of a millimetre, whatever unit bare numbers are in."""
    desk.begun()
    desk.button("The file as text").click()
    area = desk.page.get_by_label("Design file")
    expect(area).not_to_have_value("")
    area.fill(f'unit = "{unit}"\n' + area.input_value())
    desk.button("Take this text").click()
    expect(desk.page.get_by_text("Taken.")).to_be_visible()
    desk.page.get_by_role("dialog").get_by_role("button", name="Close").click()
    desk.line("Cushion")
    expect(desk.page.locator("svg.plan")).to_be_visible()
    before = places(desk)
    button = desk.page.locator("svg.plan circle.button").nth(0)
    button.focus()
    desk.page.keyboard.press("ArrowRight")
    expect(desk.page.get_by_role("button", name=re.compile("Take back: moving a button"))).to_be_enabled()
    desk.line("Piece")
    desk.looked_through()
    desk.line("Cushion")
    desk.until(lambda: places(desk)[0][0] == pytest.approx(before[0][0] + 0.25, abs=0.02))
    after = places(desk)
    for (a, b), (c, d) in zip(before[1:], after[1:], strict=True):
        assert (c, d) == pytest.approx((a, b), abs=0.02)


def test_the_pattern_is_changed_and_seen(cushion):
    before = places(cushion)
    cushion.field("Pattern").select_option(index=1)
    cushion.until(lambda: places(cushion) not in ([], before))


def test_each_view_of_the_cushion_lists_its_own_steps_and_leaves_the_drawing_its_room(cushion):
    told = {}
    for view in ("Batting", "Cloth", "Sewing", "Buttons"):
        cushion.button(view, exact=True).click()
        if view != "Sewing":
            items = cushion.page.locator(".below li")
            told[view] = items.all_inner_texts()
            assert 1 <= len(told[view]) <= 8
            assert all(" · " not in each for each in told[view])
        plan, pane = (cushion.page.locator(which).bounding_box() for which in ("svg.plan", ".cushion"))
        assert plan["height"] > 0.5 * pane["height"]
    assert not set(told["Batting"]) & set(told["Cloth"])


def test_a_piece_without_cushion_says_how_to_get_one(desk):
    desk.begun("Slat chair")
    desk.line("Cushion")
    expect(desk.page.get_by_text("This piece has no cushion.")).to_be_visible()
    expect(desk.table).to_contain_text('[cushion]\non = "PART"')


def test_a_cushion_is_begun_on_the_page_and_taken_back(desk):
    desk.button("Boxed seat").first.click()
    desk.at_work()
    desk.line("Kit")
    ticked = desk.ticket.get_by_role("checkbox", name=re.compile("^Cushion"))
    expect(ticked).to_be_disabled()
    expect(desk.ticket.get_by_role("checkbox", name=re.compile("^Machine files"))).to_be_disabled()
    desk.line("Cushion")
    desk.button("Put a cushion on “seat”").click()
    expect(desk.page.locator("svg.plan circle.button").first).to_be_visible()
    expect(desk.field("Pattern")).to_be_visible()
    desk.line("Kit")
    expect(ticked).to_be_checked()
    desk.button("Take back: adding a cushion").click()
    desk.line("Cushion")
    expect(desk.button("Put a cushion on “seat”")).to_be_visible()
    desk.line("Sheets")
    files = desk.field("Files of each sheet")
    files.fill("svg, gcode")
    files.press("Enter")
    desk.line("Kit")
    expect(desk.ticket.get_by_role("checkbox", name=re.compile("^Machine files"))).to_be_checked()
    expect(desk.ticket.get_by_role("checkbox", name=re.compile("^Sheets as DXF"))).to_be_disabled()


# The evenings


def test_evenings_and_supplies_are_listed(stool):
    stool.line("Evenings")
    region = stool.page.get_by_role("region", name="The work, evening by evening")
    expect(region).to_be_visible()
    assert region.get_by_role("article").count() >= 1
    table = stool.page.get_by_role("table")
    expect(table).to_contain_text("glue")
    stool.field("Minutes of an evening").fill("60")
    stool.field("Minutes of an evening").press("Enter")
    stool.until(lambda: region.get_by_role("article").count() >= 2)
