"""What is typed into a question, however fast the keys come."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from screen_world import SAMPLES, world

from benchplan.screens.dialogs import Fields


@pytest.fixture
def first_tray(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    return Path(shutil.copy(SAMPLES / "first_tray.toml", tmp_path))


async def test_keys_that_come_all_at_once_are_taken_in_their_order(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("enter")
        await there.until(lambda: isinstance(there.app.screen, Fields), "asked")
        await there.quiet()
        for key in ("backspace", "1", "2", "x", "backspace", "tab", "4"):
            there.app.simulate_key(key)
        await there.quiet()
        await there.press("enter")
        await there.until(lambda: there.session.changed, "changed")
        await there.planned()
        assert there.session.day is not None
        (order,) = there.session.day.orders
        assert (order.tins, order.filled) == (12, 4)
