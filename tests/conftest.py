"""What all tests share: Hypothesis profiles, and a config folder that is not the developer's own.

HYPOTHESIS_PROFILE chooses: ``dev`` (the default), or ``ci``, which is derandomised. A test that wants
more cases in CI than the others is decorated with ``@settings(settings.get_profile("many"))``: 100
under ``dev``, 2,000 under ``ci``.
"""

import os

import pytest
from hypothesis import HealthCheck, settings

#: Sizes that a form refuses are drawn again: an unlucky run refuses many.
_SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
_COMMON = {"deadline": None, "suppress_health_check": _SLOW}
settings.register_profile("dev", max_examples=100, **_COMMON)
settings.register_profile("ci", max_examples=200, derandomize=True, print_blob=True, **_COMMON)

_CHOSEN = os.environ.get("HYPOTHESIS_PROFILE", "dev")
settings.register_profile(
    "many", settings.get_profile(_CHOSEN), max_examples=2000 if _CHOSEN == "ci" else 100
)
settings.load_profile(_CHOSEN)


@pytest.fixture(autouse=True)
def _own_config(tmp_path_factory, monkeypatch):
    """Keep a developer's own boards and works out of the tests."""
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path_factory.getbasetemp() / "no-config"))
    monkeypatch.setenv("LAMINATURE_WORK", str(tmp_path_factory.getbasetemp() / "no-works"))
