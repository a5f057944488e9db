"""From a slider's input event to the new frame, in a real browser: the examples, and 20, 60 and 400 parts.

    python benchmarks/worktable_page.py [--rounds N]

Chromium without a window draws WebGL in software, which is slower than any graphics card; what is measured is
thus an upper bound for a machine as quick. Every slider of sizes and board of each example is moved two steps
up and down, one value at a time; of the crates of ``read_to_layers.py`` the height of one part is changed
again and again. Printed are the median and the 95th percentile from the input event to the scene's arrival
in the page, to the end of the frame's drawing by the page, and to the moment at which a pixel of that very
frame has been read back, so that drawing by the processor is over too; then the page's weight, plain and
packed, and the time from the command to the first piece. The benchmark fails where the frames of the examples
together take longer than ``LIMIT`` in the median.
"""

from __future__ import annotations

import argparse
import gzip
import pathlib
import re
import statistics
import sys
import tempfile
import time

from chromium import ARGUMENTS, CHROMIUM
from playwright.sync_api import Page, sync_playwright
from read_to_layers import crate

from laminature import front
from worktable import served

SIZES = (20, 60, 400)
#: The most from an input event to the frame, for the examples in the median, ms.
LIMIT = 100.0

#: Notes when a scene arrives and when something is drawn. What a frame draws is drawn in one go: what is put
#: off until that is over runs before anything else does, and before the next frame.
WATCH = """
window.noted = { scenes: 0, refused: 0, arrived: 0, drawn: 0, waiting: null };
const Plain = window.WebSocket;
window.WebSocket = class extends Plain {
  constructor(...rest) {
    super(...rest);
    this.addEventListener("message", ({ data }) => {
      if (typeof data === "string") return;
      const length = new DataView(data).getUint32(0, true);
      const { kind, seq } = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 4, length)));
      if (kind === "scene" && seq > 0) { noted.scenes += 1; noted.arrived = performance.now(); }
      if (kind === "refused") noted.refused += 1;
    });
  }
};
for (const name of ["drawElements", "drawArrays"]) {
  const plain = WebGL2RenderingContext.prototype[name];
  WebGL2RenderingContext.prototype[name] = function (...rest) {
    if (noted.drawn === 0 || noted.waiting) queueMicrotask(() => {
      noted.drawn = performance.now();
      noted.waiting?.(this);
    });
    return plain.apply(this, rest);
  };
}
"""

#: Moves a slider to a value; gives the times to the scene, the frame and its last pixel, or null if refused.
MOVE = """([label, value]) => new Promise((done) => {
  const input = [...document.querySelectorAll("input[type=range]")]
    .find((each) => each.getAttribute("aria-label") === label);
  const [scenes, refused] = [noted.scenes, noted.refused];
  const end = (answer) => { noted.waiting = null; clearInterval(looking); done(answer); };
  const looking = setInterval(() => { if (noted.refused > refused) end(null); }, 20);
  noted.waiting = (gl) => {
    if (noted.scenes === scenes) return;
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
    end([noted.arrived - began, noted.drawn - began, performance.now() - began]);
  };
  input.value = value;
  const began = performance.now();
  input.dispatchEvent(new Event("input", { bubbles: true }));
})"""

SLIDERS = """() => [...document.querySelectorAll(".field input[type=range]")].map((each) =>
  ({ label: each.getAttribute("aria-label"), at: each.valueAsNumber, low: Number(each.min),
     high: Number(each.max), step: each.step === "any" ? 0 : Number(each.step) }))"""


def ready(page: Page) -> None:
    """Until the piece was drawn, and the bench has been through it."""
    page.wait_for_function("() => noted.drawn > 0", timeout=120_000)
    page.get_by_role("button", name=re.compile("^Sizes and board")).click()
    page.wait_for_function(
        "() => ![...document.querySelectorAll('.counts')].some((each) => each.innerText.trim() === '…')",
        timeout=300_000,
    )
    page.wait_for_timeout(1500)


def moved(page: Page, rounds: int, *, every: bool) -> list[list[float]]:
    """Times to scene, frame and pixel of each move, ms: of every slider, or of the second again and again."""
    sliders = page.evaluate(SLIDERS)
    places: list[tuple[str, float]] = []
    if every:
        for each in sliders:
            for steps in (1, 2, -1, -2, 0):
                value = each["at"] + steps * (each["step"] or (each["high"] - each["low"]) / 50)
                places.append((each["label"], min(each["high"], max(each["low"], value))))
    else:
        one = sliders[1]
        places = [(one["label"], one["at"] + 10 * (1 + n % 20)) for n in range(rounds)]
    took = []
    for label, value in places:
        answer = page.evaluate(MOVE, [label, value])
        if answer is not None:
            took.append(answer)
        page.wait_for_timeout(30)
    return took[2:]


def told(name: str, took: list[list[float]]) -> None:
    """One row of the table."""
    columns = zip(*took, strict=True)
    row = " ".join(
        f"{statistics.median(times):8.1f} {statistics.quantiles(times, n=20)[-1]:8.1f}" for times in columns
    )
    print(f"{name:14} {len(took):6} {row}", flush=True)


def weight() -> None:
    """What the page weighs, plain and packed as a web server would send it."""
    folder = pathlib.Path(front.__file__).parent / "worktable" / "page"
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            print(
                f"{path.name:14} {len(data) / 1e3:7.1f} kB, {len(gzip.compress(data)) / 1e3:6.1f} kB packed"
            )


def main() -> int:
    """Measure and print; the exit code is 1 where the examples take too long, 2 without a browser."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=60)
    rounds = parser.parse_args().rounds
    if CHROMIUM is None:
        print("There is no Chromium on the path: install it, or set LAMINATURE_CHROMIUM.")
        return 2
    frames: list[float] = []
    with tempfile.TemporaryDirectory() as works, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        print(
            "                moves       to the scene      to the frame     to its pixels (ms: median, 95th)"
        )
        begin = time.perf_counter()
        with served(works) as (port, token, _):
            for number, example in enumerate(front.examples()):
                page = browser.new_page(viewport={"width": 1366, "height": 850})
                page.add_init_script(WATCH)
                page.goto(f"http://127.0.0.1:{port}/#token={token}")
                page.get_by_role("button", name=example.title).last.click()
                page.wait_for_function("() => noted.drawn > 0", timeout=120_000)
                if number == 0:
                    first = time.perf_counter() - begin
                ready(page)
                took = moved(page, rounds, every=True)
                told(example.name, took)
                frames += [frame for _, frame, _ in took]
                page.close()
            for parts in SIZES:
                path = pathlib.Path(works) / f"crates-{parts}.toml"
                path.write_bytes(crate(parts))
                page = browser.new_page(viewport={"width": 1366, "height": 850})
                page.add_init_script(WATCH)
                page.goto(f"http://127.0.0.1:{port}/#token={token}")
                with page.expect_file_chooser() as choosing:
                    page.get_by_text("Choose a design file").first.click()
                choosing.value.set_files(path)
                ready(page)
                told(f"{parts} parts", moved(page, rounds, every=False))
                page.close()
        print(f"from the command to the first piece seen: {first:.2f} s")
        browser.close()
    weight()
    median, slow = statistics.median(frames), statistics.quantiles(frames, n=20)[-1]
    print(f"all examples: {median:.1f} ms in the median, 95th {slow:.1f}")
    if median > LIMIT:
        print(f"the examples take longer than {LIMIT:g} ms")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
