"""What carries a run: the book first, then the session, then the plan that follows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from dry_beads import beads_are_dry

from benchplan import planner
from benchplan.book import BenchBook
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.errors import BenchplanError, Problem
from benchplan.files import read_plan
from benchplan.live import Card, Hot
from benchplan.model import Action, Mark, standing
from benchplan.model.ids import Item
from benchplan.model.run import ACTIONS
from benchplan.model.stop import Stop

TRAY = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
ON = Action("preheat", (), "countertop")
FILL = Action("fill", (1,))


class Later:
    """Keeps work until it is asked for, as workers do."""

    def __init__(self) -> None:
        self.waiting: dict[str, tuple[Callable[[Stop], Any], Callable[[Any], None]]] = {}

    def __call__(
        self, group: str, work: Callable[[Stop], Any], take: Callable[[Any], None]
    ) -> None:
        self.waiting[group] = work, take

    def work(self) -> None:
        while self.waiting:
            task, take = self.waiting.pop(next(iter(self.waiting)))
            take(task(lambda: False))


def begun() -> tuple[Carrier, Session, ManualClock, Later]:
    """Return a run of the first sample that has just begun."""
    plan_file = read_plan(TRAY)
    clock, later = ManualClock(plan_file.day.start), Later()
    session = Session(clock)
    carrier = Carrier(session, later)
    session.open_file(plan_file)
    session.planned(plan_file.day, planner.plan_day(plan_file.day))
    carrier.begin()
    later.work()
    assert session.run is not None
    return carrier, session, clock, later


def kept(carrier: Carrier, session: Session) -> tuple[Mark, ...]:
    assert session.run is not None
    return carrier.book.marks(session.run)


def test_a_mark_is_in_the_book_and_held_before_the_plan_follows() -> None:
    carrier, session, clock, later = begun()
    plan = session.plan
    clock.move(40)
    assert carrier.done(ON, 1, 30)
    assert session.marks == kept(carrier, session)
    assert [(mark.happened_s, mark.entered_s) for mark in session.marks] == [(30, 40)]
    assert session.plan is plan
    later.work()
    assert session.plan is not plan


def test_what_the_book_refuses_is_held_by_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    carrier, session, _, _ = begun()

    def full(*_: object) -> Mark:
        raise BenchplanError(Problem("The disk is full."))

    with monkeypatch.context() as patched:
        patched.setattr(BenchBook, "add_mark", full)
        assert not carrier.done(ON, 1)
        assert session.message == "Not marked: The disk is full."
        assert session.marks == ()
    assert carrier.done(ON, 1)
    with monkeypatch.context() as patched:
        patched.setattr(BenchBook, "add_mark", full)
        assert carrier.take_back(3) == 0
        assert session.message == "Not marked: The disk is full."
    assert standing(session.marks) == session.marks == kept(carrier, session)


def test_marks_are_taken_back_from_the_last_and_planned_once() -> None:
    carrier, session, clock, later = begun()
    for mark in (
        carrier.done(ON, 1),
        carrier.tick(FILL, 1, Item(own="Rims clean")),
        carrier.done(FILL, 1),
    ):
        clock.move(60)
        assert mark
    later.work()
    assert carrier.take_back(2) == 2
    assert list(later.waiting) == ["replan"]
    assert session.message == "Taken back: Fill tray 1; Rims clean."
    assert [mark.takes_back for mark in session.marks[3:]] == [3, 2]
    assert carrier.take_back(5) == 1
    assert carrier.take_back() == 0
    assert session.message == "There is no mark to take back."
    later.work()
    state = session.state()
    assert state is not None
    assert state.done == 0


def test_nothing_is_marked_without_a_run() -> None:
    carrier = Carrier(Session(ManualClock(read_plan(TRAY).day.start)))
    assert not carrier.mark("hold")
    assert carrier.take_back() == 0


def test_a_run_is_gone_on_with_where_its_marks_left_it() -> None:
    carrier, session, clock, later = begun()
    carrier.done(ON, 1)
    later.work()
    marks = session.marks
    carrier.close()

    plan_file = read_plan(TRAY)
    again = Session(clock)
    second = Carrier(again)
    again.open_file(plan_file)
    second.look_for_unfinished()
    assert again.offer is not None
    clock.move(100)
    second.go_on(*again.offer)
    assert again.marks == marks
    assert again.now_s() == 100
    assert second.replanning.followed_s == 100
    assert again.run is not None
    second.end(again.run)
    assert again.run is None
    second.look_for_unfinished()
    assert again.offer is None


def test_a_tick_plans_nothing_anew_and_leaves_the_plan_on_its_way_good() -> None:
    carrier, session, clock, later = begun()
    plan = session.plan
    assert carrier.tick(FILL, 1, Item(own="Beads level"))
    assert not later.waiting
    clock.move(40)  # what is on time changes nothing
    assert carrier.done(ON, 1)
    assert carrier.tick(FILL, 1, Item(own="Rims clean"))
    later.work()
    assert session.plan is not plan
    assert session.plan is session.marked_plan


def in_ovens(session: Session) -> list[Hot]:
    state = session.state()
    return [each for each in state.hot if each.kind == "oven"] if state else []


def test_a_run_gone_on_with_shows_what_is_hot_before_its_plan_has_followed_the_marks() -> None:
    carrier, session, clock, later = begun()
    run = session.run
    assert run is not None
    assert session.plan is not None
    beads_are_dry(carrier, session)
    hot = in_ovens(session)
    while not hot:
        clock.move(300)
        carrier.done(max(session.possible(), key=lambda each: ACTIONS.index(each.what)), 1)
        later.work()
        hot = in_ovens(session)
    plan, marks = session.marked_plan, session.marks
    carrier.close()
    again = Carrier(session_again := Session(clock), Later())
    session_again.open_file(read_plan(TRAY))
    waiting = again._start
    assert isinstance(waiting, Later)
    again.go_on(run, marks)
    take_up, take = waiting.waiting.pop("begin")
    take(take_up(lambda: False))
    assert in_ovens(session_again) == hot
    assert session_again.marked_plan != plan  # it has not followed yet
    assert again.done(session_again.possible()[0], 1)
    waiting.work()
    assert again.book.marks(run) == session_again.marks
    followed = planner.follow(session_again.day, session_again.base_plan, session_again.marks)  # type: ignore[arg-type]
    assert session_again.marked_plan == followed


def is_over(session: Session) -> bool:
    state = session.state()
    assert state is not None
    return state.complete


def has_followed(session: Session) -> bool:
    """Whether the shown plan is the one that a run gone on with now would show."""
    day, base = session.day, session.base_plan
    assert day is not None
    assert base is not None
    return session.marked_plan == planner.follow(day, base, standing(session.marks))


def end_it(carrier: Carrier, later: Later, what: str) -> None:
    """End the day by a mark, or by the last ones of some, and have that planned."""
    if what in ("stop", "abort"):
        assert carrier.mark(what)
    for tray in (1, 2) if what == "scrapped" else ():
        assert carrier.mark("scrapped", Action("fill", (tray,)), amount=8, note="spilled")
        later.work()
    if what == "leaves":
        assert carrier.mark("leaves", Action("fill", (1, 2)), note="wet")
    later.work()


@pytest.mark.parametrize("trail", [12, 1])
@pytest.mark.parametrize("what", ["stop", "abort", "scrapped", "leaves"])
def test_a_day_whose_end_is_taken_back_is_on_at_once(
    what: str, trail: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before its plan is there, and also where that of the marks which stand is known no more."""
    monkeypatch.setattr("benchplan.carrying.replanning.TRAIL", trail)
    carrier, session, clock, later = begun()
    assert carrier.done(ON, 1)
    later.work()
    clock.move(60)
    end_it(carrier, later, what)
    assert is_over(session)
    assert carrier.take_back() == 1
    assert later.waiting
    assert not is_over(session)
    assert session.run is not None
    assert carrier.book.run(session.run.number).state == "running"
    later.work()
    assert has_followed(session)
    assert not is_over(session)


def test_what_is_marked_right_after_a_stop_is_taken_back_follows_no_plan_of_the_stop() -> None:
    carrier, session, clock, later = begun()
    end_it(carrier, later, "stop")
    assert carrier.take_back() == 1
    clock.move(5)
    assert carrier.done(ON, 1)
    later.work()
    assert not is_over(session)
    assert has_followed(session)


def test_marks_that_come_faster_than_their_plans_are_followed_one_by_one() -> None:
    carrier, session, clock, later = begun()
    for action in (ON, FILL, Action("set", (1,))):
        clock.move(100)
        assert carrier.done(action, 1)
    later.work()
    assert has_followed(session)
    assert session.plan is session.marked_plan  # by now nothing more is to be foreseen


def test_taking_back_the_last_box_brings_the_run_back_at_once() -> None:
    carrier, session, clock, later = begun()
    beads_are_dry(carrier, session)
    while not is_over(session):
        clock.move(3600)
        assert carrier.done(session.possible()[0], 1)
        later.work()
    assert session.done
    assert carrier.take_back() == 1
    assert not is_over(session)
    assert not session.done


def test_a_day_that_is_started_twice_is_one_run() -> None:
    """An answer that was on its way when the key was pressed again begins nothing."""
    carrier, session, _, later = begun()
    assert session.run is not None
    carrier.end(session.run)
    assert session.day is not None
    session.planned(session.day, planner.plan_day(session.day))
    carrier.begin()
    task, take = later.waiting["begin"]
    answer = task(lambda: False)
    carrier.begin()
    take(answer)
    first = session.run
    assert first is not None
    later.work()
    assert session.run == first
    assert len(carrier.book.runs()) == 2  # the one before, and this one


def test_a_day_that_was_changed_while_it_was_begun_is_not_begun() -> None:
    carrier, session, _, later = begun()
    session.leave_run()
    assert session.day is not None
    session.planned(session.day, planner.plan_day(session.day))
    carrier.begin()
    assert session.change_day(replace(session.day, name="Another"))
    later.work()
    assert session.run is None
    assert session.day.name == "Another"
    assert len(carrier.book.runs()) == 1


def test_a_run_that_comes_late_takes_no_place_of_a_day_that_was_opened_since(
    tmp_path: Path,
) -> None:
    carrier, session, _, later = begun()
    run = session.run
    assert run is not None
    session.open_file(read_plan(TRAY))
    carrier.go_on(run, ())
    other = tmp_path / "other.toml"
    other.write_text(TRAY.read_text())
    session.open_file(read_plan(other))
    later.work()
    assert session.run is None
    assert session.path == other


def test_a_day_that_is_opened_knows_nothing_of_the_run_before_it() -> None:
    carrier, session, _, _ = begun()
    carrier.name(1, "Ada")
    plan_file = read_plan(TRAY)
    session.open_file(plan_file)
    assert session.file_day() is plan_file.day
    assert session.names == {}


def test_work_stays_overdue_since_it_became_it_whatever_is_marked() -> None:
    carrier, session, clock, later = begun()
    clock.move(10)
    carrier.done(ON, 1)
    later.work()

    def card() -> Card:
        state = session.state()
        assert state is not None
        return next(each for each in state.cards if each.person == 1)

    assert card().action == FILL
    due_s = card().end_s
    clock.move(due_s + 90)
    assert card().end_s == due_s
    for seconds in (30, 60):
        carrier.mark("person comes")
        later.work()
        clock.move(seconds)
        assert card().action == FILL
        assert card().end_s == due_s
    assert session.marked_plan is not None
    assert session.marked_plan.finish_s > due_s
    carrier.done(FILL, 1)
    later.work()
    carrier.take_back()
    later.work()
    assert card().action == FILL
    assert card().end_s > due_s, "it was done meanwhile, and is planned anew"
