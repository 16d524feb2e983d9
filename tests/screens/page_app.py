"""The app with the hand-made day of the view tests open; planning is only written down."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from itertools import count
from typing import Any

import example_day

from benchplan.clock import ManualClock
from benchplan.model import Cannot, Day, Plan
from benchplan.screens.app import BenchApp
from benchplan.screens.page import Page
from benchplan.views.rows import plain

SMALL, LARGE = (80, 24), (120, 40)
MOST_TURNS = 200


@dataclass
class Opened:
    """The running app, and every day that was given to the planner."""

    app: BenchApp
    pilot: Any
    asked: list[Day] = field(default_factory=list)

    @property
    def text(self) -> str:
        """What the open page reads."""
        return plain(self.app.screen.query_one(Page).rows)

    async def press(self, *keys: str) -> str:
        await self.pilot.press(*keys)
        await self.pilot.pause()
        return self.text

    async def until(self, what: Callable[[], bool]) -> None:
        """Let the app go on until something is so."""
        for _ in range(MOST_TURNS):
            if what():
                return
            await self.pilot.pause()
        raise AssertionError(f"never came about; the page reads:\n{self.text}")

    def answer(self, plan: Plan | Cannot) -> None:
        """Let the plan of the day that was asked for last come in."""
        self.app.session.planned(self.asked[-1], plan)


@asynccontextmanager
async def opened(
    name: str,
    size: tuple[int, int] = SMALL,
    day: Day | None = None,
    plan: Plan | Cannot | None = None,
) -> AsyncIterator[Opened]:
    """Open the example day (or another) on one of the screens."""
    clock = ManualClock(example_day.START)
    moments = count(1000, 5)  # each key is pressed long after the one before
    app = BenchApp(None, clock=clock, monotonic=lambda: next(moments), ticking=False)
    async with app.run_test(size=size) as pilot:
        found = Opened(app, pilot)
        session = app.session

        def ask() -> None:
            assert session.day is not None
            found.asked.append(session.day)
            app.show()

        session.on_day = ask
        session.day = day or example_day.day()
        session.plan = plan or example_day.plan()
        app.action_go(name)
        await found.until(lambda: bool(app.screen.query(Page)) and found.text != "")
        yield found
