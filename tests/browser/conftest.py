"""A real browser on a real start of the work table, used as a maker uses it.

Where there is no Chromium the tests here are skipped, and say so; with ``LAMINATURE_BROWSER=required`` (as
``.ci/run`` sets it) they fail instead. ``LAMINATURE_CHROMIUM`` names another one than the ``chromium`` on
the path.
"""

import io
import os
import pathlib
import re
import subprocess
import sys
import time
from contextlib import contextmanager

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Error, expect, sync_playwright

sys.path.insert(0, str(pathlib.Path(__file__).parents[2] / "benchmarks"))

from chromium import ARGUMENTS, CHROMIUM

REQUIRED = os.environ.get("LAMINATURE_BROWSER") == "required"
#: A colour that no piece has.
TABLE = (0, 255, 255)
#: Generous, since nothing here is a timed test and the machine may be busy, ms.
PATIENCE = 60_000
expect.set_options(timeout=PATIENCE)

#: A file is dropped onto the table, as from a folder's window: its name and its text.
DROP = """([name, text]) => {
  const data = new DataTransfer();
  data.items.add(new File([text], name, { type: "text/plain" }));
  for (const kind of ["dragover", "drop"])
    document.querySelector("#table > *").dispatchEvent(
      new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true }));
}"""


class Start:
    """One start of ``laminature open`` in a folder of its own, which outlives it."""

    def __init__(self, folder, *, file=None):
        self.folder = folder
        self.file = file
        self.port = 0
        self.begin()

    def begin(self):
        command = [sys.executable, "-m", "laminature", "open", "--no-browser", "--port", str(self.port)]
        environment = os.environ | {
            "LAMINATURE_WORK": str(self.folder / "works"),
            "LAMINATURE_CONFIG": str(self.folder / "config"),
            "PYTHONUNBUFFERED": "1",
        }
        self.process = subprocess.Popen(
            command + ([str(self.file)] if self.file else []),
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        for line in self.process.stdout:
            if found := re.search(r"http://127\.0\.0\.1:(\d+)/\S*", line):
                self.address, self.port = found[0], int(found[1])
                return
        raise AssertionError("the work table did not start")

    def end(self):
        self.process.terminate()
        self.process.wait(20)
        self.process.stdout.close()

    def kill(self):
        """As when the power fails."""
        self.process.kill()
        self.process.wait(20)
        self.process.stdout.close()


class Desk:
    """One window on the work table."""

    def __init__(self, page, start):
        self.page = page
        self.start = start
        #: What the browser complained of. A lost connection is told by it too, where a test wants one.
        self.complaints = []
        self.loss_expected = False
        self.requests = []
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("request", lambda request: self.requests.append(request.url))

    def _heard(self, message):
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def go(self, address=None):
        self.page.goto(address or self.start.address)
        return self

    # Where one is

    def begun(self, title="Lookout stool"):
        """Begin a work of its own from an example."""
        self.page.get_by_role("button", name=re.compile(title)).last.click()
        return self.at_work()

    def at_work(self):
        expect(self.page.get_by_role("complementary", name="Job ticket")).to_be_visible()
        self.drawn()
        return self

    def drawn(self):
        """Until the piece is seen."""
        expect(self.canvas).to_be_visible()
        self.until(lambda: self.inked().mean() > 0.01)

    def upholstered(self):
        """Until the cushion is seen, which comes after the rest of the piece."""
        self.until(lambda: clothed(self.pixels()).mean() > 0.005)

    @property
    def ticket(self):
        return self.page.get_by_role("complementary", name="Job ticket")

    @property
    def table(self):
        return self.page.get_by_role("main", name="On the table")

    @property
    def canvas(self):
        return self.page.locator("canvas")

    def line(self, title):
        """Open a line of the job ticket."""
        button = self.ticket.get_by_role("button", name=re.compile(rf"^{title}\b"))
        if button.get_attribute("aria-expanded") != "true":
            button.click()
        expect(button).to_have_attribute("aria-expanded", "true")
        return self

    def looked_through(self):
        """Until findings have come for what stands now."""
        expect(self.ticket.get_by_text("…", exact=True)).to_have_count(0)

    def field(self, label):
        return self.ticket.get_by_label(label, exact=True)

    def around(self, label):
        """All of a field: its label, entry, slider and what is said below."""
        return self.page.locator(".field").filter(has=self.page.get_by_label(label, exact=True))

    def button(self, name, **more):
        return self.page.get_by_role("button", name=name, **more)

    def text_of_design(self):
        """The design file as the work table has it, read like a maker reads it."""
        self.button("The file as text").click()
        area = self.page.get_by_label("Design file")
        expect(area).not_to_have_value("")
        text = area.input_value()
        self.page.get_by_role("dialog").get_by_role("button", name="Close").click()
        return text

    def until(self, question, seconds=PATIENCE / 1000):
        """Ask until the answer is truthy, and give it."""
        end = time.monotonic() + seconds
        while not (answer := question()):
            assert time.monotonic() < end, "it did not happen"
            self.page.wait_for_timeout(50)
        return answer

    # What is seen

    def pixels(self):
        """The piece on a table of one colour, without what lies over it: rows, columns, RGB."""
        over = f"""
            .notes, .tags, .troubles {{ visibility: hidden !important }}
            body, body *:has(canvas) {{ background: rgb{TABLE} !important }}"""
        self.page.evaluate(
            "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
        )
        box = self.canvas.bounding_box()
        with self._styled(over):
            data = self.page.screenshot(clip=box)
        return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)

    def inked(self):
        """Which pixels are not the bare table: rows, columns."""
        return inked(self.pixels())

    @contextmanager
    def _styled(self, css):
        # A sheet of style made by script, as the page's own rules forbid style in the document.
        self.page.evaluate(
            """(css) => { const sheet = new CSSStyleSheet(); sheet.replaceSync(css); window.__over = sheet;
               document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet]; }""",
            css,
        )
        yield
        self.page.evaluate(
            """() => { document.adoptedStyleSheets =
               document.adoptedStyleSheets.filter((each) => each !== window.__over); }"""
        )


def inked(pixels):
    """Which pixels are not the bare table."""
    return np.abs(pixels - TABLE).sum(axis=2) > 60


def clothed(pixels):
    """Which pixels are of the cushion's cloth, plum as it is: rows, columns."""
    red, green, blue = (pixels[..., k] for k in range(3))
    return (red - green > 40) & (blue - green > 20)


@pytest.fixture(scope="package")
def chromium():
    if not CHROMIUM:
        reason = "no Chromium on the path; install the package chromium, or set LAMINATURE_CHROMIUM"
        if REQUIRED:
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def start(tmp_path_factory):
    started = Start(tmp_path_factory.mktemp("start"))
    yield started
    started.end()


@pytest.fixture
def own_start(tmp_path):
    """Starts of this test alone: ``own_start(file=None)``."""
    started = []

    def begin(**more):
        started.append(Start(tmp_path, **more))
        return started[-1]

    yield begin
    for each in started:
        if each.process.poll() is None:
            each.end()


@pytest.fixture
def windows(chromium):
    """Windows on starts: ``windows(start)``; in the end no browser must have complained."""
    contexts = []
    desks = []

    def show(start, *, light="light", width=1280, height=720, context=None, **more):
        if context is None:
            context = chromium.new_context(
                viewport={"width": width, "height": height},
                color_scheme=light,
                reduced_motion="reduce",
                accept_downloads=True,
                **more,
            )
            context.set_default_timeout(PATIENCE)
            contexts.append(context)
        desks.append(Desk(context.new_page(), start))
        return desks[-1]

    yield show
    complaints = [said for desk in desks if not desk.loss_expected for said in desk.complaints]
    for context in contexts:
        try:
            context.close()
        except Error:
            continue
    assert complaints == []


@pytest.fixture
def desk(windows, start):
    """A window on the start page."""
    return windows(start).go()


@pytest.fixture
def stool(desk):
    """A window with a new work, the lookout stool, after all of it has come."""
    desk.begun().upholstered()
    return desk
