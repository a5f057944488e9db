"""The kit at the table; and what may go wrong: nothing is lost, and a plain message says what happened."""

import io
import pathlib
import re
import sys
import zipfile

import pytest
from playwright.sync_api import expect

from ..referees import kits
from ..spoilt import LOCKED, stand
from .conftest import DROP
from .test_piece import differ

sys.path.insert(0, str(pathlib.Path(__file__).parents[2] / "benchmarks"))

from read_to_layers import crate


def dropped(desk, text, name="mine.toml"):
    desk.page.evaluate(DROP, [name, text if isinstance(text, str) else text.decode()])
    return desk.at_work()


# The kit


def test_a_kit_is_not_made_while_a_stop_stands_and_the_ticket_says_where(desk):
    dropped(desk, LOCKED)
    desk.looked_through()
    expect(desk.ticket.get_by_role("button", name=re.compile("stop")).first).to_be_visible()
    desk.line("Kit")
    expect(desk.ticket.get_by_role("alert")).to_contain_text("must be put right before a kit can be made")
    expect(desk.button("Make the kit")).to_be_disabled()


def test_only_the_files_chosen_are_made_and_leafing_is_by_keys_too(stool):
    stool.line("Kit")
    for kind in ("Sheets as DXF", "Machine files", "Model in space", "Aids at the bench", "Cushion"):
        stool.ticket.get_by_role("checkbox", name=re.compile(f"^{kind}")).uncheck()
    stool.button("Make the kit").click()
    expect(stool.page.get_by_role("heading", name="The kit is made")).to_be_visible()
    leaves = stool.page.get_by_role("group", name="The guide, page by page")
    leaves.focus()
    stool.page.keyboard.press("ArrowRight")
    expect(stool.page.get_by_role("img", name=re.compile("^Page 2 of"))).to_be_visible()
    stool.page.keyboard.press("ArrowLeft")
    expect(stool.page.get_by_role("img", name=re.compile("^Page 1 of"))).to_be_visible()
    # A page is enlarged by a click or by keys until its words can be read, leafed there, and put back.
    small = stool.page.get_by_role("img", name=re.compile("^Page 1 of")).bounding_box()
    stool.button("Page 1, larger").press("Enter")
    large = stool.page.get_by_role("dialog")
    image = large.get_by_role("img", name=re.compile("^Page 1 of"))
    expect(image).to_be_visible()
    assert image.bounding_box()["width"] > 2 * small["width"]
    natural = image.evaluate("image => image.naturalWidth")
    assert natural >= 0.95 * image.bounding_box()["width"]
    stool.page.keyboard.press("ArrowRight")
    expect(large.get_by_role("img", name=re.compile("^Page 2 of"))).to_be_visible()
    stool.page.keyboard.press("Escape")
    expect(large).to_have_count(0)
    stool.page.get_by_role("img", name=re.compile("^Page 2 of")).click()
    expect(large).to_be_visible()
    large.get_by_role("button", name="Back to the small page").click()
    expect(large).to_have_count(0)
    with stool.page.expect_download() as taken:
        stool.button("Take the kit").click()
    with zipfile.ZipFile(io.BytesIO(taken.value.path().read_bytes())) as packed:
        names = packed.namelist()
    assert [name for name in names if name.endswith(".svg")]
    assert not [name for name in names if name.endswith((".dxf", ".glb", ".nc"))]
    # A change of the design puts the kit away: it would not be of this design any more.
    stool.line("Sizes and board")
    stool.field("Height").fill("19 in")
    stool.field("Height").press("Enter")
    stool.line("Kit")
    expect(stool.button("Make the kit")).to_be_visible()


def test_making_can_be_left_off(desk):
    desk.begun("Chart rack")
    desk.line("Kit")
    desk.button("Make the kit").click()
    desk.button("Leave off").click()
    expect(desk.button("Make the kit")).to_be_enabled()
    expect(desk.page.get_by_role("progressbar")).to_have_count(0)


def test_the_judges_of_kits_refuse_what_is_wrong(stool):
    """What stands in ``referees/kits.py`` can fail."""
    stool.line("Kit")
    stool.button("Make the kit").click()
    expect(stool.page.get_by_role("heading", name="The kit is made")).to_be_visible()
    with stool.page.expect_download() as taken:
        stool.button("Take the kit").click()
    files = kits.judge(taken.value.path().read_bytes())
    with pytest.raises(AssertionError):
        kits.listed(files | {"README.txt": b"other words"})
    svg, dxf = files["sheets/sheet-1.svg"], files["sheets/sheet-1.dxf"]
    assert kits.sheet(svg, dxf)
    with pytest.raises(AssertionError):
        kits.sheet(re.sub(rb'width="[\d.]+mm"', b'width="50mm"', svg, count=1), dxf)
    with pytest.raises(AssertionError):
        kits.offline('<script src="https://example.org/x.js"></script>')


# What may go wrong


def take_text(desk, text):
    """Into the open editor, and taken."""
    desk.page.get_by_label("Design file").fill(text)
    desk.button("Take this text").click()


def test_only_the_last_refusal_of_a_text_stands_and_reading_it_anew_clears_it(stool):
    stool.button("The file as text").click()
    area = stool.page.get_by_label("Design file")
    expect(area).not_to_have_value("")
    good = area.input_value()
    alerts = stool.ticket.get_by_role("alert")
    dialog = stool.page.get_by_role("dialog")
    take_text(stool, good.replace("[form]", "[form"))
    expect(dialog).to_contain_text("cannot be taken yet")
    take_text(stool, good.replace('name = "stool"', 'name = "dresser"').replace("[form]", "[frm]"))
    expect(alerts.filter(has_text="frm")).to_have_count(1)
    take_text(stool, f'title = "{"x" * 300}"\n' + good.split("\n", 1)[1])
    expect(alerts.filter(has_text="frm")).to_have_count(0)
    expect(alerts).to_have_count(1)
    dialog.get_by_role("button", name="Read it anew").click()
    expect(area).to_have_value(good)
    expect(alerts).to_have_count(0)
    expect(dialog).not_to_contain_text("cannot be taken yet")
    # From the ticket too, where the editor is closed; what was written there stays.
    take_text(stool, good + "\nlegs = = 3\n")
    expect(alerts).to_have_count(1)
    dialog.get_by_role("button", name="Close").click()
    alerts.get_by_role("button", name="Let it go").click()
    expect(alerts).to_have_count(0)
    stool.page.reload()
    stool.at_work()
    expect(alerts).to_have_count(0)
    stool.button("The file as text").click()
    expect(area).to_have_value(good + "\nlegs = = 3\n")


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("", "mine"),
        ("   \n", "mine"),
        ('title = "Sea bench"\nunheard = 3\n', "Sea bench"),
        ('title = "Sea bench"\n[form]\nname = "no-such"\n', "Sea bench"),
    ],
)
def test_a_file_of_which_nothing_can_be_drawn_says_so_on_every_line(desk, text, title):
    desk.page.evaluate(DROP, ["mine.toml", text])
    expect(desk.ticket.get_by_role("heading", level=1)).to_have_text(title)
    expect(desk.ticket.get_by_role("alert").first).to_be_visible()
    expect(desk.ticket.get_by_text("…", exact=True)).to_have_count(0)
    for line in ("Piece", "Sizes and board", "Joints", "Sheets", "Cushion", "Evenings", "Kit"):
        desk.line(line)
        expect(desk.ticket.get_by_text("There is nothing to look at until")).to_be_visible()
        expect(desk.table.get_by_text("There is nothing to look at until")).to_be_visible()
        expect(desk.table.get_by_text("Being worked out…")).to_have_count(0)
    assert desk.page.get_by_role("group", name="How it is shown").count() == 0
    assert desk.button("Make the kit").count() == 0
    # As soon as it can be read, all is there.
    form = '[form]\nname = "radial-table"\n'
    desk.button("The file as text").last.click()
    take_text(desk, f'title = "Sea bench"\nscale = "1:12"\n{form}')
    expect(desk.page.get_by_text("Taken.")).to_be_visible()
    desk.page.get_by_role("dialog").get_by_role("button", name="Close").click()
    desk.line("Piece")
    desk.drawn()
    expect(desk.page.get_by_role("group", name="How it is shown")).to_be_visible()


def test_a_lost_connection_is_told_and_what_was_typed_meanwhile_arrives(windows, own_start):
    start = own_start()
    desk = windows(start).go().begun()
    desk.loss_expected = True
    desk.line("Sizes and board")
    start.kill()
    expect(
        desk.page.get_by_role("alert").filter(has_text="The connection to the work table is lost")
    ).to_be_visible()
    desk.field("Height").fill("23 in")
    desk.field("Height").press("Enter")
    expect(desk.field("Height")).to_have_value("23 in")
    # The same token is not known to a new start: the page says so, and its work is there.
    start.begin()
    expect(desk.page.get_by_role("alert").filter(has_text="earlier start of Laminature")).to_be_visible()
    other = windows(start).go()
    other.page.get_by_role("region", name="Go on with").get_by_role(
        "button", name=re.compile("^Lookout")
    ).click()
    other.at_work().line("Sizes and board")
    expect(other.field("Height")).to_have_value("18 in")


def test_a_connection_that_comes_back_takes_what_was_typed_meanwhile(windows, start):
    desk = windows(start)
    held = []

    def between(route):
        """The wire: it can be cut from here, while the server goes on."""
        server = route.connect_to_server()
        held.append((route, server))

    desk.page.route_web_socket(re.compile(".*/socket"), between)
    desk.go().begun()
    desk.loss_expected = True
    desk.line("Sizes and board")
    route, server = held[0]
    server.close()
    route.close(code=1001)
    desk.field("Height").fill("24 in")
    desk.field("Height").press("Enter")
    desk.until(lambda: len(held) > 1)
    expect(desk.page.get_by_role("alert").filter(has_text="lost")).to_have_count(0)
    expect(desk.button("Take back: Height")).to_be_enabled()
    assert 'height = "24 in"' in desk.text_of_design()


def test_two_windows_on_one_design_see_the_same(windows, start):
    one = windows(start).go().begun()
    one.line("Sizes and board")
    work = one.page.evaluate("JSON.parse(sessionStorage.getItem('place')).work")
    other = windows(start, context=one.page.context).go(f"{start.address}&work={work}").at_work()
    other.line("Sizes and board")
    one.field("Height").fill("27 in")
    one.field("Height").press("Enter")
    expect(other.field("Height")).to_have_value("27 in")
    other.field("Width").fill("17 in")
    # Half typed in the one while the other changes: it stays.
    one.field("Height").fill("28 in")
    one.field("Height").press("Enter")
    expect(other.field("Height")).to_have_value("28 in")
    expect(other.field("Width")).to_have_value("17 in")
    other.field("Width").press("Enter")
    expect(one.field("Width")).to_have_value("17 in")


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux bounds the files of a process from outside")
def test_a_full_disk_is_told_and_loses_nothing(windows, own_start):
    """No file may grow: what is written fails as on a full disk (``prlimit``, Linux man-pages)."""
    import resource

    start = own_start()
    desk = windows(start).go().begun()
    desk.line("Sizes and board")
    expect(desk.ticket.get_by_text(re.compile("^Saved"))).to_be_visible()
    pid = start.process.pid
    bounds = resource.prlimit(pid, resource.RLIMIT_FSIZE)
    resource.prlimit(pid, resource.RLIMIT_FSIZE, (0, bounds[1]))
    desk.field("Height").fill("20 in")
    desk.field("Height").press("Enter")
    expect(desk.page.get_by_role("alert").first).to_be_visible()
    said = desk.page.get_by_role("alert").first.inner_text()
    assert "saved" in said or "written" in said or "disk" in said
    expect(desk.field("Height")).to_have_value("20 in")
    resource.prlimit(pid, resource.RLIMIT_FSIZE, bounds)
    desk.field("Width").fill("16 in")
    desk.field("Width").press("Enter")
    saved = next((start.folder / "works").glob("*/design.toml"))
    desk.until(lambda: 'width = "16 in"' in saved.read_text("utf-8"))
    assert 'height = "20 in"' in saved.read_text("utf-8")


def test_a_file_that_something_else_changes_is_never_written_over(windows, own_start, tmp_path):
    path = tmp_path / "stool.toml"
    path.write_bytes(stand())
    start = own_start(file=path)
    desk = windows(start).go().at_work()
    expect(desk.ticket.get_by_text("stool.toml")).to_be_visible()
    other = stand().replace(b"24 in", b"25 in")
    path.write_bytes(other)
    desk.button("The file as text").click()
    area = desk.page.get_by_label("Design file")
    expect(area).not_to_have_value("")
    area.fill("# mine\n" + area.input_value())
    desk.button("Take this text").click()
    expect(desk.page.get_by_text("Taken.")).to_be_visible()
    desk.page.get_by_role("dialog").get_by_role("button", name="Close").click()
    expect(desk.button("Take the changed file")).to_be_visible()
    assert path.read_bytes() == other
    desk.button("Take the changed file").click()
    expect(desk.button("Take the changed file")).to_have_count(0)
    desk.until(lambda: "25 in" in desk.text_of_design())


def test_a_design_of_400_parts_is_seen_and_changed(desk):
    dropped(desk, crate(400), "crates.toml")
    before = desk.pixels()
    desk.button("The file as text").click()
    area = desk.page.get_by_label("Design file")
    expect(area).not_to_have_value("")
    text = area.input_value()
    first = re.search(r"height = (\S.*)", text)
    area.fill(text.replace(first[0], "height = 700", 1))
    desk.button("Take this text").click()
    expect(desk.page.get_by_text("Taken.")).to_be_visible()
    desk.page.get_by_role("dialog").get_by_role("button", name="Close").click()
    desk.until(lambda: differ(before, desk.pixels()) > 0.0005)
    desk.button("Whole piece").click()


def test_markup_in_a_design_stays_text(desk):
    name = "<img src=x onerror=alert(1)></script><script>alert(2)</script>"
    text = stand().decode().replace("# The tide", f"title = '{name}'\n# The tide")
    said = []
    desk.page.on("dialog", lambda dialog: (said.append(dialog.message), dialog.dismiss()))
    dropped(desk, text)
    expect(desk.ticket.get_by_role("heading", level=1)).to_have_text(name)
    desk.line("Kit")
    desk.looked_through()
    desk.page.wait_for_timeout(300)
    assert said == []
