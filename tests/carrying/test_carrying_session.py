"""The open day and its run: what it takes, what it leaves aside, what time it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import example_day

from benchplan.book import BenchBook
from benchplan.carrying.kit import kit_names
from benchplan.carrying.session import Session
from benchplan.clock import Clock, ManualClock, at
from benchplan.files import read_text
from benchplan.model import Action, Cannot, Mark, Run

DAY, PLAN = example_day.day(), example_day.plan()
RUN = Run(1, DAY.name, "fair.toml", DAY.start, "", "")
HEAT = Mark("done", 5, 5, Action("preheat", (), "countertop"), number=1)


def session(speed: float = 1.0) -> tuple[Session, ManualClock]:
    """Return a session of the small day, not planned yet, on a clock that stands."""
    wall = ManualClock(at(DAY.start, -3600))
    made = Session(wall, speed, lambda start, _: ManualClock(start))
    made.day = DAY
    return made, wall


def test_a_plan_of_a_day_that_was_edited_since_is_left_aside() -> None:
    made, _ = session()
    made.change_day(replace(DAY, name="Other"))
    made.planned(DAY, PLAN)
    assert made.plan is None
    assert made.day is not None
    made.planned(made.day, PLAN)
    assert made.good_plan() is PLAN


def test_a_plan_that_follows_fewer_marks_than_there_are_is_left_aside() -> None:
    made, _ = session()
    made.take_run(RUN, DAY, PLAN, ())
    later = replace(PLAN, finish_s=PLAN.finish_s + 60)
    made.marked(HEAT)
    made.replanned((), later)
    assert made.plan is PLAN
    made.replanned((HEAT,), later)
    assert made.plan is later


def test_a_day_that_cannot_be_done_has_no_good_plan() -> None:
    made, _ = session()
    made.planned(DAY, Cannot(("No oven.",)))
    assert made.good_plan() is None
    assert made.state() is None


def test_a_real_day_goes_by_the_wall_clock() -> None:
    made, wall = session()
    assert made.now_s() == -3600
    wall.move(3605.9)
    assert made.now_s() == 5
    made.take_run(RUN, DAY, PLAN, ())
    wall.move(1)
    assert made.now_s() == 6


def test_a_rehearsal_stands_still_until_it_begins_and_goes_on_from_its_last_mark() -> None:
    made, wall = session(60.0)
    wall.move(500)
    assert made.now_s() == 0
    rehearsal = replace(RUN, rehearsal=True, speed=60.0)
    late = replace(HEAT, happened_s=40, entered_s=70)
    made.take_run(rehearsal, DAY, PLAN, (HEAT, late))
    assert made.now_s() == 70


def test_a_run_is_a_rehearsal_or_not_whatever_the_app_was_started_as() -> None:
    made, _ = session(60.0)
    assert made.rehearsal
    made.take_run(RUN, DAY, PLAN, ())
    assert not made.rehearsal


def test_the_file_keeps_the_day_as_it_was_planned_while_a_run_moves_it() -> None:
    made, _ = session()
    begun = DAY.begun_at(DAY.start + timedelta(minutes=20))
    made.take_run(RUN, begun, PLAN, ())
    assert made.day is begun
    assert made.file_day() is DAY
    made.leave_run()
    assert made.day is DAY
    assert made.run is None


def test_actions_that_took_no_time_still_count_as_done() -> None:
    made, _ = session()
    made.take_run(RUN, DAY, PLAN, ())
    before = made.state()
    assert before is not None
    made.marked(HEAT)
    after = made.state()
    assert after is not None
    assert (after.done, after.total) == (before.done + 1, before.total)


def test_the_clock_of_a_rehearsal_is_made_at_its_speed() -> None:
    asked: list[float] = []

    def make_clock(start: object, speed: float) -> Clock:
        asked.append(speed)
        return ManualClock(DAY.start)

    made = Session(ManualClock(DAY.start), 30.0, make_clock)
    made.day = DAY
    made.take_run(replace(RUN, rehearsal=True, speed=30.0), DAY, PLAN, ())
    assert asked == [30.0]


def test_a_kit_is_known_by_the_names_of_ovens_pans_and_tins() -> None:
    sample = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
    text = sample.read_text()
    day = read_text(text, "first_tray.toml").day
    assert kit_names(text) == (frozenset(day.ovens), frozenset(day.pans), frozenset(day.tins))
    assert kit_names("not [ toml") == (frozenset(), frozenset(), frozenset())


def test_the_book_keeps_a_run_in_utc_and_it_is_the_same_instant(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path)
    run = book.start_run("x", "x.toml", DAY.start, "", "")
    assert run.start == DAY.start
    book.close()
