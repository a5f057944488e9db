"""What the command line says: findings, errors, and signs that a console lacks."""

import errno
import io
import json

import pytest
import typer
from rich.console import Console

from laminature.cli import findings
from laminature.cli.console import prepare_streams
from laminature.cli.guard import ExitCode, guarded
from laminature.errors import (
    Cancelled,
    DesignError,
    DesignErrors,
    FormError,
    GeometryError,
    Place,
    StoreError,
    WriterError,
)
from laminature.model.finding import Finding

NOTE = Finding("thickness-off", "note", "The top is 0.12 mm thicker than asked.", part="top")
STOP = Finding(
    "web-too-thin",
    "stop",
    "The web between two slots is 0.8 mm; knives need 1.5 mm.",
    "Use fewer tabs.",
    part="leg-2",
    layer=3,
    point=(1.0, -2.25, -0.01),
)


def printed(found, width=80):
    stream = io.StringIO()
    findings.show(Console(file=stream, width=width, highlight=False, markup=False), found)
    return stream.getvalue()


def test_findings_say_grade_first_in_words_then_place_and_remedy():
    lines = [line.rstrip() for line in printed([NOTE, STOP]).splitlines()]
    assert lines[0] == "STOP  The web between two slots is 0.8 mm; knives need 1.5 mm."
    assert lines[1].strip() == "Where: part leg-2, layer 3, at x 1.0, y -2.2, z 0.0 mm"
    assert lines[2].strip() == "What to do: Use fewer tabs."
    assert lines[4] == "note  The top is 0.12 mm thicker than asked."
    assert lines[-1] == "Findings: 1 STOP, 1 note."


def test_no_findings_is_said():
    assert printed([]).strip() == "Nothing was found."


def test_names_with_brackets_are_printed_as_they_are():
    assert "part [bold]x[/bold]" in printed([Finding("a", "note", "m", part="[bold]x[/bold]")])


def test_json_has_every_field_and_the_gravest_first():
    assert json.loads(findings.as_json([NOTE, STOP])) == [
        {
            "code": "web-too-thin",
            "grade": "stop",
            "message": STOP.message,
            "remedy": "Use fewer tabs.",
            "part": "leg-2",
            "layer": 3,
            "point": [1.0, -2.25, -0.01],
        },
        {
            "code": "thickness-off",
            "grade": "note",
            "message": NOTE.message,
            "remedy": "",
            "part": "top",
            "layer": None,
            "point": None,
        },
    ]
    assert findings.as_json([]) == "[]"


def outcome(error):
    @guarded
    def command():
        raise error

    with pytest.raises(typer.Exit) as caught:
        command()
    return caught.value.exit_code


PLACE = Place("table.toml", 7, "board.caliper")


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (
            DesignError("is no length.", PLACE, "Write 0.5 mm."),
            2,
            "table.toml:7: board.caliper: is no length.",
        ),
        (StoreError("x.toml cannot be read."), 2, "x.toml cannot be read."),
        (
            FormError("The legs are too thick.", "legs", "Take fewer."),
            1,
            "The legs are too thick. Take fewer.",
        ),
        (GeometryError("The outline crosses itself."), 1, "crosses itself"),
        (WriterError("Too long for this format."), 1, "Too long"),
        (Cancelled(), 130, "Stopped"),
        (KeyboardInterrupt(), 130, "Stopped"),
        (OSError(errno.ENOSPC, "No space left", "a.svg"), 2, "a.svg: the disk is full"),
        (ZeroDivisionError("division"), 3, "Please report it"),
        (RecursionError("deep"), 3, "Please report it"),
        (MemoryError(), 1, "memory"),
    ],
)
def test_every_error_becomes_a_message_and_an_exit_code(error, code, words, capsys):
    assert outcome(error) == code
    said = capsys.readouterr().err
    assert words in said
    assert "Traceback" not in said


def test_all_errors_of_a_file_are_told_at_once(capsys):
    errors = DesignErrors([DesignError("first", PLACE), DesignError("second", Place("table.toml", 9))])
    assert outcome(errors) == ExitCode.CANNOT_READ
    assert capsys.readouterr().err.splitlines() == [
        "table.toml:7: board.caliper: first",
        "table.toml:9: second",
    ]


def test_the_trace_is_shown_where_it_is_asked_for(capsys, monkeypatch):
    monkeypatch.setenv("LAMINATURE_DEBUG", "1")
    assert outcome(ZeroDivisionError("division")) == ExitCode.OUR_FAULT
    assert "Traceback" in capsys.readouterr().err


def test_signs_a_console_lacks_become_plain_ones(monkeypatch):
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="ascii"))
    prepare_streams()
    print("4 × 2.3 mm, −15°, ½ → \U0001f4a1 \ud800", flush=True)
    assert raw.getvalue().decode() == "4 x 2.3 mm, -15 deg, 1/2 -> ? ?\n"
