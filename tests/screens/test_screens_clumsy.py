"""A clumsy maker at the screens: it marks a rehearsal at every tick, and never a real run."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from screen_world import SAMPLES, world

from benchplan.carrying.clumsy import Clumsy


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    return Path(shutil.copy(SAMPLES / "first_tray.toml", tmp_path))


async def test_a_clumsy_maker_marks_a_rehearsal_at_the_ticks(sample: Path) -> None:
    async with world(sample, 60.0) as there:
        there.app._maker = Clumsy(3)
        await there.begin()
        for _ in range(40):
            await there.pass_time(60)
            await there.quiet()
        assert {mark.what for mark in there.session.marks} >= {"done", "tick"}


async def test_a_clumsy_maker_keeps_its_hands_off_a_real_run(sample: Path) -> None:
    async with world(sample) as there:
        there.app._maker = Clumsy(3)
        await there.begin()
        for _ in range(20):
            await there.pass_time(60)
        assert there.session.marks == ()


async def test_a_day_can_be_opened_on_the_bench(sample: Path) -> None:
    async with world(sample) as there:
        there.app._first = "bench"
        await there.planned()
        assert there.screen_name() == "bench"
