"""From an empty start to a kit that strangers' programs can read: all of it with mouse and keys."""

import subprocess
import sys
import tomllib

from playwright.sync_api import expect

from ..referees.kits import judge


def test_from_an_empty_start_to_a_kit(windows, own_start, tmp_path):
    desk = windows(own_start()).go()
    page = desk.page
    expect(page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    expect(page.get_by_role("heading", name="Go on with")).to_have_count(0)
    page.get_by_role("region", name="What shall be made?").get_by_role("button", name="Stool").first.click()
    desk.at_work()

    desk.line("Piece")
    title = desk.field("Title")
    title.fill("A stool for the landing")
    title.press("Enter")
    expect(page).to_have_title("A stool for the landing – Laminature")

    desk.line("Sizes and board")
    height = desk.field("Height")
    height.fill("15 in")
    height.press("Enter")
    expect(height).to_have_value("15 in")
    desk.looked_through()

    desk.line("Sheets")
    expect(desk.table.get_by_role("application", name="sheet")).to_be_visible()

    desk.line("Kit")
    desk.button("Make the kit").click()
    expect(page.get_by_role("heading", name="The kit is made")).to_be_visible(timeout=120_000)
    leaf = page.get_by_role("img", name="Page 1 of")
    expect(leaf).to_be_visible()
    assert leaf.evaluate("image => image.naturalWidth") > 400
    desk.button("Next page").click()
    expect(page.get_by_role("img", name="Page 2 of")).to_be_visible()

    with page.expect_download() as taken:
        desk.button("Take the kit").click()
    assert taken.value.suggested_filename == "a-stool-for-the-landing.zip"
    files = judge(taken.value.path().read_bytes())
    design = tomllib.loads(files["design.toml"].decode())
    assert design["title"] == "A stool for the landing"
    assert design["form"]["height"] == "15 in"

    with page.expect_download() as taken:
        desk.button("Take the guide").click()
    assert taken.value.path().read_bytes() == files["guide.pdf"]
    with page.expect_download() as taken:
        desk.button("Take the design file").click()
    assert taken.value.path().read_bytes() == files["design.toml"]

    # The command line agrees with the table: the same design makes the same sheets.
    path = tmp_path / "design.toml"
    path.write_bytes(files["design.toml"])
    done = subprocess.run(
        [sys.executable, "-m", "laminature", "kit", str(path), "-o", str(tmp_path / "kit"), "--no-offcuts"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    for name in files:
        if name.startswith("sheets/") and name.endswith((".svg", ".dxf")):
            assert (tmp_path / "kit" / name).read_bytes() == files[name]
    assert all(
        request.startswith(f"http://127.0.0.1:{desk.start.port}/")
        for request in desk.requests
        if not request.startswith("blob:")
    )
