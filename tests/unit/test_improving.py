"""Searches by time: never worse, exactly checked, cancelled without a trace."""

import json
import subprocess
import sys
from dataclasses import replace

import pytest

from laminature.errors import Cancelled
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.nearness import too_close
from laminature.geometry.region import disc
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.sheets import squeezing
from laminature.sheets.check import faults, placed
from laminature.sheets.nesting import lay_out
from laminature.sheets.shapes import Place, Shape
from laminature.sheets.squeezing import Squeeze, bundles_of

BOARDS = {"card": Board("card", "white card", 0.5, 120.0, 100.0, grain="x")}
QUARTERS = ((0.0, 90.0, 180.0, 270.0),)
ANYHOW = {"x": QUARTERS, "y": QUARTERS, "none": QUARTERS}
HOOK = flat([(0, 0), (34, 0), (34, 8), (8, 8), (8, 27), (0, 27)])
FRAME = flat([(0, 0), (40, 0), (40, 40), (0, 40)], [[(6, 6), (34, 6), (34, 34), (6, 34)]])


def layer(part, shape, **changes):
    return replace(Layer(part, part.upper(), 1, "card", 0.0, 0.5, (shape,), (shape,), "free"), **changes)


def kit():
    made = [layer(f"hook{k}", HOOK) for k in range(14)] + [layer(f"frame{k}", FRAME) for k in range(3)]
    return made + [layer(f"disc{k}", disc(9.0 + k).flat) for k in range(4)]


def score(sheets, layers):
    by_part = {x.part: x for x in layers}
    return len(sheets) - 1 + max(placed(by_part[p.part], p).bounds[3] for p in sheets[-1].placements) / 100.0


@pytest.fixture
def started(monkeypatch):
    """Every process that is started for squeezing."""
    found = []

    class Watched(subprocess.Popen):
        def __init__(self, *args, **named):
            super().__init__(*args, **named)
            found.append(self)

    monkeypatch.setattr(squeezing.subprocess, "Popen", Watched)
    return found


def test_a_search_is_never_worse_than_the_layout_made_unasked_and_leaves_no_process(started):
    layers = kit()
    plain, _ = lay_out(layers, BOARDS, 1.5, 3.0)
    told = []
    better, findings = lay_out(
        layers, BOARDS, 1.5, 3.0, lambda share, words: told.append((share, words)), seconds=3.0
    )
    assert not findings
    assert score(better, layers) <= score(plain, layers)
    assert started
    assert all(process.poll() is not None for process in started)
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert any("sheets" in words for _, words in told[:-1])


def test_a_search_that_is_cancelled_while_squeezing_leaves_no_process(started):
    def stop(share, words):
        if started:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        lay_out(kit(), BOARDS, 1.5, 3.0, stop, seconds=5.0)
    assert started
    assert all(process.poll() is not None for process in started)


def test_a_squeezer_that_cannot_start_changes_nothing(monkeypatch):
    monkeypatch.setattr(sys, "path", ["/nowhere"])
    layers = kit()[:6]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 3.0, seconds=1.5)
    assert not findings
    assert sum(len(s.placements) for s in sheets) == 6


def test_a_computer_that_starts_no_process_changes_nothing(monkeypatch):
    def refuse(*arguments, **named):
        raise OSError("no more processes")

    monkeypatch.setattr(squeezing.subprocess, "Popen", refuse)
    layers = kit()[:6]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 3.0, seconds=1.5)
    assert not findings
    assert sum(len(s.placements) for s in sheets) == 6


def test_a_squeezer_that_lies_is_found_out(monkeypatch):
    def heap(self, sheet):
        return iter([[Place(p.shape, sheet, 0.0, 0.0, p.turn) for b in self.bundles for p in b.members]])

    monkeypatch.setattr(squeezing.Squeeze, "proposals", heap)
    layers = kit()
    sheets, findings = lay_out(layers, BOARDS, 1.5, 3.0, seconds=2.0)
    assert not findings
    assert not faults(sheets, layers, BOARDS, 1.5, 3.0)


def test_searches_keep_offcuts_and_grain_in_mind():
    layers = [replace(x, grain="along") for x in kit()]
    offcuts = [Offcut("O", "card", flat([(0, 0), (60, 0), (20, 60)]), "y")]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 3.0, offcuts=offcuts, seconds=2.0)
    assert not findings
    assert [s.offcut for s in sheets if s.offcut] == ["O"]


def test_an_earlier_layout_is_taken_as_it_is_where_it_is_better():
    layers = kit()
    plain, _ = lay_out(layers, BOARDS, 1.5, 3.0)
    better, _ = lay_out(layers, BOARDS, 1.5, 3.0, seconds=3.0)
    again, findings = lay_out(layers, BOARDS, 1.5, 3.0, start=better)
    assert not findings
    assert again == (better if score(better, layers) < score(plain, layers) else plain)
    onwards, _ = lay_out(layers, BOARDS, 1.5, 3.0, start=better, seconds=1.5)
    assert score(onwards, layers) <= score(better, layers)


def test_an_earlier_layout_that_does_not_serve_any_more_is_left_alone():
    layers = kit()
    plain, _ = lay_out(layers, BOARDS, 1.5, 3.0)
    spoilt = [replace(s, placements=s.placements[1:]) for s in plain]
    assert lay_out(layers, BOARDS, 1.5, 3.0, start=spoilt) == (plain, ())


# Squeezing itself.


def test_what_lies_in_an_opening_moves_with_its_host():
    shapes = [
        Shape("frame", FRAME, ANYHOW),
        Shape("disc", disc(9.0).flat, ANYHOW),
        Shape("hook", HOOK, ANYHOW),
    ]
    places = [Place(0, 0, 0.0, 0.0, 0.0), Place(1, 0, 20.0, 20.0, 0.0), Place(2, 0, 50.0, 0.0, 0.0)]
    ways = {0: (0.0, 180.0), 1: (0.0, 90.0, 180.0, 270.0), 2: (0.0, 90.0)}
    frame, hook = bundles_of(shapes, places, ways)
    assert [p.shape for p in frame.members] == [0, 1]
    assert frame.turns == (0.0, 180.0)
    assert not frame.outline.interiors
    assert hook.turns == (0.0, 90.0)


def test_squeezed_shapes_keep_their_distance_and_stay_in_the_room():
    shapes = [Shape(f"s{k}", s, ANYHOW) for k, s in enumerate([HOOK, HOOK, FRAME, disc(9.0).flat])]
    places = [Place(k, 0, 100.0 * k, 0.0, 0.0) for k in range(3)] + [Place(3, 0, 220.0, 20.0, 0.0)]
    bundles = bundles_of(shapes, places, dict.fromkeys(range(4), QUARTERS[0]))
    squeeze = Squeeze(bundles, 60.0, 200.0, 2.0, 2.0, 1)
    try:
        assert squeeze._ended.wait(20.0)
        found = next(squeeze.proposals(4))
    finally:
        squeeze.end()
    assert {p.sheet for p in found} == {4}
    lying = {p.shape: shapes[p.shape].lying(p) for p in found}
    assert len(lying) == 4
    assert lying[3].within(rectangle(*lying[2].bounds))
    for n, one in lying.items():
        assert min(one.bounds[:2]) >= -1e-7
        assert one.bounds[2] <= 60.0 + 1e-7
        assert all(one.distance(two) >= 2.0 - 1e-7 for k, two in lying.items() if k != n)


def test_equal_shapes_keep_their_turns_however_they_lie():
    shapes = [Shape(f"s{k}", HOOK, ANYHOW) for k in range(5)]
    places = [Place(k, 0, 70.0 * k, 40.0, turn) for k, turn in enumerate([0.0, 180.0, 90.0, 270.0, 0.0])]
    ways = dict.fromkeys(range(4), (0.0, 180.0)) | {2: (90.0, 270.0), 3: (90.0, 270.0), 4: (0.0,)}
    squeeze = Squeeze(bundles_of(shapes, places, ways), 75.0, 300.0, 1.0, 1.5, 3)
    try:
        assert squeeze._ended.wait(20.0)
        found = next(squeeze.proposals(0))
    finally:
        squeeze.end()
    assert sorted(p.shape for p in found) == [0, 1, 2, 3, 4]
    assert all(p.turn in ways[p.shape] for p in found)
    lying = [shapes[p.shape].lying(p) for p in found]
    assert not too_close(lying, 1.0)
    assert all(f.bounds[0] >= -1e-7 and f.bounds[2] <= 75.0 + 1e-7 for f in lying)


def test_a_squeezer_that_panics_has_no_answer():
    wide = bundles_of(
        [Shape("w", rectangle(0, 0, 90, 90), ANYHOW)], [Place(0, 0, 0.0, 0.0, 0.0)], {0: (0.0,)}
    )
    squeeze = Squeeze(wide, 60.0, 200.0, 1.0, 2.0, 1)
    try:
        assert squeeze._ended.wait(20.0)
        assert not list(squeeze.proposals(0))
    finally:
        squeeze.end()


def test_the_squeezer_ends_when_nobody_listens_any_more():
    code = "from laminature.sheets.squeezer import main; main()"
    job = {"height": 50.0, "length": 0.0, "spacing": 0.1, "seconds": 60, "seed": 1, "workers": 1}
    job["items"] = [([(0, 0), (9, 0), (0, 7 + k)], [0.0, 90.0]) for k in range(8)]
    process = subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    process.stdin.write(json.dumps(job).encode() + b"\n")
    process.stdin.flush()
    assert process.stdout.readline()
    process.stdin.close()
    try:
        assert process.wait(10.0) is not None
    finally:
        process.kill()
        process.stdout.close()
