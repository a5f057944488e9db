"""HP-GL and G-code, read back by a reader that knows only what the words are published to mean."""

import dataclasses

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from laminature.drawings.sheets import sheet_drawing
from laminature.errors import WriterError
from laminature.geometry.path import Arc, Cubic, Line, Path, circle, polyline
from laminature.model.cutting import KNIFE, LASER
from laminature.model.drawing import Drawing, Stroke
from laminature.sheets.cutting import driven, prepared
from laminature.writers.gcode import gcode
from laminature.writers.hpgl import hpgl

from ..drawn_by_hand import BOARD, BOARDS, LAYERS, SHEET, WORDS
from ..planned import EXAMPLES, built
from . import machine_words

#: Half the diagonal of HP-GL's unit of 0.025 mm, and what flattening takes.
HPGL_STEP = 0.0125 * 2**0.5 + 0.002
CUTS = ("opening", "outline")


def curve(path):
    points = path.flatten(1e-5).tolist()
    return shapely.linestrings([*points, points[0]] if path.closed else points)


def run_of(track):
    return shapely.linestrings(track.points)


def apart(a, b):
    return shapely.hausdorff_distance(a, b, densify=0.02)


WAVE = Path(
    (
        Line((10.0, 10.0), (30.0, 10.0)),
        Arc((30.0, 10.0), (30.0, 20.0), (30.0, 15.0)),
        Cubic((30.0, 20.0), (25.0, 30.0), (15.0, 12.0), (10.0, 20.0)),
        Arc((10.0, 20.0), (10.0, 10.0), (10.0, 15.0), ccw=False),
    )
)
DRAWN = Drawing(
    "sheet-1",
    100.0,
    60.0,
    (
        Stroke("marking", polyline([(40, 40), (44, 40), (44, 44)], closed=False), "A1-label-1", "a", 1),
        Stroke("score", polyline([(12, 12), (28, 12)], closed=False), "A1-score", "a", 1),
        Stroke("opening", circle(2.0, (20.0, 14.0)), "A1-1", "a", 1),
        Stroke("outline", WAVE, "A1", "a", 1),
        Stroke("notes", polyline([(0, 0), (20, 0), (20, 20), (0, 20)]), "measuring-square"),
    ),
    title="sheet-1 · a card (for trying)",
)
WORK = DRAWN.strokes[:-1]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_machine_takes_every_arc_of_the_examples(name):
    """The reader refuses an arc whose ends are not equally far from its centre, as controllers do."""
    build = built(name)
    for drawn, sheet in zip(build.driven, build.sheets, strict=True):
        data = gcode(drawn, "laser", LASER, build.boards[sheet.board], WORDS)
        assert machine_words.gcode(data).tracks


def test_hpgl_draws_every_stroke_but_notes_within_half_its_unit_each_operation_with_its_pen():
    run = machine_words.hpgl(hpgl(DRAWN, LASER))
    assert [t.pen for t in run.tracks] == [1, 2, 3, 4]
    for track, stroke in zip(run.tracks, WORK, strict=True):
        assert apart(run_of(track), curve(stroke.path)) <= HPGL_STEP


def test_hpgl_goes_over_cuts_as_often_as_there_are_passes_and_over_marks_once():
    run = machine_words.hpgl(hpgl(DRAWN, KNIFE, passes=3))
    for track, stroke in zip(run.tracks, WORK, strict=True):
        times = run_of(track).length / curve(stroke.path).length
        assert times == pytest.approx(3.0 if stroke.operation in CUTS else 1.0, rel=0.01)
        assert apart(run_of(track), curve(stroke.path)) <= HPGL_STEP


def test_hpgl_leaves_out_marks_where_they_are_not_wanted():
    run = machine_words.hpgl(hpgl(DRAWN, dataclasses.replace(KNIFE, marks=False)))
    assert [t.pen for t in run.tracks] == [2, 3, 4]


def test_a_sheet_beyond_what_hpgl_can_say_is_refused():
    large = Drawing("sheet-1", 900, 900, (Stroke("outline", circle(440.0, (450.0, 450.0)), "A1"),))
    with pytest.raises(WriterError, match="beyond 819 mm"):
        hpgl(large, KNIFE)


def test_a_laser_is_lit_once_per_cut_with_the_power_of_its_operation():
    run = machine_words.gcode(gcode(DRAWN, "laser", dataclasses.replace(LASER, passes=2), BOARD, WORDS))
    assert [t.power for t in run.tracks] == [LASER.mark_power] * 2 + [LASER.power] * 2
    assert run.ended and run.pauses == 0
    for track, stroke in zip(run.tracks, WORK, strict=True):
        # Written to 0.0001 mm; chords of the reader and of the cubic stay within 0.002 mm.
        assert apart(run_of(track), curve(stroke.path)) <= 0.0025
        times = run_of(track).length / curve(stroke.path).length
        assert times == pytest.approx(2.0 if stroke.operation in CUTS else 1.0, rel=1e-3)
        assert track.feed == pytest.approx(60.0 * LASER.speed)


def test_a_knife_goes_deeper_with_each_pass_and_through_with_the_last():
    setting = dataclasses.replace(KNIFE, passes=3, below=0.1)
    run = machine_words.gcode(gcode(DRAWN, "knife", setting, BOARD, WORDS))
    outline = [t for t in run.tracks if apart(run_of(t), curve(WAVE)) <= 0.0025] if run.tracks else []
    through = BOARD.caliper + 0.1
    assert [t.depth for t in outline] == pytest.approx([through / 3, 2 * through / 3, through], abs=1e-4)
    marks = run.tracks[0]
    assert marks.depth == 0.0
    # Pen in, then knife in.
    assert run.pauses == 2


def test_the_makers_lines_stand_at_both_ends_with_names_filled_in():
    setting = dataclasses.replace(LASER, header="G4 P1 ({sheet}, {passes} passes {x})", footer="M9\nM30")
    lines = gcode(DRAWN, "laser", setting, BOARD, WORDS).decode("ascii").splitlines()
    assert "G4 P1 (sheet-1, 1 passes {x})" in lines
    assert lines[-2:] == ["M9", "M30"]
    assert "M2" not in lines


def test_the_cautions_stand_at_the_top_as_comments():
    for kind, word in (("laser", "never unattended"), ("knife", "blades are sharp")):
        head = gcode(DRAWN, kind, KNIFE, BOARD, WORDS).decode("ascii").split("G21")[0]
        assert "CAUTION" in head and word in head
        assert all(line.startswith("(") and line.endswith(")") for line in head.splitlines())


def test_a_whole_sheet_comes_out_as_it_was_drawn():
    drawing = sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS)
    made, _ = prepared(drawing, KNIFE, 1.5)
    blade = driven(made, KNIFE, set())
    for run, tolerance in (
        (machine_words.hpgl(hpgl(blade, KNIFE)), HPGL_STEP),
        (
            machine_words.gcode(gcode(blade, "knife", dataclasses.replace(KNIFE, passes=1), BOARD, WORDS)),
            0.0025,
        ),
    ):
        flown = [run_of(t) for t in run.tracks if len(t.points) > 1]
        wanted = [curve(s.path) for s in blade.strokes if s.operation != "notes"]
        assert len(flown) == len(wanted)
        assert max(apart(a, b) for a, b in zip(flown, wanted, strict=True)) <= tolerance


POINT = st.tuples(st.floats(0.0, 100.0), st.floats(0.0, 60.0))


@given(st.lists(POINT, min_size=3, max_size=12, unique_by=lambda p: (round(p[0], 1), round(p[1], 1))))
def test_any_polygon_is_read_back_from_both(points):
    path = polyline(points)
    drawing = Drawing("sheet-1", 100.0, 60.0, (Stroke("outline", path, "A1", "a", 1),))
    (plotted,) = machine_words.hpgl(hpgl(drawing, KNIFE)).tracks
    (burnt,) = machine_words.gcode(gcode(drawing, "laser", LASER, BOARD, WORDS)).tracks
    assert apart(run_of(plotted), curve(path)) <= HPGL_STEP
    assert apart(run_of(burnt), curve(path)) <= 2e-4
