"""No test of any room fails for a slow machine alone."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings

from benchplan.model.stop import Iterations

settings.register_profile("bench", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("bench")


@pytest.fixture(autouse=True)
def _short_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the verbs and screens search for one more tin a moment only; packing's own tests do."""
    monkeypatch.setattr("benchplan.packing.usual_stop", lambda _: Iterations(1))
