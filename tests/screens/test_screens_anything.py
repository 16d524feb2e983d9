"""Whatever keys are pressed in a run, nothing breaks, and what was marked can all be taken back."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from screen_world import SAMPLES, world

from benchplan import live
from benchplan.model import standing
from benchplan.screens.base import DayScreen

KEYS = (
    ["enter"] * 6 + ["space"] * 8 + list("uhdowpe+1234") + ["tab", "y", "3", "escape", "down", "up"]
)
PRESSES = 90


@pytest.mark.parametrize("seed", range(3))
async def test_any_keys_may_be_pressed(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    path = Path(shutil.copy(SAMPLES / "first_tray.toml", tmp_path))
    async with world(path, speed=60.0) as there:
        await there.begin()
        session = there.session
        run, day, base = session.run, session.day, session.base_plan
        assert run is not None
        assert day is not None
        assert base is not None
        for _ in range(PRESSES):
            if session.run is None:  # it was put away
                break
            await there.press(chance.choice(KEYS))
            assert "did not work" not in there.text()
            if chance.random() < 0.4:
                await there.pass_time(chance.choice([5, 60, 240]))
        while not isinstance(there.app.screen, DayScreen):
            await there.press("escape")
        await there.quiet()
        carrier = there.app.runs
        assert session.run is None or carrier.book.marks(run) == session.marks
        if session.run is not None:
            count = len(standing(session.marks))
            assert carrier.take_back(count) == count
            await there.quiet()
            fresh = live.state(day, base, (), session.now_s())
            assert live.state(day, base, session.marks, session.now_s()) == fresh
            assert session.marked_plan == base
