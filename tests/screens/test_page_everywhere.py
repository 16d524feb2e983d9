"""Every page draws without colour, on the Linux console and in odd windows."""

from __future__ import annotations

from pathlib import Path

import pytest
from page_app import LARGE, SMALL, opened

NAMES = ("orders", "fit", "flow", "jars", "book")


@pytest.fixture(autouse=True)
def _own_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))


@pytest.mark.parametrize("name", NAMES)
async def test_no_color_and_the_console_draw_every_page(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("TERM", "linux")
    async with opened(name) as it:
        await it.press("down", "right", "tab")
        assert it.app.export_screenshot()  # renders every line
        assert it.app.is_running


@pytest.mark.parametrize("name", NAMES)
async def test_a_window_may_be_dragged_to_any_size(name: str) -> None:
    async with opened(name) as it:
        for size in ((80, 24), (1, 1), (200, 60), (80, 3), (20, 50), LARGE, SMALL):
            await it.pilot.resize_terminal(*size)
            await it.pilot.pause()
        assert it.app.is_running
        assert it.text


@pytest.mark.parametrize("name", NAMES)
async def test_a_page_is_not_made_again_when_nothing_changed(name: str) -> None:
    async with opened(name) as it:
        await it.pilot.pause()
        screen = it.app.screen
        made = []
        rows = screen.rows  # type: ignore[attr-defined]
        screen.rows = lambda *args: made.append(1) or rows(*args)  # type: ignore[attr-defined]
        for _ in range(5):
            it.app.tick()
        assert made == []


@pytest.mark.parametrize("name", NAMES)
async def test_without_a_day_a_page_says_so(name: str) -> None:
    from benchplan.clock import RealClock
    from benchplan.screens.app import BenchApp
    from benchplan.screens.page import Page

    app = BenchApp(None, clock=RealClock(), ticking=False)
    async with app.run_test(size=SMALL) as pilot:
        app._path = Path("day.toml")  # as if started with it, before the file is read
        app.action_go(name)
        await pilot.pause()
        await pilot.press("up", "down", "left", "right", "plus", "tab", "j", "p", "w")
        await pilot.pause()
        assert app.screen.query_one(Page).rows
