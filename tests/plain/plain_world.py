"""A person at a plain terminal: lines typed at moments of a clock that only moves while waiting."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from benchplan import planner
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.clumsy import Clumsy
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock, Reading, at
from benchplan.files import PlanFile, read_plan
from benchplan.model import Plan
from benchplan.plain.telling import Telling

BELL = "(a bell)"
START = (0.0, "start")
SAMPLES = Path(__file__).parents[2] / "sample_runs"


@dataclass
class Person:
    """Types each line ``wait`` seconds after the one before, and hears what is said.

    A line "sleep 600" is not typed: the machine sleeps for that long. Nor is "set 600": the
    machine's clock is set on by so much, and the run's clock is not.
    """

    clock: ManualClock
    typed: list[tuple[float, str]]
    speed: float = 1.0
    real: float = 1000.0
    slept: float = 0.0
    set_by: float = 0.0
    heard: list[str] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)

    def __call__(self, seconds: float) -> str | None:
        self.waits.append(seconds)
        if not self.typed:
            raise EOFError
        wait, line = self.typed[0]
        passes = min(wait, seconds * self.speed)
        self.clock.move(passes)
        self.real += passes / self.speed
        if passes < wait:
            self.typed[0] = (wait - passes, line)
            return None
        self.typed.pop(0)
        if line.startswith("sleep "):  # the machine slept: only the clock has moved on
            lasts = float(line.removeprefix("sleep "))
            self.clock.move(lasts)
            self.slept += lasts
            return None
        if line.startswith("set "):  # somebody set the machine's clock
            self.set_by += float(line.removeprefix("set "))
            return None
        return line

    def reading(self) -> Reading:
        """Return what the machine's clocks say."""
        wall = self.clock.now() + timedelta(seconds=self.set_by)
        return Reading(wall, self.real, self.real + self.slept)

    def say(self, line: str) -> None:
        self.heard.append(line)

    def after(self, words: str) -> list[str]:
        """Return what was said after the first line that has some words in it."""
        place = next(place for place, line in enumerate(self.heard) if words in line)
        return self.heard[place + 1 :]


def day_of(path: Path) -> tuple[PlanFile, Plan]:
    """Read a plan file and plan its day."""
    plan_file = read_plan(path)
    plan = planner.plan_day(plan_file.day)
    assert isinstance(plan, Plan)
    return plan_file, plan


def own(path: Path) -> Path:
    """Return the place of a sample's copy, which a test may write beside; any other path as is."""
    if path.parent != SAMPLES:
        return path
    folder = Path(os.environ["BENCHPLAN_HOME"])
    for name in (path.name, "workshop_kit.toml"):
        if not (folder / name).exists():
            shutil.copy(SAMPLES / name, folder)
    return folder / path.name


def told(
    path: Path,
    *typed: tuple[float, str],
    speed: float = 1.0,
    seed: int | None = None,
    begin: datetime | None = None,
    terminal: bool = False,
) -> tuple[Person, Session]:
    """Tell a run of a plan file to somebody who types some lines and then no more.

    A sample is copied first: what a run leaves over is written beside its plan file. The bell
    of a ``terminal`` is heard as ``BELL``.
    """
    path = own(path)
    plan_file, plan = day_of(path)
    moved = ManualClock(begin or at(plan_file.day.start, 0))

    def make_clock(start: datetime, _: float) -> ManualClock:
        moved.instant = start
        return moved

    person = Person(moved, list(typed), speed)
    session = Session(moved, speed, make_clock)
    maker = None if seed is None else Clumsy(seed)
    telling = Telling(
        session,
        person,
        person.say,
        maker=maker,
        bell=(lambda: person.say(BELL)) if terminal else None,
        monotonic=lambda: person.real,
        readings=person.reading,
    )
    telling.run(plan_file, plan)
    return person, session


def other_window(path: Path) -> tuple[Carrier, Session]:
    """Return another window that has begun a plan file's run, and carries it."""
    plan_file, plan = day_of(own(path))
    session = Session(ManualClock(plan_file.day.start))
    carrier = Carrier(session)
    session.open_file(plan_file)
    session.planned(plan_file.day, plan)
    carrier.begin()
    return carrier, session


def baking() -> list[tuple[float, str]]:
    """Return lines that bring tray 1 into the oven, as the plan has it, about."""
    seen: list[tuple[float, str]] = [(0, "tick all"), (0, "tick"), (0, "done")]
    return [START, (5, "done"), (160, ""), *seen, (24, "done"), (170, "done"), (400, ""), *seen]
