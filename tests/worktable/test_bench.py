"""What takes longer is found out beside the server, for the newest text, and may even crash there."""

import os
import pathlib
import signal
import sys
import time

from laminature import front
from laminature.worktable import bench

sys.path.append(str(pathlib.Path(__file__).parents[2] / "benchmarks"))
from read_to_layers import crate

HEIGHT = ("form", "height")


def test_findings_come_by_themselves_and_belong_to_a_revision(page):
    page.open()
    scene = page.set(HEIGHT, "22 in")
    found = page.hear("findings", where=lambda h: h["revision"] == scene["revision"])
    assert [f["code"] for f in found["findings"]]
    assert {"code", "grade", "message", "remedy", "part", "layer", "point", "place", "mend"} <= set(
        found["findings"][0]
    )
    page.hear("busy", where=lambda h: h["what"] is None)


def test_what_is_wanted_is_found_out_and_a_new_page_gets_it_at_once(server):
    with server.page() as page:
        opened, _ = page.open()
        page.say("want", what=["sheets", "steps", "evenings", "supplies", "cushion"])
        found = {}
        while len(found) < 6:
            result = page.hear("findings", "sheets", "steps", "evenings", "supplies", "cushion")
            found[result["kind"]] = result
        assert all("problem" not in result for result in found.values())
        with server.page() as other:
            other.open("work", work=opened["work"])
            again = [h["kind"] for h in other.quiet(0.3)]
            assert {"findings", "sheets", "steps", "evenings", "supplies", "cushion"} <= set(again)


def test_a_newer_text_takes_the_place_of_an_older_one(page):
    page.open(name="window-seat")
    for inches in range(40, 44):
        page.set(("form", "width"), f"{inches} in")
        time.sleep(0.13)
    scene = page.set(("form", "width"), "45 in")
    page.hear("findings", where=lambda h: h["revision"] == scene["revision"])
    told = [h for h in page.heard if h["kind"] == "findings"]
    assert len({h["revision"] for h in told}) <= 5
    # Each comes at once, and again when mends were tried; never an older one after a newer.
    revisions = [h["revision"] for h in told]
    assert revisions == sorted(revisions)
    assert all(revisions.count(revision) <= 2 for revision in revisions)


def test_a_crash_of_the_bench_is_told_and_it_begins_anew(start):
    server = start()
    with server.page() as page:
        # So many parts that nothing is found out before the kill, however busy the machine is.
        page.open("drop", name="crates.toml", text=crate(400).decode())
        page.hear("busy", where=lambda h: h["what"] is not None)
        before = server.table.bench.process_id
        os.kill(before, signal.SIGKILL if os.name != "nt" else signal.SIGTERM)
        trouble = page.hear("trouble")
        assert "started again" in trouble["remedy"]
        assert server.table.bench.process_id not in (None, before)
        page.say("rewrite", text=crate(20).decode())
        scene = page.hear("scene", where=lambda h: h["revision"] > 1)
        page.hear("findings", where=lambda h: h["revision"] == scene["revision"])


def test_the_bench_ends_with_its_server(start):
    server = start()
    with server.page() as page:
        page.open()
        page.hear("findings")
        process = server.table.bench._side.process
    server.end()
    assert not process.is_alive()


def test_a_design_whose_sheets_cannot_be_laid_out_says_so(page):
    page.open("begin", form="radial-table")
    page.say("want", what=["sheets"])
    assert page.set(("scale",), "1:1")["kind"] == "scene"
    found = page.hear("sheets", where=lambda h: "problem" in h)
    assert found["problem"]["message"]


def test_start_pictures_are_drawn_once_and_kept(start):
    first = start()
    with first.page() as page:
        page.say("start")
        page.hear("start", where=lambda h: all(card["picture"] for card in (*h["forms"], *h["examples"])))
    first.end()
    with start().page() as page:
        page.say("start")
        cards = page.hear("start")
        assert {card["name"] for card in cards["examples"]} == {e.name for e in front.examples()}
        assert all(card["picture"].lstrip().startswith("<") for card in (*cards["forms"], *cards["examples"]))
        assert all(card["about"] for card in cards["examples"])


def test_a_work_has_its_picture_on_the_start_page(start):
    server = start()
    with server.page() as page:
        opened, _ = page.open()
        page.hear("findings")
        until = time.monotonic() + 10
        while not (server.root / opened["work"] / "picture.svg").exists():
            assert time.monotonic() < until
            time.sleep(0.05)
        page.say("start")
        (listed,) = page.hear("start")["works"]
        assert listed["picture"].lstrip().startswith("<")


def test_examples_come_with_the_package_or_the_project():
    names = {p.stem for p in (pathlib.Path(__file__).parents[2] / "examples").glob("*.toml")}
    assert {e.name for e in front.examples()} == names


def test_a_bench_that_cannot_even_start_is_not_started_over_and_over(monkeypatch):
    started = []

    class Dying:
        """A process that is gone before it has said a word."""

        def __init__(self, target, heard, died):
            started.append(died)

        def say(self, *words):
            pass

    monkeypatch.setattr(bench, "Side", Dying)
    crashed = []
    one = bench.Bench(lambda said: None, crashed.append)
    job = bench.Job("work", 1, b"", "design", "", ("findings",))
    one.ask(job)
    started[0]()
    assert (len(started), crashed) == (1, [job])
    one.ask(job)  # the maker has changed something
    assert len(started) == 2


def test_a_large_design_keeps_another_work_waiting_for_one_result_at_most(start):
    """The bench works for all that are open; what nobody looks at any more it leaves off."""
    server = start()
    with server.page() as large, server.page() as small:
        large.open("drop", name="crates.toml", text=crate(200).decode())
        large.say("want", what=["sheets", "steps", "evenings", "supplies"])
        large.hear("busy", where=lambda h: h["what"] is not None)
        small.open()
        small.hear("findings", seconds=60)
        told = {h["kind"] for h in large.quiet(0.1)} | {h["kind"] for h in large.heard}
        assert not {"sheets", "steps", "evenings", "supplies"} <= told
    with server.page() as large:
        large.open("drop", name="crates.toml", text=crate(200).decode())
        large.hear("busy", where=lambda h: h["what"] is not None)
    with server.page() as small:
        small.open(name="tide-chest")
        found = small.hear("findings", seconds=60)
        assert found["findings"]
