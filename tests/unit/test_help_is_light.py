"""``--help`` and ``import laminature`` are there at once: they import nothing heavy."""

import subprocess
import sys

import pytest

HEAVY = {"numpy", "scipy", "shapely", "manifold3d", "ezdxf", "trimesh", "tomlkit"}
PROBE = """
import atexit, sys
atexit.register(lambda: sys.stderr.write("MODULES " + " ".join(sys.modules)))
{}
"""
COMMAND = "sys.argv = ['laminature', *{!r}]; from laminature.cli.main import run; run()"


def modules_after(code):
    done = subprocess.run(
        [sys.executable, "-c", PROBE.format(code)], capture_output=True, text=True, check=False
    )
    assert "MODULES " in done.stderr, done.stderr
    return done, set(done.stderr.partition("MODULES ")[2].split())


@pytest.mark.parametrize("arguments", [["--help"], [], ["kit", "--help"], ["no-such-command"]])
def test_help_imports_nothing_heavy(arguments):
    done, modules = modules_after(COMMAND.format(arguments))
    assert "Usage" in done.stdout + done.stderr
    assert modules & HEAVY == set()
    assert "laminature.pipeline" not in modules


def test_importing_the_package_imports_nothing_heavy():
    _, modules = modules_after("import laminature; assert 'build' in laminature.__all__")
    assert modules & HEAVY == set()
    assert "laminature.front" not in modules
