"""Jobs beside the screens: what was called off says nothing."""

from __future__ import annotations

import pytest

from benchplan.model.stop import Stopped
from benchplan.screens import jobs
from benchplan.screens.messages import Finished


class App:
    """Runs a job at once and keeps what is posted."""

    def __init__(self) -> None:
        self.posted: list[object] = []

    def run_worker(self, work, **_: object) -> None:
        work()

    def post_message(self, message: object) -> None:
        self.posted.append(message)


class Worker:
    name, is_cancelled = "replan", False


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> App:
    monkeypatch.setattr(jobs, "get_current_worker", Worker)
    return App()


def test_a_job_that_was_called_off_posts_nothing(app: App) -> None:
    def called_off(_: object) -> None:
        raise Stopped

    started = jobs.Jobs(app)  # type: ignore[arg-type]
    started.start("replan", called_off, lambda _: None)
    assert app.posted == []
    started.start("replan", lambda _: 1, lambda _: None)
    (message,) = app.posted
    assert isinstance(message, Finished)
