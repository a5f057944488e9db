"""Sizes and board: typed, slid and stepped; what cannot be is explained in place and never lost."""

import re
import tomllib

from playwright.sync_api import expect

#: Each frame a value further on, as a hand moves a slider; a count of what went over the wire meanwhile.
DRAG = """async ([label, from, to, count]) => {
  const input = document.querySelector(`input[type=range][aria-label="${label}"]`);
  for (let n = 1; n <= count; n += 1) {
    input.value = from + ((to - from) * n) / count;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    await new Promise((done) => requestAnimationFrame(done));
  }
  input.dispatchEvent(new Event("change", { bubbles: true }));
}"""


def test_a_length_is_typed_in_any_unit_and_stands_on_both_scales(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    expect(height).to_have_value("18 in")
    before = stool.pixels()
    height.fill("1 ft 10 1/2 in")
    height.press("Enter")
    field = stool.around("Height")
    expect(field.locator(".mini")).to_contain_text("47.6")
    assert (stool.pixels() != before).any()
    height.fill("45 cm")
    height.press("Enter")
    expect(field.locator(".mini")).to_contain_text("37.5")
    assert 'height = "45 cm"' in stool.text_of_design()


def test_a_slider_follows_the_hand_and_the_last_value_wins(stool):
    stool.line("Sizes and board")
    stool.page.evaluate(DRAG, ["Height, by sliding", 18, 30, 60])
    expect(stool.field("Height")).to_have_value("30 in")
    expect(stool.button("Take back: Height")).to_be_enabled()
    assert 'height = "30 in"' in stool.text_of_design()
    # A slide is one step to take back.
    stool.button("Take back: Height").click()
    expect(stool.field("Height")).to_have_value("18 in")
    expect(stool.button("Nothing to take back")).to_be_disabled()


def test_stale_values_are_dropped_on_the_way(windows, start):
    desk = windows(start)
    sent, scenes = [], []

    def listen(socket):
        socket.on("framesent", lambda data: sent.append(data) if '"set"' in str(data) else None)
        socket.on("framereceived", lambda data: scenes.append(data) if b'"scene"' in bytes(data) else None)

    desk.page.on("websocket", listen)
    desk.go().begun("Slat chair")
    desk.line("Sizes and board")
    del scenes[:]
    first = desk.ticket.locator("input[type=range]").first
    label = first.get_attribute("aria-label")
    low, high = float(first.get_attribute("min")), float(first.get_attribute("max"))
    at = float(first.input_value())
    to = at + 0.1 * (high - low)
    # 200 values at once: no browser frame between them.
    first.evaluate(
        """(input, [from, to]) => { for (let n = 1; n <= 200; n += 1) {
             input.value = from + ((to - from) * n) / 200;
             input.dispatchEvent(new Event("input", { bubbles: true })); }
           input.dispatchEvent(new Event("change", { bubbles: true })); }""",
        [at, to],
    )
    wanted = first.input_value()
    title = label.removesuffix(", by sliding")
    expect(desk.button(f"Take back: {title}")).to_be_enabled()
    expect(desk.field(title)).to_have_value(re.compile(rf"^{float(wanted):g}\b"))
    assert len(sent) < 10
    assert len(scenes) <= len(sent) + 1  # the cushion may come after


def test_what_cannot_be_is_explained_in_place_and_kept_over_a_reload(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    before = stool.pixels()
    height.fill("900 in")
    height.press("Enter")
    field = stool.around("Height")
    expect(field.locator(".said")).to_contain_text("too large")
    expect(height).to_have_attribute("aria-invalid", "true")
    expect(height).to_have_value("900 in")
    # The last good piece stays on the table.
    assert (stool.pixels() == before).all()
    stool.page.reload()
    stool.at_work()
    expect(stool.field("Height")).to_have_value("900 in")
    expect(stool.around("Height").locator(".said")).to_contain_text("too large")
    stool.field("Height").fill("20 in")
    stool.field("Height").press("Enter")
    expect(stool.ticket.locator(".said")).to_have_count(0)


def test_half_a_word_is_kept_and_said_not_to_be_taken(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    height.press_sequentially("x")
    expect(stool.ticket.get_by_text("Typed, but not taken yet.")).to_be_visible()
    typed = height.input_value()
    stool.page.reload()
    stool.at_work()
    expect(stool.field("Height")).to_have_value(typed)
    stool.field("Height").press("Escape")
    expect(stool.field("Height")).to_have_value("18 in")


def test_strange_input_is_answered_in_words(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    field = stool.around("Height")
    for typed in ("", "∞", "-3 in", "0", "1e9 m", "<b>18</b>", "٣ in", '"; drop', "18 furlongs"):
        height.fill(typed)
        height.press("Enter")
        if typed:
            expect(field.locator(".said")).not_to_be_empty()
            expect(height).to_have_value(typed)
    height.fill("18 in")
    height.press("Enter")
    expect(stool.ticket.locator(".said")).to_have_count(0)


def test_board_cutter_fit_and_measured_stacks_are_chosen(stool):
    stool.line("Sizes and board")
    stool.field("Cutter").select_option(label="Laser")
    stool.field("Board").select_option(index=3)
    expect(stool.ticket.locator("[aria-invalid=true]")).to_have_count(0)
    measured = stool.field("4 layers measure")
    expect(measured).to_be_visible()
    stool.field("Scale").fill("1:6")
    stool.field("Scale").press("Enter")
    expect(stool.ticket.get_by_text("at 1:6")).to_be_visible()
    text = stool.text_of_design()
    assert 'scale = "1:6"' in text
    assert "laser" in text


def test_counts_have_steps_that_stop_at_their_ends(stool):
    stool.line("Sizes and board")
    legs = stool.field("Legs")
    expect(legs).to_have_value("4")
    stool.button("Legs: one more").click()
    expect(legs).to_have_value("5")
    for number in (4, 3):
        stool.button("Legs: one less").click()
        expect(legs).to_have_value(str(number))
    expect(stool.button("Legs: one less")).to_be_disabled()


def test_a_value_goes_back_to_what_is_usual(stool):
    stool.line("Sizes and board")
    height = stool.field("Height")
    stool.page.get_by_role("button", name=re.compile("^as usual: Height")).click()
    expect(height).not_to_have_value("18 in")
    assert "height" not in stool.text_of_design().split("[form]")[1].split("[")[0]


def test_notes_keep_their_lines(stool):
    """A line break is the maker's: it is shown, written, and still there after another change."""
    stool.line("Piece")
    notes = stool.field("Notes")
    notes.fill("For the gallery.\n\nStain it last.")
    notes.press("Control+Enter")
    expect(stool.button("Take back: Notes")).to_be_enabled()
    stool.page.reload()
    stool.at_work()
    stool.line("Piece")
    expect(stool.field("Notes")).to_have_value("For the gallery.\n\nStain it last.")
    stool.field("Title").fill("Gallery stool")
    stool.field("Title").press("Enter")
    expect(stool.button("Take back: Title")).to_be_enabled()
    written = tomllib.loads(stool.text_of_design())
    assert written["notes"] == "For the gallery.\n\nStain it last."


def test_a_refused_length_is_not_told_in_miniature(stool):
    stool.line("Sizes and board")
    around = stool.around("Height")
    expect(around.locator(".mini")).to_have_text("38.1 mm")
    stool.field("Height").fill("200 ft")
    stool.field("Height").press("Enter")
    expect(around.locator(".said")).not_to_be_empty()
    expect(around.locator(".mini")).to_have_count(0)
    stool.field("Height").press("Escape")
    expect(around.locator(".mini")).to_have_text("38.1 mm")
