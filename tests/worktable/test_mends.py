"""The button at a finding: it mends it, and one step back brings the very bytes of the file again."""

import pytest

from ..spoilt import SPOILT

NAMES = ["blind-too-shallow", "locked-together", "pins-turnable", "part-not-attached", "bead-off-scale"]


def mended(page):
    """Findings once their mends have been tried: they come a second time."""
    revision = page.hear("findings")["revision"]
    return page.hear("findings", where=lambda h: h["revision"] >= revision, seconds=30)


@pytest.mark.parametrize("name", NAMES)
def test_a_mend_is_one_step_that_can_be_taken_back(page, name):
    page.open("drop", name="design.toml", text=SPOILT[name].decode())
    before = page.text()
    told = mended(page)["findings"]
    found = next(f for f in told if f["code"] == name and f["mend"])
    page.seq += 1
    page.say("set", seq=page.seq, label=found["mend"]["label"], changes=found["mend"]["changes"])
    page.hear("scene", where=lambda h: h["seq"] == page.seq)
    assert page.hear("state")["undo"] == found["mend"]["label"]
    left = page.hear("findings")["findings"]
    same = [
        f for f in left if (f["code"], f["part"], f["message"]) == (name, found["part"], found["message"])
    ]
    assert not same
    stops = {(f["code"], f["part"]) for f in told if f["grade"] == "stop"}
    assert {(f["code"], f["part"]) for f in left if f["grade"] == "stop"} <= stops
    page.say("undo")
    page.hear("state")
    assert page.text() == before
