"""The ``laminature`` command: each command says in its first line what it does.

Everything heavy is imported inside the commands, so that ``--help`` is there at once.
"""

from __future__ import annotations

import pathlib
import sys
from contextlib import suppress
from typing import Annotated, Optional

import typer

from laminature.cli import lookup
from laminature.cli import offcuts as offcut_commands
from laminature.cli.console import as_typed, out, prepare_streams
from laminature.cli.guard import ExitCode, guarded, say, tell

app = typer.Typer(
    name="laminature",
    help="From the sizes of a full-size piece of furniture to true-size cut files for layers of thin board.",
    no_args_is_help=False,
    add_completion=False,
    pretty_exceptions_enable=False,
    epilog="Ends with 0: done, 1: the design cannot be built, 2: what was given cannot be read or used.",
)

app.add_typer(offcut_commands.app, name="offcuts")

DesignFile = Annotated[pathlib.Path, typer.Argument(metavar="FILE", help="A design file (TOML).")]
Folder = Annotated[
    pathlib.Path,
    typer.Option("--output", "-o", metavar="FOLDER", help="A new or empty folder, or a former kit's."),
]


@app.callback(invoke_without_command=True)
def bare(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and end.")] = False,
) -> None:
    """Print the help where no command is given."""
    if version:
        from importlib import metadata

        try:
            print(metadata.version("laminature"))
        except metadata.PackageNotFoundError:
            print("unknown: this copy runs without having been installed")
    elif context.invoked_subcommand is None:
        print(context.get_help())


@app.command()
@guarded
def new(
    form: Annotated[str, typer.Argument(metavar="FORM", help="A kind of furniture; `forms` lists them.")],
    file: Annotated[pathlib.Path, typer.Argument(metavar="FILE", help="The design file to write.")],
) -> None:
    """Write a design file to start from, with every size of FORM and its default."""
    from laminature import front
    from laminature.store.files import write_whole

    write_whole(file, front.starter(form).encode())
    out().print(f"Wrote {file}. Change what you like in it, then: {as_typed('check', file)}", soft_wrap=True)


@app.command()
@guarded
def check(
    file: DesignFile,
    as_json: Annotated[bool, typer.Option("--json", help="Print the findings as a JSON list.")] = False,
) -> None:
    """Say what is wrong with a design, what needs care, and what is worth knowing."""
    from laminature import front
    from laminature.cli import findings, progress

    with progress.shown("Checking") as update:
        design = front.read(file)
        front.check_pictures(design)
        found = front.build(design, update).findings
    if as_json:
        print(findings.as_json(found))
    else:
        findings.show(out(), found)
    if findings.stops(found):
        raise typer.Exit(ExitCode.CANNOT_BUILD)


@app.command()
@guarded
def kit(
    file: DesignFile,
    folder: Folder,
    as_zip: Annotated[bool, typer.Option("--zip", help="Also write the kit as FOLDER.zip.")] = False,
    only: Annotated[
        Optional[str],  # noqa: UP045 (Typer reads this at run time)
        typer.Option(
            metavar="LAYERS",
            help='A repair: only these layers once more. "B3 C" is one layer B3 and the layers of one '
            'part C; "B3x2" takes it for two alike parts; "leg-2" and "leg-2:3" go by the part\'s name.',
        ),
    ] = None,
    ledger: offcut_commands.LedgerFile = None,
    no_offcuts: Annotated[
        bool, typer.Option("--no-offcuts", help="Leave your offcuts alone: full sheets only.")
    ] = False,
    seconds: Annotated[
        float,
        typer.Option("--seconds", min=0.0, max=86400.0, help="Seek better sheets for about so long."),
    ] = 0.0,
) -> None:
    """Make a kit: cut sheets, parts list, model and notes, ready to take to the cutter."""
    from laminature import front
    from laminature.cli import findings, offcut_tables, progress, tables

    design = front.read(file)
    front.check_places(folder, as_zip=as_zip)
    offcuts = offcut_commands.ledger_for_kit(ledger, fill=not no_offcuts)
    with progress.shown("Making the kit") as update:
        built = front.build(design, update, seconds=seconds, ledger=offcuts, fill=not no_offcuts, only=only)
        found = built.findings
        if not findings.stops(found):
            report = built.write(folder, as_zip=as_zip)
    findings.show(out(), found)
    if findings.stops(found):
        say("The kit was not made: what says STOP has to be mended first. Nothing was written.")
        raise typer.Exit(ExitCode.CANNOT_BUILD)
    tables.show_report(out(), report, folder)
    offcut_tables.show_plan(out(), built.used, built.remainders, folder)


app.command()(offcut_commands.cut)
app.command()(lookup.find)


@app.command("open")
@guarded
def open_table(
    file: Annotated[
        Optional[pathlib.Path],  # noqa: UP045 (Typer reads this at run time)
        typer.Argument(metavar="[FILE]", help="A design file; changes are saved in it."),
    ] = None,
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="The port on this computer; 0 for a free one.")
    ] = 0,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address; serve without a terminal too.")
    ] = False,
) -> None:
    """Open the work table in the browser: see the piece, change sizes, make the kit."""
    from laminature.worktable.serve import serve

    serve(file, lambda text: print(text, flush=True), port=port, browser=not no_browser)


@app.command()
@guarded
def forms(
    form: Annotated[
        Optional[str],  # noqa: UP045 (Typer reads this at run time)
        typer.Argument(metavar="[FORM]", help="Show the sizes of this form."),
    ] = None,
) -> None:
    """List the kinds of furniture, or the sizes of one of them with ranges and defaults."""
    from laminature import front
    from laminature.cli import tables

    if form is None:
        tables.show_forms(out(), front.forms())
    else:
        tables.show_form(out(), front.form(form))


@app.command()
@guarded
def boards() -> None:
    """List the boards that are known, yours among them, with where their values come from."""
    from laminature import front
    from laminature.cli import tables
    from laminature.store.boards import boards_file

    tables.show_boards(out(), front.boards().values(), boards_file())


@app.command()
@guarded
def coupon(
    board: Annotated[str, typer.Argument(metavar="BOARD", help="A board; `boards` lists them.")],
    folder: Folder,
) -> None:
    """Make a test cut that measures what stacks and fits of BOARD really are on your cutter."""
    from laminature import front
    from laminature.cli import tables

    tables.show_report(out(), front.write_coupon(board, folder), folder)


@app.command()
@guarded
def schema() -> None:
    """Print a JSON Schema of the design file, so that editors complete and check it."""
    import json

    from laminature import front

    print(json.dumps(front.schema(), indent=2))


def run() -> None:
    """Run the command line and end the process with its exit code."""
    prepare_streams()
    code = int(ExitCode.DONE)
    try:
        app(prog_name="laminature")
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else int(end.code is not None)
    except (KeyboardInterrupt, Exception) as error:
        code = tell(error)
    try:
        sys.stdout.flush()
    except OSError as error:
        code = tell(error)
    with suppress(OSError):
        sys.stderr.flush()
    sys.exit(code)
