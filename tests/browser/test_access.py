"""Usable by everybody: what axe-core finds (WCAG 2.2, levels A and AA), keys alone, small screens."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

LINES = ["Piece", "Sizes and board", "Joints", "Sheets", "Cushion", "Evenings", "Kit"]
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


def faults(desk):
    """Serious and critical findings, with what they are about."""
    response = Axe().run(desk.page, options=RULES).response
    assert len(response["passes"]) > 8
    told = response["violations"]
    return [
        (each["id"], [node["html"][:160] for node in each["nodes"]][:3])
        for each in told
        if each["impact"] in ("serious", "critical")
    ]


@pytest.mark.parametrize("light", ["light", "dark"])
def test_axe_finds_nothing_serious_anywhere(windows, start, light):
    desk = windows(start, light=light).go()
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    found = {"start": faults(desk)}
    desk.begun()
    desk.looked_through()
    for line in LINES:
        desk.line(line)
        desk.until(lambda: not desk.table.get_by_text("Being worked out…").count())
        found[line] = faults(desk)
    desk.line("Piece")
    desk.button("Put together").click()
    found["steps"] = faults(desk)
    desk.button("Done").click()
    for name in ("Earlier copies", "The file as text", "True size"):
        desk.button(name).click()
        dialog = desk.page.get_by_role("dialog")
        expect(dialog).to_be_visible()
        found[name] = faults(desk)
        desk.page.keyboard.press("Escape")
        expect(dialog).to_have_count(0)
    desk.line("Sizes and board")
    desk.field("Height").fill("900 in")
    desk.field("Height").press("Enter")
    expect(desk.ticket.locator(".said")).to_be_visible()
    found["refused"] = faults(desk)
    assert {where: each for where, each in found.items() if each} == {}


def test_axe_finds_what_is_put_there_to_be_found(desk):
    """The judge can fail."""
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    desk.page.evaluate(
        """() => { const field = document.createElement("input");
                   document.querySelector("main").append(field, new Image()); }"""
    )
    assert {each[0] for each in faults(desk)} >= {"label"}


def test_from_start_to_changed_size_by_keys_alone(windows, start):
    desk = windows(start).go()
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    keys = desk.page.keyboard

    def tab_to(wanted, most=80):
        for _ in range(most):
            keys.press("Tab")
            name = desk.page.evaluate(
                "() => document.activeElement.getAttribute('aria-label') ?? "
                "document.activeElement.labels?.[0]?.innerText ?? document.activeElement.innerText ?? ''"
            )
            if name.startswith(wanted):
                # What has the focus is seen to have it.
                assert desk.page.evaluate(
                    "() => getComputedStyle(document.activeElement).outlineStyle"
                ) not in ("none", "")
                return
        raise AssertionError(f"no way to {wanted} by Tab")

    tab_to("Lookout stool")
    keys.press("Enter")
    desk.at_work()
    tab_to("Sizes and board")
    keys.press("Enter")
    tab_to("Height")
    keys.press("Control+a")
    keys.type("21 in")
    keys.press("Enter")
    expect(desk.button("Take back: Height")).to_be_enabled()
    tab_to("Height, by sliding")
    keys.press("ArrowRight")
    expect(desk.field("Height")).to_have_value("22 in")


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (820, 1180), (1920, 1080)])
def test_nothing_runs_off_the_screen(windows, start, width, height):
    desk = windows(start, width=width, height=height).go()
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    for line in [None, *LINES]:
        if line:
            desk.line(line)
        else:
            assert overflow(desk) == []
            desk.begun()
        assert overflow(desk) == []


def overflow(desk):
    """Whether the page as a whole can be scrolled sideways, and buttons that lie outside it."""
    return desk.page.evaluate(
        """() => {
          const root = document.documentElement;
          const wide = root.scrollWidth > root.clientWidth + 1 ? [`page ${root.scrollWidth}`] : [];
          const out = [...document.querySelectorAll("button, input, select")].filter((each) => {
            const box = each.getBoundingClientRect();
            return box.width > 4 && (box.left < -1 || box.right > root.clientWidth + 1);
          }).map((each) => each.outerHTML.slice(0, 120));
          return [...wide, ...out];
        }"""
    )
