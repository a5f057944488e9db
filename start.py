"""Set Laminature up and run it: ``python3 start.py`` (``py start.py`` on Windows).

With no arguments this makes the demo kits of all the designs in ``examples/``, says
which files to open, and opens the work table in the browser (where there is none, or no
terminal, it ends instead). ``test`` runs the tests; anything else is handed to the
``laminature`` command. On the first run a folder ``.venv`` is made beside this file and
everything needed is installed there; nothing outside the project is touched.

Only the standard library is used, and the syntax is kept old enough for an old
Python 3 to read this file and say what it lacks.
"""

import hashlib
import importlib.util
import json
import os
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "laminature-installed.json"
LOG = VENV / "laminature-install.log"
LEAST = (3, 11)

#: Words in an installer's output that mean it could not reach the package index.
OFFLINE = ("NewConnectionError", "name resolution", "getaddrinfo", "ConnectTimeout", "Network is unreachable")


class Trouble(Exception):
    """Something the user can put right; the message says how."""


def say(text: str) -> None:
    """Print a line at once, whatever the console's encoding can or cannot show."""
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    print(text.encode(encoding, "replace").decode(encoding), flush=True)


def check_python() -> None:
    """Refuse a Python that is too old or lacks the parts that make virtual environments."""
    if sys.version_info < LEAST:
        wanted = ".".join(str(n) for n in LEAST)
        have = ".".join(str(n) for n in sys.version_info[:3])
        raise Trouble(
            f"Laminature needs Python {wanted} or newer; this is Python {have}. "
            "Install a newer one from python.org or your system's packages and run this again with it."
        )
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise Trouble(
                f"This Python lacks the module '{module}'. "
                "On Debian and Ubuntu install it with: sudo apt install python3-venv"
            )


def venv_python() -> pathlib.Path:
    """The Python inside ``.venv``."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def works(python: pathlib.Path) -> bool:
    """Whether this Python starts, is new enough and has pip."""
    probe = f"import sys, pip; sys.exit(sys.version_info < {LEAST!r})"
    try:
        done = subprocess.run([str(python), "-c", probe], capture_output=True, check=False)
    except OSError:
        return False
    return done.returncode == 0


def make_venv() -> None:
    """Make ``.venv``, anew where a former one is broken; never clear a folder that is none."""
    if works(venv_python()):
        return
    if VENV.exists() and any(VENV.iterdir()) and not (VENV / "pyvenv.cfg").exists():
        raise Trouble(
            f"{VENV} is in the way and is no virtual environment. Move it elsewhere, then run this again."
        )
    say("Making .venv ...")
    done = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    if done.returncode != 0:
        raise Trouble(
            "The virtual environment could not be made. What Python said:\n"
            + done.stdout.decode(errors="replace").strip()
        )


def requirements(group: str) -> "list[str]":
    """What a dependency group of ``pyproject.toml`` lists (older pips do not know groups)."""
    import tomllib

    with (ROOT / "pyproject.toml").open("rb") as file:
        return list(tomllib.load(file)["dependency-groups"][group])


def install(groups: "tuple[str, ...]") -> None:
    """Install the project and these groups, unless that was done for this very ``pyproject.toml``."""
    digest = hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + str(ROOT).encode()).hexdigest()
    try:
        done = json.loads(STAMP.read_text("utf-8"))
    except (OSError, ValueError):
        done = {}
    have = done.get("groups", []) if done.get("digest") == digest else None
    if have is not None and set(groups) <= set(have):
        return
    wanted = sorted(set(groups) | set(have or ()))
    say("Installing what Laminature needs (only this time; it may take a few minutes) ...")
    command = [str(venv_python()), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    command += ["--editable", str(ROOT)]
    for group in wanted:
        command += requirements(group)
    with LOG.open("wb") as log:
        code = subprocess.call(command, stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT)
    if code != 0:
        lines = LOG.read_text("utf-8", errors="replace").strip().splitlines()
        reason = "\n".join(lines[-12:])
        if any(word in line for word in OFFLINE for line in lines):
            raise Trouble(
                "The package index could not be reached. The first run needs the internet once; "
                f"connect and run this again.\nWhat the installer said last:\n{reason}"
            )
        raise Trouble(f"Installing failed (all of it is in {LOG}). What the installer said last:\n{reason}")
    STAMP.write_text(json.dumps({"digest": digest, "groups": wanted}), "utf-8")


def run(arguments: "list[str]") -> int:
    """Run a module with the Python of ``.venv`` and give its exit code."""
    sys.stdout.flush()
    child = subprocess.Popen([str(venv_python()), "-m", *arguments])
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:
            # The child gets the same Ctrl-C and says so itself; wait for it to end.
            continue


def demo() -> int:
    """Make the demo kits of all examples, say what to open, and give the worst exit code."""
    designs = sorted((ROOT / "examples").glob("*.toml"))
    made = []
    worst = 0
    for design in designs:
        kit = ROOT / "kits" / design.stem
        say(f"\n{design.relative_to(ROOT)} -> {kit.relative_to(ROOT)}")
        code = run(["laminature", "kit", str(design), "-o", str(kit), "--no-offcuts"])
        worst = max(worst, code)
        if code == 0:
            made.append(kit)
    say(f"\nMade {len(made)} of {len(designs)} kits.")
    if made:
        say("Open first, in each folder: README.txt, then sheets/sheets.pdf (or the sheets as SVG or DXF).")
    for kit in made:
        say(f"  {kit}")
    return worst


def main(arguments: "list[str]") -> int:
    """Set everything up, then do what was asked."""
    try:
        check_python()
        testing = arguments[:1] == ["test"]
        make_venv()
        install(("test",) if testing else ())
        if testing:
            os.chdir(str(ROOT))
            # All cores; a slow test is no reason for the others to wait.
            return run(["pytest", "-n", "auto", "--dist", "worksteal", *arguments[1:]])
        if arguments:
            return run(["laminature", *arguments])
        worst = demo()
        say("")
        return run(["laminature", "open"]) or worst
    except Trouble as trouble:
        say(str(trouble))
        return 2
    except OSError as error:
        say(f"The system refused: {error}. Check that {ROOT} can be written and that the disk is not full.")
        return 2
    except KeyboardInterrupt:
        say("Stopped.")
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
