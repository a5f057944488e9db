"""``python -m laminature`` is the ``laminature`` command."""

from laminature.cli.main import run

if __name__ == "__main__":
    run()
