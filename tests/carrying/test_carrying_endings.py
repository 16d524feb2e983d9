"""How a run stands and ends, in the batch standard's words, and the plan file of what is left."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from dry_beads import beads_are_dry

from benchplan import planner
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.endings import LEGAL, rest_path, run_state
from benchplan.carrying.mishaps import bench_of
from benchplan.carrying.safety import wet
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.files import read_plan
from benchplan.live.state import State
from benchplan.model import Action, Mark

TRAY = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
FILL = Action("fill", (1,))
STATES = ("running", "held", "stopping", "stopped", "aborted", "complete")


class Day:
    """A run of a copy of the first sample that has just begun, replanned at once."""

    def __init__(self, folder: Path, speed: float = 1.0) -> None:
        self.path = Path(shutil.copy(TRAY, folder))
        plan_file = read_plan(self.path)
        self.clock = ManualClock(plan_file.day.start)
        self.session = Session(self.clock, speed, lambda start, speed: self.clock)
        self.carrier = Carrier(self.session)
        self.session.open_file(plan_file)
        self.session.planned(plan_file.day, planner.plan_day(plan_file.day))
        self.carrier.begin()
        assert self.session.run is not None

    @property
    def state(self) -> State:
        found = self.session.state()
        assert found is not None
        return found

    @property
    def kept_state(self) -> str:
        assert self.session.run is not None
        return self.carrier.book.run(self.session.run.number).state

    def follow(self) -> None:
        """Do whatever may be done, an hour apart, until nothing may."""
        beads_are_dry(self.carrier, self.session)
        while not self.state.complete:
            self.clock.move(3600)
            self.carrier.done(self.session.possible()[0], 1)

    def bring(self, state: str) -> None:
        """Bring the run into a state."""
        if state == "complete":
            self.follow()
        elif state == "held":
            self.carrier.mark("hold")
        elif state == "aborted":
            self.carrier.mark("abort")
        elif state in ("stopping", "stopped"):
            beads_are_dry(self.carrier, self.session)
            while "load" not in {mark.action.what for mark in self.session.marks if mark.action}:
                self.clock.move(600)
                self.carrier.done(self.session.possible()[0], 1)
            self.carrier.mark("stop")
            if state == "stopped":
                self.follow()
        assert run_state(self.state) == state


@pytest.mark.parametrize("what", LEGAL)
@pytest.mark.parametrize("state", STATES)
def test_a_run_is_held_gone_on_with_stopped_and_aborted_from_where_the_standard_says(
    tmp_path: Path, state: str, what: str
) -> None:
    """ANSI/ISA-88.01's example of procedural states and commands, from memory."""
    legal = {
        "hold": {"running"},
        "go on": {"held"},
        "stop": {"running", "held"},
        "abort": {"running", "held", "stopping"},
    }
    day = Day(tmp_path)
    day.bring(state)
    before = day.session.marks
    assert day.carrier.mark(what) == (state in legal[what])
    if state not in legal[what]:
        assert day.session.marks == before
        assert state in day.session.message
        assert run_state(day.state) == state


@pytest.mark.parametrize("state", ["held", "stopped", "aborted", "complete"])
def test_the_book_keeps_the_state_and_taking_back_brings_the_run_back(
    tmp_path: Path, state: str
) -> None:
    day = Day(tmp_path)
    assert day.kept_state == "running"
    day.bring(state)
    assert day.kept_state == state
    day.carrier.take_back()
    assert day.kept_state == "running"


def test_what_a_stop_leaves_stands_in_a_plan_file_beside_the_plan(tmp_path: Path) -> None:
    day = Day(tmp_path)
    assert day.session.run is not None
    path = rest_path(day.path, day.session.run.number)
    day.bring("stopping")
    assert not path.exists()
    day.follow()
    rest = read_plan(path).day
    assert path.name in day.session.message
    loaded = {tray for load in day.state.hot for tray in load.trays}
    assert not loaded
    wanted = sum(order.tins for order in read_plan(TRAY).day.orders)
    assert day.session.plan is not None
    assert 0 < sum(order.tins for order in rest.orders) < wanted
    assert rest.name.endswith("the rest")
    assert planner.plan_day(rest) is not None


def test_a_file_of_somebody_else_stays_and_the_band_says_so(tmp_path: Path) -> None:
    day = Day(tmp_path)
    assert day.session.run is not None
    path = rest_path(day.path, day.session.run.number)
    path.write_text("mine")
    day.bring("stopped")
    assert path.read_text() == "mine"
    assert "Still to make" in day.session.message
    assert "nothing has been written" in day.session.message


def test_a_day_with_nothing_left_and_a_rehearsal_write_nothing(tmp_path: Path) -> None:
    whole = Day(tmp_path)
    whole.bring("complete")
    assert "Still to make" not in whole.session.message
    (tmp_path / "again").mkdir()
    played = Day(tmp_path / "again", speed=60.0)
    played.bring("stopped")
    assert "A real run writes them into a plan file for another day." in played.session.message
    assert len(list(tmp_path.rglob("*.toml"))) == 2


def test_nothing_is_written_beside_the_samples_that_ship() -> None:
    before = sorted(TRAY.parent.iterdir())
    plan_file = read_plan(TRAY)
    session = Session(ManualClock(plan_file.day.start))
    carrier = Carrier(session)
    session.open_file(plan_file)
    session.planned(plan_file.day, planner.plan_day(plan_file.day))
    carrier.begin()
    assert carrier.mark("stop")
    assert "Still to make: 14 tins. A run of a plan file of your own writes" in session.message
    assert sorted(TRAY.parent.iterdir()) == before


def test_a_run_that_was_aborted_ended_with_that_word(tmp_path: Path) -> None:
    day = Day(tmp_path)
    day.carrier.done(day.session.possible()[0], 1)
    day.clock.move(240)
    assert day.carrier.mark("abort")
    assert day.session.run is not None
    assert day.session.run.finished_s == 240


def rest_of(day: Day) -> Path:
    """Return where the rest of a day's run stands."""
    assert day.session.run is not None
    return rest_path(day.path, day.session.run.number)


def test_what_a_stop_wrote_goes_when_the_stop_is_taken_back(tmp_path: Path) -> None:
    day = Day(tmp_path)
    assert day.carrier.mark("stop")
    path = rest_of(day)
    assert path.exists()
    assert day.carrier.take_back() == 1
    assert not path.exists()
    assert day.session.message.startswith("Taken back: ")
    assert f"{path.name} is removed" in day.session.message
    day.follow()  # and what then is left over is written anew
    assert not path.exists()


def test_it_goes_however_many_marks_are_taken_back(tmp_path: Path) -> None:
    day = Day(tmp_path)
    day.bring("stopped")
    path = rest_of(day)
    assert path.exists()
    assert day.carrier.take_back(3) == 3
    assert not path.exists()
    assert f"{path.name} is removed" in day.session.message


def test_a_window_that_did_not_write_it_takes_it_back_too(tmp_path: Path) -> None:
    day = Day(tmp_path)
    beads_are_dry(day.carrier, day.session)
    while not day.state.complete:  # 7 of 14 tins are packed
        day.clock.move(3600)
        action = next(iter(day.session.possible()), None)
        if action is None:  # what was scrapped is looked at last
            assert day.carrier.mark("checked", Action("pack", (2,)))
        elif action == Action("pack", (2,)):
            assert day.carrier.mark("scrapped", action, amount=7, note="spilled")
        else:
            assert day.carrier.done(action, 1)
    path, run = rest_of(day), day.session.run
    assert path.exists()
    assert run is not None
    other = Session(day.clock)
    second = Carrier(other)
    other.open_file(read_plan(day.path))
    second.go_on(run, day.session.marks)
    assert other.following
    assert second.take_over()
    assert second.take_back() == 1
    assert not path.exists()


@pytest.mark.parametrize("changed", [True, False])
def test_a_rest_that_somebody_has_changed_stays_and_that_is_said(
    tmp_path: Path, changed: bool
) -> None:
    day = Day(tmp_path)
    path = rest_of(day)
    if not changed:
        path.write_text("mine")  # and was never written over
    assert day.carrier.mark("stop")
    if changed:
        path.write_bytes(path.read_bytes() + b"\n")
    before = path.read_bytes()
    assert day.carrier.take_back() == 1
    assert path.read_bytes() == before
    assert f"{path.name} stays: it is not as this run wrote it." in day.session.message


def test_a_rest_that_is_gone_already_needs_no_words(tmp_path: Path) -> None:
    day = Day(tmp_path)
    assert day.carrier.mark("stop")
    rest_of(day).unlink()
    assert day.carrier.take_back() == 1
    assert rest_of(day).name not in day.session.message


@pytest.mark.parametrize("state", ["stopped", "aborted", "complete"])
def test_a_run_that_is_over_is_not_said_to_be_on(tmp_path: Path, state: str) -> None:
    day = Day(tmp_path)
    assert not day.session.done
    day.bring(state)
    assert day.session.done
    assert not day.session.may_change()
    assert "A run is on" not in day.session.message


def jars(day: Day) -> list[tuple[str, str]]:
    return [(jar.scent, jar.note) for jar in day.carrier.book.jars()]


def test_a_jar_that_dries_on_is_off_the_list_when_that_is_taken_back(tmp_path: Path) -> None:
    day = Day(tmp_path)
    today = day.session.local_now().date()
    day.carrier.book.add_jar("Night garden", today, "mine")
    bench = bench_of(day.session)
    assert bench is not None
    failed = wet(bench, "Night garden")
    assert isinstance(failed, Mark)
    assert day.carrier.add(failed)
    assert "Its jar is under Jars" in day.session.message
    assert jars(day) == [("Night garden", "mine"), ("Night garden", "")]
    assert day.carrier.take_back() == 1
    assert jars(day) == [("Night garden", "mine")]
    assert "Its jar is off the list again." in day.session.message
    assert day.session.message.startswith("Taken back: Not dry")
    assert day.carrier.mark("hold")
    assert day.carrier.take_back() == 1
    assert jars(day) == [("Night garden", "mine")]


def test_a_tray_that_leaves_for_another_reason_has_no_jar(tmp_path: Path) -> None:
    day = Day(tmp_path)
    assert day.carrier.mark("leaves", FILL, note="the label is wrong")
    assert jars(day) == []
