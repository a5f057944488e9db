"""What all tests share: Hypothesis profiles, and a config folder that is not the developer's own."""

import os

import pytest
from hypothesis import HealthCheck, settings

_COMMON = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large]}
settings.register_profile("default", max_examples=40, **_COMMON)
settings.register_profile("ci", max_examples=150, derandomize=True, print_blob=True, **_COMMON)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))


@pytest.fixture(autouse=True)
def _own_config(tmp_path_factory, monkeypatch):
    """Keep a developer's own boards out of the tests."""
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path_factory.getbasetemp() / "no-config"))
