"""No test of any room fails for a slow machine alone."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings

from benchplan import planner
from benchplan.model.stop import Iterations

# The suite's examples are the same on every machine; tests/bench/hunt_bench.py looks for others.
settings.register_profile(
    "bench",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=True,
    database=None,
)
settings.register_profile("hunt", settings.get_profile("bench"), derandomize=False)
settings.load_profile("bench")


@pytest.fixture(autouse=True)
def _short_searches(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let verbs and screens search a moment only: rooms and planner have their own tests.

    The sample days, and the facts that the search is held to, are planned by the usual looks.
    """
    if request.path.stem not in ("test_house_samples", "test_flow_facts"):
        monkeypatch.setattr(planner, "default_stop", planner.quick_stop)
    monkeypatch.setattr("benchplan.packing.usual_stop", lambda _: Iterations(1))
    monkeypatch.setattr("benchplan.one_more.quick_stop", lambda _: Iterations(1))
    monkeypatch.setattr("benchplan.in_time.quick_stop", lambda _: Iterations(1))


@pytest.fixture(autouse=True)
def _own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing that a test starts writes into the person's own book."""
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path_factory.mktemp("home")))
