"""Countdowns stay right whatever happens to the machine and its clock, and it is said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from benchplan import clock
from benchplan.carrying import work
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.carrying.watch import Event, Watch, Watcher
from benchplan.clock import AnchoredClock, ManualClock, Reading
from benchplan.files import read_plan, read_text
from benchplan.model import Plan

SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
START = datetime(2026, 12, 5, 9, 0, tzinfo=UTC)
HOUR = 3600.0


@dataclass
class Machine:
    """A machine whose clocks a test moves: it works, sleeps, is paused, or is set."""

    wall: datetime = START
    awake_s: float = 500.0
    passed_s: float = 900.0

    def __call__(self) -> Reading:
        return Reading(self.wall, self.awake_s, self.passed_s)

    def work(self, seconds: float) -> None:
        self.sleep(seconds)
        self.awake_s += seconds

    def sleep(self, seconds: float) -> None:
        self.wall += timedelta(seconds=seconds)
        self.passed_s += seconds

    def set(self, seconds: float) -> None:
        self.wall += timedelta(seconds=seconds)


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Machine:
    found = Machine()
    monkeypatch.setattr(clock, "boottime", lambda: found.passed_s)
    monkeypatch.setattr(clock, "_wall", lambda: found.wall)
    return found


def anchored(machine: Machine) -> AnchoredClock:
    return AnchoredClock(1.0, machine.wall, machine.passed_s)


class Opened:
    """A session on a machine, ticking once a second."""

    def __init__(self, machine: Machine, watch: Watch | None = None) -> None:
        self.machine = machine
        self.session = Session(anchored(machine))
        self.carrier = Carrier(self.session)
        self.watcher = Watcher(self.session, machine, watch)
        self.session.open_file(read_plan(SAMPLE))
        day = self.session.day
        assert day is not None
        self.session.planned(day, work.plan(day, {}, lambda: False))
        self.tick()

    def tick(self, seconds: float = 1.0) -> str:
        """Let the machine work for so long, look, and return what the band says then."""
        self.machine.work(seconds)
        self.session.message = ""
        self.watcher.look()
        return self.session.message

    def begin(self) -> None:
        self.carrier.begin()
        assert self.session.run is not None


@pytest.fixture
def opened(machine: Machine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Opened]:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))
    found = Opened(machine)
    yield found
    found.carrier.close()


# --- the watch ----------------------------------------------------------------------------------


def seen(machine: Machine, watch: Watch | None = None) -> list[Event]:
    """Return what a watch makes of a machine after the last of what happens to it."""
    return list((watch or Watch(True)).look(machine()))


def test_a_quiet_day_is_no_event() -> None:
    machine, watch = Machine(), Watch(True)
    for _ in range(10_000):
        machine.work(1.0)
        machine.set(0.00005)  # a clock that is slewed
        assert watch.look(machine()) == ()


@pytest.mark.parametrize(
    ("happens", "event"),
    [
        ([("sleep", 420)], Event("slept", 421)),
        ([("work", 60)], Event("stood", 61)),
        ([("set", HOUR)], Event("set", HOUR)),
        ([("set", -HOUR)], Event("set", -HOUR)),
        ([("set", 2.5)], Event("set", 2.5)),
    ],
)
def test_each_thing_that_happens_is_told_once(
    happens: list[tuple[str, float]], event: Event
) -> None:
    machine, watch = Machine(), Watch(True)
    watch.look(machine())
    for what, seconds in happens:
        getattr(machine, what)(seconds)
    machine.work(1)
    assert watch.look(machine()) == (event,)
    machine.work(1)
    assert watch.look(machine()) == ()


def test_a_machine_that_slept_and_was_set_right_on_waking_says_both() -> None:
    machine, watch = Machine(), Watch(True)
    watch.look(machine())
    machine.sleep(600)
    machine.set(-5)
    assert watch.look(machine()) == (Event("slept", 600), Event("set", -5))


def test_small_steps_that_add_up_are_told() -> None:
    machine, watch = Machine(), Watch(True)
    watch.look(machine())
    told = []
    for _ in range(10):
        machine.work(1)
        machine.set(0.5)
        told += watch.look(machine())
    assert [event.what for event in told] == ["set", "set"]


def test_a_machine_that_does_not_tell_its_sleep_leaves_it_unsure() -> None:
    machine, watch = Machine(), Watch(False)
    watch.look(machine())
    machine.set(420)  # its other clocks stood
    assert watch.look(machine()) == (Event("unsure", 420),)
    machine.set(-420)
    assert watch.look(machine()) == (Event("set", -420),)


def test_the_machine_here_reads_its_clocks() -> None:
    one, other = clock.reading(), clock.reading()
    assert other.awake_s >= one.awake_s
    assert other.passed_s >= one.passed_s
    assert one.wall.utcoffset() == timedelta(0)


# --- a run ----------------------------------------------------------------------------------------


def test_a_run_counts_the_time_that_the_machine_slept(opened: Opened) -> None:
    opened.begin()
    opened.tick(60)
    opened.machine.sleep(420)
    said = opened.tick()
    assert opened.session.now_s() == 481
    assert "The machine slept from 9:01 am to 9:08 am, 7 min 01 s." in said
    assert "shows as overdue; nothing is counted shorter" in said
    assert opened.tick() == ""


def test_a_frozen_terminal_is_told_and_its_time_counts(opened: Opened) -> None:
    opened.begin()
    said = opened.tick(420)
    assert opened.session.now_s() == 420
    assert "Nothing moved here from 9:00 am to 9:07 am, 7 min: the terminal was frozen" in said


@pytest.mark.parametrize("by", [HOUR, -HOUR, 40.0, -40.0])
def test_a_clock_that_is_set_moves_no_countdown(opened: Opened, by: float) -> None:
    opened.begin()
    opened.tick(9)
    state = opened.session.state()
    assert state is not None
    left = [card.end_s - state.now_s for card in state.cards]
    opened.machine.set(by)
    said = opened.tick(1)
    state = opened.session.state()
    assert state is not None
    assert [card.end_s - state.now_s for card in state.cards] == [each - 1 for each in left]
    span = clock.show_span(abs(by))
    way, side = ("forward", "behind") if by > 0 else ("back", "ahead of")
    assert f"The machine's clock was set {way} by {span}. Countdowns go by" in said
    assert f"stay {span} {side} it" in said
    opened.session.leave_run()
    assert opened.session.now() == opened.machine.wall


def test_before_a_run_the_days_clock_follows_the_machines(opened: Opened) -> None:
    opened.machine.set(HOUR)
    said = opened.tick()
    assert "was set forward by 1 h 00 min. It is 10:00 am by it now." in said
    assert opened.session.now() == opened.machine.wall


def test_an_unsure_jump_counts_as_time_that_passed(
    machine: Machine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Rather a tray that is looked at too early than one that is forgotten."""
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))
    opened = Opened(machine, Watch(False))
    opened.begin()
    machine.set(420)
    said = opened.tick()
    assert opened.session.now_s() == 421
    assert "the machine slept, or somebody set it" in said
    opened.carrier.close()


def test_a_run_gone_on_with_after_its_clock_was_set_back_goes_on_from_its_last_mark(
    opened: Opened, machine: Machine
) -> None:
    opened.begin()
    opened.tick(9)
    opened.tick(9)
    state = opened.session.state()
    assert state is not None
    action = state.cards[0].action
    assert action is not None
    assert opened.carrier.done(action, 1)
    opened.carrier.close()
    machine.set(-HOUR)
    again = Opened(machine)
    again.session.path = SAMPLE
    again.carrier.look_for_unfinished()
    assert again.session.offer is not None
    again.carrier.go_on(*again.session.offer)
    assert again.session.now_s() == 18
    assert "it was set back" in again.session.message
    again.carrier.close()


# --- clocks that change in the middle of a day ----------------------------------------------------

# Lisbon, from the zone data: back an hour at 02:00 on 25 October 2026, forward at 01:00 on
# 28 March 2027.
CHANGES = [
    (
        "2026-10-25",
        "00:30:00",
        [(0, "00:30"), (5400, "01:00 WET"), (7200, "01:30 WET"), (9000, "02:00")],
    ),
    ("2027-03-28", "00:30:00", [(0, "00:30"), (1799, "00:59"), (1800, "02:00"), (5400, "03:00")]),
]


@pytest.mark.parametrize(("date", "start", "shown"), CHANGES, ids=["back", "forward"])
def test_a_day_over_a_change_of_clocks_counts_right_and_shows_local_times(
    date: str, start: str, shown: list[tuple[int, str]], monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:  # fmt: skip
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))
    lines = []
    for line in SAMPLE.read_text().splitlines():
        key = line.partition("=")[0].strip()
        if key in ("finish_by", "breaks", "zone"):
            continue
        line = f"date = {date}" if key == "date" else line
        lines.append(f'start = {start}\nzone = "Europe/Lisbon"' if key == "start" else line)
    plan_file = read_text("\n".join(lines), "night.toml", SAMPLE.parent)
    day = plan_file.day
    manual = ManualClock(day.start)
    session = Session(manual)
    carrier = Carrier(session)
    session.open_file(plan_file)
    plan = work.plan(day, {}, lambda: False)
    assert isinstance(plan, Plan)
    session.planned(day, plan)
    carrier.begin()
    for seconds, words in shown:
        manual.instant = day.start.astimezone(UTC) + timedelta(seconds=seconds)
        assert session.now_s() == seconds
        assert clock.show_time(session.local_now()) == words
        assert clock.show_time(clock.at(day.start, seconds)) == words
    state = session.state()
    assert state is not None
    assert state.now_s == shown[-1][0]
    carrier.close()
