"""The piece: really drawn by WebGL, turned, moved, taken apart, put together, measured and cut open."""

import re

import numpy as np
import pytest
from playwright.sync_api import expect
from scipy import ndimage

from .conftest import inked


def drag(desk, by, button="left"):
    box = desk.canvas.bounding_box()
    x, y = box["x"] + 60, box["y"] + box["height"] - 60
    desk.page.mouse.move(x, y)
    desk.page.mouse.down(button=button)
    desk.page.mouse.move(x + by[0] / 2, y + by[1] / 2)
    desk.page.mouse.move(x + by[0], y + by[1])
    desk.page.mouse.up(button=button)


def extent(drawn):
    """Left, top, right and bottom of what is drawn, pixels."""
    rows, columns = np.nonzero(drawn.any(axis=1))[0], np.nonzero(drawn.any(axis=0))[0]
    return np.array([columns[0], rows[0], columns[-1], rows[-1]])


SLIDE = """(input, share) => {
  input.value = Number(input.min) + share * (Number(input.max) - Number(input.min));
  input.dispatchEvent(new Event("input", { bubbles: true }));
  input.dispatchEvent(new Event("change", { bubbles: true }));
}"""


def slide(desk, label, share):
    desk.page.get_by_role("slider", name=label).evaluate(SLIDE, share)


def differ(one, other):
    """The share of pixels that are clearly others."""
    return (np.abs(one - other).sum(axis=2) > 30).mean()


@pytest.fixture
def piece(stool):
    """The stool, seen whole, after its findings and steps have come."""
    stool.looked_through()
    stool.until(lambda: stool.page.get_by_role("button", name="Put together").count())
    stool.button("Whole piece").click()
    stool.page.mouse.move(5, 5)
    return stool


def within(drawn):
    """Pixels that lie within what is drawn, with some about them on every side."""
    return ndimage.binary_erosion(drawn, iterations=4)


def a_leg(desk):
    """Where a leg is seen, in the canvas: near the bottom of what is drawn."""
    rows, columns = np.nonzero(within(desk.inked()))
    n = int(0.93 * len(rows))
    return {"x": int(columns[n]), "y": int(rows[n])}


def test_webgl_draws_the_piece_with_shaded_faces_and_crisp_edges(piece):
    pixels = piece.pixels()
    drawn = piece.inked()
    assert 0.04 < drawn.mean() < 0.7
    left, top, right, bottom = extent(drawn)
    height, width = drawn.shape
    # Whole, and in the middle.
    assert min(left, top, width - right, height - bottom) > 8
    assert abs((left + right) / 2 - width / 2) < 0.15 * width
    # Faces differ in shade by the way they look, and edges are darker than all of them.
    shades = np.round(pixels[drawn].mean(axis=1) / 6).astype(int)
    counted = np.bincount(shades)
    assert (counted > 0.02 * drawn.sum()).sum() >= 3
    assert pixels[drawn].mean(axis=1).min() < 110


@pytest.mark.parametrize("light", ["light", "dark"])
def test_the_looks_differ_in_daylight_and_lamplight(windows, start, light):
    desk = windows(start, light=light).go().begun()
    looks = {}
    for look in ("card", "hardened", "stained"):
        desk.button(look, exact=True).click()
        expect(desk.button(look, exact=True)).to_have_attribute("aria-pressed", "true")
        looks[look] = desk.pixels()
    assert differ(looks["card"], looks["hardened"]) > 0.02
    assert differ(looks["hardened"], looks["stained"]) > 0.02
    # Card is the lightest, stain the darkest.
    tones = [looks[name].mean() for name in ("card", "hardened", "stained")]
    assert tones == sorted(tones, reverse=True)


def test_it_is_turned_moved_brought_near_and_shown_whole_again(piece):
    before = piece.pixels()
    drag(piece, (160, 30))
    turned = piece.pixels()
    assert differ(before, turned) > 0.02
    middle = extent(piece.inked())
    drag(piece, (90, -40), button="right")
    moved = extent(piece.inked())
    assert ((moved - middle)[[0, 2]] > 40).all()
    piece.canvas.hover(position={"x": 300, "y": 300})
    piece.page.mouse.wheel(0, -600)
    near = piece.inked().mean()
    piece.button("Whole piece").click()
    whole = piece.inked()
    assert near > 1.15 * whole.mean()
    left, top, right, bottom = extent(whole)
    assert min(left, top, whole.shape[1] - right, whole.shape[0] - bottom) > 8


def test_keys_do_what_the_mouse_does(piece):
    piece.canvas.focus()
    before = piece.pixels()
    piece.page.keyboard.press("ArrowLeft")
    assert differ(before, piece.pixels()) > 0.005
    size = piece.inked().mean()
    for _ in range(3):
        piece.page.keyboard.press("+")
    assert piece.inked().mean() > 1.1 * size
    piece.page.keyboard.press("Home")
    assert piece.inked().mean() == pytest.approx(size, rel=0.25)
    piece.page.keyboard.press("n")
    tag = piece.page.locator(".tag")
    expect(tag).to_contain_text("layer")
    piece.page.keyboard.press("Escape")
    expect(tag).to_have_count(0)


def test_a_part_tells_its_layers_thickness_joints_and_sheet(piece):
    piece.canvas.click(position=a_leg(piece))
    tag = piece.page.locator(".tag.held")
    expect(tag).to_contain_text(re.compile(r"layers?, .*mm.*thick"))
    expect(tag).to_contain_text("Held by")
    expect(tag).to_contain_text(re.compile(r"lies on sheet", re.IGNORECASE))
    piece.button("Put the tag away").click()
    expect(tag).to_have_count(0)


def test_under_the_pointer_a_part_says_what_it_is(piece):
    piece.canvas.hover(position=a_leg(piece))
    expect(piece.page.locator(".tag")).to_contain_text("thick")


def test_parts_and_layers_come_apart_and_together(piece):
    closed = piece.pixels()
    size = piece.inked().mean()
    slide(piece, "Taken apart", 1)
    apart = piece.pixels()
    assert differ(closed, apart) > 0.05
    slide(piece, "Taken apart", 0)
    piece.until(lambda: differ(closed, piece.pixels()) < 0.01)
    slide(piece, "Layers apart", 1)
    assert differ(closed, piece.pixels()) > 0.03
    slide(piece, "Layers apart", 0)
    piece.until(lambda: differ(closed, piece.pixels()) < 0.01)
    assert piece.inked().mean() == pytest.approx(size, rel=0.02)


def test_steps_are_shown_one_after_another_until_the_piece_stands(piece):
    piece.button("Put together").click()
    told = piece.page.locator(".told")
    expect(told).to_contain_text("Step 1 of")
    seen = []
    count = int(re.search(r"of (\d+)", told.inner_text())[1])
    for number in range(1, count + 1):
        expect(told).to_contain_text(f"Step {number} of {count}")
        assert len(told.inner_text()) > 30
        seen.append(piece.inked().mean())
        if number < count:
            piece.button("One on").click()
    assert seen[-1] > seen[0]
    piece.button("Done").click()
    expect(told).to_have_count(0)


#: The tone of what is new in a step is sea green, which nothing else of a piece has.
def fresh(pixels):
    red, green, blue = (pixels[..., k] for k in range(3))
    return (green - red > 25) & (blue - red > 20) & (abs(green - blue) < 25) & (red > 50) & inked(pixels)


EXAMPLES = ["Chart rack", "Lamp table", "Lookout stool", "Slat chair", "Tide chest", "Window seat"]


@pytest.mark.parametrize("title", EXAMPLES)
def test_in_every_step_what_is_new_is_seen(desk, title):
    """Also where it joins a sub-assembly that is not of the main work yet, or lies behind the rest."""
    desk.begun(title)
    desk.until(lambda: desk.button("Put together").count())
    desk.button("Put together").click()
    told = desk.page.locator(".told")
    expect(told).to_contain_text("Step 1 of")
    count = int(re.search(r"of (\d+)", told.inner_text())[1])
    hidden = []
    for number in range(1, count + 1):
        expect(told).to_contain_text(f"Step {number} of {count}")
        if fresh(desk.pixels()).sum() < 60:
            hidden.append(told.inner_text())
        if number < count:
            desk.button("One on").click()
    assert hidden == []


def test_a_lid_is_put_together_by_itself_and_upside_down(desk):
    """The lid's ring goes onto the lid, which lies on its face; the chest is not in sight meanwhile."""
    desk.begun("Tide chest")
    desk.until(lambda: desk.button("Put together").count())
    whole = desk.inked().sum()
    desk.button("Put together").click()
    told = desk.page.locator(".told")
    for _ in range(20):
        if "upside down" in told.inner_text():
            break
        desk.button("One on").click()
    pixels = desk.pixels()
    assert "upside down" in told.inner_text()
    assert fresh(pixels).sum() > 300
    assert inked(pixels).sum() < 0.8 * whole
    # The lid's ring stands up from it.
    rows = np.nonzero(fresh(pixels).any(axis=1))[0]
    assert rows.mean() < np.nonzero(inked(pixels).any(axis=1))[0].mean()


def test_a_measure_is_told_in_miniature_and_at_full_size(piece):
    piece.button("Measure").click()
    rows, columns = np.nonzero(within(piece.inked()))
    for at, asked in ((0.25, "Click a first point"), (0.75, "Click a second point")):
        expect(piece.page.get_by_text(asked)).to_be_visible()
        n = int(at * len(rows))
        piece.canvas.click(position={"x": int(columns[n]), "y": int(rows[n])})
    told = piece.page.get_by_text(re.compile(r"mm.*at full size"))
    expect(told).to_be_visible()
    small, full = re.search(r"([\d.]+) mm · ([\d.]+) mm", told.inner_text()).groups()
    assert float(full) == pytest.approx(12 * float(small), abs=0.6)


def test_a_section_opens_the_piece(piece):
    closed = piece.pixels()
    piece.button("Cut open").click()
    shown = [closed]
    for axis in ("its width", "its depth", "its height"):
        piece.button(axis).click()
        shown.append(piece.pixels())
        assert all(differ(shown[-1], other) > 0.01 for other in shown[:-1])
    # Further down, less is left.
    left = [inked(shown[-1]).sum()]
    for share in (0.3, 0.1):
        piece.page.get_by_role("slider", name="Cut open").evaluate(SLIDE, share)
        left.append(piece.inked().sum())
    assert left == sorted(left, reverse=True)
    assert left[-1] < 0.7 * left[0]
    piece.button("Cut open").click()
    piece.until(lambda: differ(closed, piece.pixels()) < 0.01)


def test_a_stack_that_is_closed_looks_like_one_of_which_all_is_drawn(piece):
    """Faces between layers are drawn only where layers come apart or are cut."""
    closed = piece.pixels()
    piece.button("Cut open").click()
    piece.button("its height").click()
    # Above everything: nothing is taken away, yet all is drawn.
    piece.page.get_by_role("slider", name="Cut open").evaluate(SLIDE, 1)
    assert differ(closed, piece.pixels()) < 1e-4
    piece.button("Cut open").click()
    assert differ(closed, piece.pixels()) < 1e-4


def test_true_size_is_as_large_as_the_card_says(piece):
    piece.button("True size").click()
    dialog = piece.page.get_by_role("dialog", name="As large as in the hand")
    # The card as wide as on a screen of 4 pixels to the millimetre.
    dialog.get_by_role("slider").evaluate(
        "input => { input.value = 4; input.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    card = dialog.locator(".card")
    piece.until(lambda: card.bounding_box()["width"] == pytest.approx(85.60 * 4, abs=0.5))
    assert card.bounding_box()["height"] == pytest.approx(53.98 * 4, abs=0.5)
    dialog.get_by_role("button", name="It fits").click()
    expect(dialog).to_have_count(0)
    # The stool's round top is 15 in across, 31.75 mm in miniature: its longest way on the screen, seen from
    # anywhere, is 31.75 times 4 pixels. Lines and what smooths them may add two on either side.
    left, _, right, _ = extent(piece.inked())
    assert right - left == pytest.approx(31.75 * 4, abs=4)
    # Another window on the same screen knows it already.
    piece.page.reload()
    piece.at_work()
    piece.button("True size").click()
    expect(piece.page.get_by_role("dialog")).to_have_count(0)
    left, _, right, _ = extent(piece.inked())
    assert right - left == pytest.approx(31.75 * 4, abs=4)


def test_a_piece_that_has_become_small_is_shown_as_large_as_before(piece):
    piece.line("Sizes and board")
    first = piece.inked().mean()
    scale = piece.field("Scale")
    scale.fill("1:6")
    scale.press("Enter")
    expect(piece.button("Take back: Scale")).to_be_enabled()
    piece.until(lambda: piece.inked().mean() == pytest.approx(first, rel=0.1))
    # Back at half the size, it comes nearer by itself ...
    piece.button("Take back: Scale").click()
    expect(piece.button("Nothing to take back")).to_be_visible()
    piece.until(lambda: piece.inked().mean() == pytest.approx(first, rel=0.1))
    # ... but not where somebody has chosen how to look at it.
    piece.canvas.focus()
    piece.page.keyboard.press("+")
    piece.page.keyboard.press("-")
    piece.button("Do again: Scale").click()
    piece.until(lambda: piece.inked().mean() > 2.0 * first)


def test_what_is_measured_is_told_in_feet_inches_and_sixteenths(piece):
    """As rulers have them, and as the rest of the page tells lengths."""
    piece.button("Measure").click()
    rows, columns = np.nonzero(within(piece.inked()))
    for at in (0.2, 0.8):
        n = int(at * len(rows))
        piece.canvas.click(position={"x": int(columns[n]), "y": int(rows[n])})
    told = piece.page.get_by_text(re.compile(r"mm.*at full size"))
    expect(told).to_be_visible()
    full, feet, whole, over, under = re.search(
        r"([\d.]+) mm \((?:(\d+) ft ?)?(\d+)? ?(?:(\d+)/(\d+))?(?: in)?\)", told.inner_text()
    ).groups()
    assert under in (None, "2", "4", "8", "16")
    inches = 12 * int(feet or 0) + int(whole or 0) + (int(over) / int(under) if over else 0.0)
    assert 25.4 * inches == pytest.approx(float(full), abs=0.5 + 25.4 / 32)
