"""A world to drive the app in: a clock that stands still, an own bench book, named conditions."""

from __future__ import annotations

import asyncio
import logging
import re
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from textual.pilot import Pilot

from benchplan import clock
from benchplan.carrying.mishaps import bench_of
from benchplan.carrying.safety import unseen
from benchplan.carrying.session import Session
from benchplan.clock import Clock, ManualClock
from benchplan.home.log_file import LOG
from benchplan.live import Card, State
from benchplan.model import Action, Plan
from benchplan.screens.app import BenchApp
from benchplan.screens.base import DayScreen
from benchplan.screens.dialogs import Dialog
from benchplan.screens.widgets.card import CardBox

PATIENCE_S = 180.0  # a machine that does much else at once is no fault of a screen
POLL_S = 0.002  # between two looks at a condition
SAMPLES = Path(__file__).parents[2] / "sample_runs"
MORNING = datetime(2026, 12, 5, 8, 59, 30, tzinfo=UTC)


class Faults(logging.Handler):
    """Collects what the program logs about itself: a test in which that is something fails."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.found.append(self.format(record))


@dataclass
class World:
    """The app under a pilot, and the two clocks that it goes by."""

    app: BenchApp
    pilot: Pilot[None]
    clock: ManualClock
    seconds: list[float]
    rehearsals: list[ManualClock]
    faults: list[str]

    @property
    def session(self) -> Session:
        return self.app.session

    @property
    def state(self) -> State:
        found = self.session.state()
        assert found is not None
        return found

    @property
    def card(self) -> Card:
        state = self.state
        return next(card for card in state.cards if card.person == state.focus)

    async def until(self, true: Callable[[], object], what: str) -> None:
        """Wait for a named condition; the test fails when it does not come about."""
        end = clock.monotonic() + PATIENCE_S
        while not true():
            assert clock.monotonic() < end, f"never {what}: band says {self.session.message!r}"
            await asyncio.sleep(POLL_S)

    async def drawn(self) -> None:
        """Wait until what was posted is worked off and drawn.

        A key goes from the app to its screen, on to a widget and back; the pilot's own pause waits
        for an idle machine instead, which takes far longer where others work too.
        """
        for _ in range(2):
            focused = self.app.screen.focused
            for pump in (self.app, self.app.screen, *([focused] if focused else [])):
                await self._passed(pump.call_later)
        await self._passed(self.app.screen.call_after_refresh)

    async def _passed(self, post: Callable[[Callable[[], None]], bool]) -> None:
        """Wait until a call that is posted has been made.

        An app that is left makes none, and neither does a screen that another took the place of.
        """
        passed, screen = asyncio.Event(), self.app.screen
        if post(passed.set):
            await self.until(
                lambda: passed.is_set() or self.app._exit or self.app.screen is not screen,
                "worked off",
            )

    async def quiet(self) -> None:
        """Wait until no job runs and everything that was asked for is on the screen."""
        await self.until(
            lambda: all(worker.is_finished for worker in self.app.workers), "without a job"
        )
        await self.drawn()

    async def planned(self) -> None:
        """Wait until the day is open and has its plan."""
        await self.until(lambda: isinstance(self.session.plan, Plan), "a plan")
        await self.quiet()

    async def press(self, *keys: str) -> None:
        """Press keys, each long after the one before."""
        for key in keys:
            self.seconds[0] += 5
            self.app.simulate_key(key)
            await self.drawn()

    def _move(self, seconds: float) -> None:
        moved = self.rehearsals[-1] if self.rehearsals and self.session.run else self.clock
        moved.move(seconds)
        self.seconds[0] += seconds
        self.app.tick()

    async def pass_time(self, seconds: float) -> None:
        """Let time pass by the run's clock, and real time with it, and tick once."""
        self._move(seconds)
        await self.drawn()

    async def begin(self) -> None:
        """Begin the run from the Bench, reading the cautions where they come first."""
        await self.planned()
        await self.press("4", "enter")
        await self.until(
            lambda: self.session.run or isinstance(self.app.screen, Dialog), "begun or asked"
        )
        while isinstance(self.app.screen, Dialog):  # a page of cautions at a time
            await self.press("enter")
        await self.until(lambda: self.session.run, "begun")
        await self.quiet()

    async def mark(self, in_time: bool = True) -> None:
        """Mark the action of the card that has the focus, when its time is over or at once.

        What must be seen to is ticked as soon as the card is there.
        """
        await self.see_to()
        while self.card.action is None or (in_time and self.card.end_s > self.state.now_s):
            state, card = self.state, self.card
            exits = (hot.until_s for hot in state.hot if hot.until_s > state.now_s)
            self._move(max(1, min((card.end_s, *exits)) - state.now_s))
            if card.action and card.end_s == self.state.now_s and self.card.action != card.action:
                # What ends at the very second at which a card asks for an exit has been done.
                assert self.app.runs.done(card.action, card.person)
                await self.quiet()
                return
            await self.see_to()
        await self.see_to()
        before = len(self.session.marks)
        self.seconds[0] += 5
        self.app.simulate_key("enter")
        await self.until(lambda: len(self.session.marks) > before, f"marked: {self.card}")
        await self.until(
            lambda: all(worker.is_finished for worker in self.app.workers), "without a job"
        )
        while isinstance(self.app.screen, Dialog):  # the thermometer is skipped, the tray is baked
            await self.drawn()
            await self.press("enter")

    async def see_to(self) -> None:
        """Tick what must be seen to before the action of the card that has the focus is done."""
        bench = bench_of(self.session)
        for item in unseen(bench, bench.action) if bench else ():
            assert self.card.action is not None
            self.app.runs.tick(self.card.action, self.card.person, item)
            await self.until(
                lambda: all(worker.is_finished for worker in self.app.workers), "without a job"
            )

    def text(self) -> str:
        """Return what is on the screen, as text."""
        lines = self.app.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in lines)

    def on_card(self) -> str:
        """Return what the card of the Bench that has the focus says of the last key."""
        (box,) = [
            each
            for each in self.app.screen.query(CardBox)
            if each.display and (each.has_class("-focused") or len(self.state.cards) == 1)
        ]
        said = []
        for row in box.tail.rows:
            if not any(piece.text.strip() for piece in row) or row[0].text.startswith("["):
                break
            said += [piece.text for piece in row]
        return " ".join(said)

    def screen_name(self) -> str:
        """Return the name of the open screen; "?" for a question."""
        return self.app.screen.NAME if isinstance(self.app.screen, DayScreen) else "?"


@asynccontextmanager
async def world(
    path: Path | None,
    speed: float = 1.0,
    size: tuple[int, int] = (80, 24),
    at: datetime = MORNING,
) -> AsyncIterator[World]:
    """Run the app on a file; the bench book is where BENCHPLAN_HOME says."""
    seconds, manual, rehearsals = [1000.0], ManualClock(at), []

    def make_clock(start: datetime, _: float) -> Clock:
        rehearsals.append(ManualClock(start))
        return rehearsals[-1]

    app = BenchApp(
        path,
        speed,
        manual,
        make_clock=make_clock,
        monotonic=lambda: seconds[0],
        ticking=False,
    )
    faults = Faults()
    assert not LOG.disabled, "a log that hears nothing would let every fault pass"
    LOG.addHandler(faults)
    try:
        async with app.run_test(size=size) as pilot:
            yield World(app, pilot, manual, seconds, rehearsals, faults.found)
            app.jobs.cancel_all()
            if "runs" in app.__dict__:
                app.runs.close()  # else this process would go on showing that the window is open
    finally:
        LOG.removeHandler(faults)
    assert faults.found == []


async def asked(there: World) -> None:
    """Wait until a question is open and all that it waits for is done."""
    await there.until(lambda: isinstance(there.app.screen, Dialog), "asked")
    await there.quiet()


def slow_to_fill(path: Path) -> Path:
    """Make the day's fills last longer than its preheat and its bake."""
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r'(?m)^fill = "\d+ s"', 'fill = "70 s"', text), encoding="utf-8")
    return path


async def filling_while_it_bakes(there: World) -> Action:
    """Mark until a tray is in the oven and the next one is being filled; return that fill."""
    await there.begin()
    while not any(hot.kind == "oven" for hot in there.state.hot):
        await there.mark()
    await there.quiet()
    assert there.card.action is not None
    assert there.card.action.what == "fill"
    return there.card.action
