"""Two windows on one run: the second follows, takes over, and no mark is lost or made twice."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from dry_beads import beads_are_dry

from benchplan import planner
from benchplan.book import BenchBook, home
from benchplan.book.connection import FILE
from benchplan.carrying import following
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.errors import BenchplanError, Problem
from benchplan.files import PlanFile, read_plan
from benchplan.model import Action, Cannot, Plan, Settings
from benchplan.model.ids import Item

TRAY = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
ON = Action("preheat", (), "countertop")
FILL = Action("fill", (1,))
SET = Action("set", (1,))

Window = tuple[Carrier, Session]


@pytest.fixture(scope="module")
def day() -> tuple[PlanFile, Plan]:
    plan_file = read_plan(TRAY)
    plan = planner.plan_day(plan_file.day, planner.quick_stop(plan_file.day))
    assert not isinstance(plan, Cannot)
    return plan_file, plan


class Bench:
    """Windows of one day on one clock."""

    def __init__(self, plan_file: PlanFile, plan: Plan) -> None:
        self.plan_file, self.plan = plan_file, plan
        self.clock = ManualClock(plan_file.day.start)
        self.carriers: list[Carrier] = []

    def window(self, speed: float = 1.0) -> Window:
        session = Session(self.clock, speed, lambda start, speed: ManualClock(start, speed))
        carrier = Carrier(session)
        self.carriers.append(carrier)
        session.open_file(self.plan_file)
        session.planned(self.plan_file.day, self.plan)
        carrier.look_for_unfinished()
        return carrier, session

    def two(self, speed: float = 1.0) -> tuple[Window, Window]:
        """Return a window that carries a run, with one mark, and one that follows it."""
        first = self.window(speed)
        first[0].begin()
        assert first[0].done(ON, 1)
        second = self.window(speed)
        assert second[1].offer is not None
        second[0].go_on(*second[1].offer)
        return first, second


@pytest.fixture
def bench(day: tuple[PlanFile, Plan]) -> Iterator[Bench]:
    found = Bench(*day)
    yield found
    for carrier in found.carriers:
        carrier.close()


def test_a_second_window_follows_and_marks_nothing(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    assert theirs.following
    assert not ours.following
    assert theirs.message == following.FOLLOWS.format(key="T")
    assert theirs.marks == ours.marks
    bench.clock.move(100)
    assert not two.done(FILL, 1)
    assert theirs.message == "Not marked: " + following.FOLLOWS.format(key="T")
    assert two.take_back() == 0
    assert one.done(FILL, 1)
    assert theirs.marks != ours.marks
    two.look_for_marks()
    assert theirs.marks == ours.marks
    assert theirs.state() == ours.state()
    one.tick(SET, 1, Item(own="Rims clean"))
    one.take_back(2)
    two.look_for_marks()
    assert theirs.marks == ours.marks
    assert len(theirs.marks) == 5
    assert theirs.state() == ours.state()
    assert theirs.run is not None
    two.end(theirs.run)
    assert theirs.run is not None, "only who carries a run ends it"
    one.look_for_marks()
    assert not ours.following


def test_taking_over_turns_the_other_window_into_one_that_follows(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    bench.clock.move(60)
    assert one.done(FILL, 1)
    assert two.take_over()
    assert (theirs.following, theirs.message) == (False, following.TAKES)
    assert theirs.marks == ours.marks, "what was marked until then is there"
    assert two.done(SET, 1)
    assert not two.take_over()
    one.look_for_marks()
    assert (ours.following, ours.message) == (True, following.TAKEN.format(key="T"))
    assert ours.marks == theirs.marks
    assert not one.done(SET, 1)
    assert one.take_over()
    two.look_for_marks()
    assert theirs.following


def test_a_mark_made_before_the_taking_over_was_seen_is_refused_and_said(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    assert two.take_over()
    assert not one.done(FILL, 1)
    assert ours.following
    assert ours.message == f"Not marked: {following.TAKEN.format(key='T')}"
    assert ours.run is not None
    assert two.book.marks(ours.run) == theirs.marks
    two.done(FILL, 1)
    one.look_for_marks()
    assert ours.marks == theirs.marks


def test_a_window_opened_before_the_start_finds_the_run_and_starts_no_other(bench: Bench) -> None:
    one, ours = bench.window()
    two, theirs = bench.window()
    one.begin()
    assert one.done(ON, 1)
    assert theirs.offer is None
    two.begin()
    assert theirs.run is None
    assert theirs.message == following.BEGUN
    assert theirs.offer == (ours.run, ours.marks)
    assert len(one.book.runs()) == 1
    two.go_on(*theirs.offer)
    assert theirs.following
    assert theirs.marks == ours.marks
    assert two.take_over()
    assert ours.run is not None
    two.end(ours.run)
    assert theirs.day is not None
    theirs.planned(theirs.day, bench.plan)
    two.begin()
    assert len(two.book.runs()) == 2, "once it has ended, the next one starts"


def test_rehearsals_in_two_windows_do_not_meet(bench: Bench) -> None:
    windows = [bench.window(60.0), bench.window(60.0), bench.window()]
    for carrier, session in windows:
        carrier.begin()
        assert session.run is not None


def test_who_follows_is_told_once_that_the_other_program_has_died(bench: Bench) -> None:
    (one, _), (two, theirs) = bench.two()
    two.look_for_marks()
    assert theirs.message == following.FOLLOWS.format(key="T")
    for window in one.book._windows.values():
        assert window._lock is not None
        window._lock.close()  # as the system does it, whichever way a program ends
    two.look_for_marks()
    assert theirs.message == following.CLOSED.format(key="T")
    theirs.tell("")
    two.look_for_marks()
    assert theirs.message == "", "said once"
    assert not two.done(FILL, 1)
    assert theirs.message == "Not marked: " + following.CLOSED.format(key="T")
    assert two.take_over()
    two.look_for_marks()
    assert theirs.message == following.TAKES


def test_a_window_that_closes_or_ends_the_run_is_said(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    one.close()
    two.look_for_marks()
    assert theirs.message == following.CLOSED.format(key="T")
    assert two.take_over()
    third, shown = bench.window()
    assert shown.offer is not None
    third.end(shown.offer[0])
    assert shown.message == following.END_THERE
    assert shown.offer is not None
    third.go_on(*shown.offer)
    assert theirs.run is not None
    two.end(theirs.run)
    assert theirs.run is None
    third.look_for_marks()
    assert shown.run is None
    assert shown.message == following.ENDED
    assert bench.window()[1].offer is None
    assert ours.run is not None, "a closed window looks at nothing"


def test_what_was_marked_between_the_offer_and_going_on_is_there(bench: Bench) -> None:
    one, ours = bench.window()
    one.begin()
    two, theirs = bench.window()
    assert theirs.offer is not None
    assert theirs.offer[1] == ()
    one.done(ON, 1)
    two.go_on(*theirs.offer)
    assert theirs.marks == ours.marks
    assert len(theirs.marks) == 1


def test_a_rehearsal_that_is_followed_never_stands_before_its_last_mark(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two(60.0)
    before = theirs.now_s()
    clock = ours._run_clock
    assert isinstance(clock, ManualClock)
    clock.move(500)
    one.done(FILL, 1)
    assert theirs.now_s() == before
    two.look_for_marks()
    assert theirs.now_s() == ours.now_s() == 500


def test_a_run_that_is_complete_is_complete_in_both(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    beads_are_dry(one, ours)
    while not ours.done:
        bench.clock.move(3600)
        assert one.done(ours.possible()[0], 1)
    two.look_for_marks()
    assert theirs.done
    assert theirs.run == ours.run
    one.take_back()
    two.look_for_marks()
    assert not theirs.done


def test_a_book_that_cannot_be_read_stops_nobody(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    (_, ours), (two, theirs) = bench.two()

    def broken(*_: object) -> bool:
        raise BenchplanError(Problem("The disk is gone."))

    with monkeypatch.context() as patched:
        for name in ("changed_elsewhere", "hold", "held_elsewhere"):
            patched.setattr(BenchBook, name, broken)
        two.look_for_marks()
        assert theirs.message == "The disk is gone."
        assert not two.take_over()
        third, shown = bench.window()
        assert shown.offer is not None
        third.go_on(*shown.offer)
        assert shown.message == "Can't resume the run: The disk is gone."
        assert shown.run is None
    assert theirs.following
    assert two.take_over()
    assert ours.run == theirs.run


def test_a_run_that_cannot_be_marked_is_shown_until_it_can(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, ours = bench.window()
    one.begin()
    assert one.done(ON, 1)
    one.close()
    two, theirs = bench.window()
    assert theirs.offer is not None

    def full(*_: object) -> bool:
        raise BenchplanError(Problem("The disk is full.", "Free some space."))

    with monkeypatch.context() as patched:
        patched.setattr(BenchBook, "hold", full)
        two.go_on(*theirs.offer)
        assert theirs.marks == ours.marks
        state = theirs.state()
        assert state is not None
        assert state.hot, "what is hot can be seen"
        assert "The disk is full. Free some space. The run is shown, but nothing" in theirs.message
        assert not two.done(FILL, 1)
        assert "The disk is full." in theirs.message, "no other window carries it"
        assert not two.take_over()
        assert "The disk is full." in theirs.message
    assert two.take_over()
    assert two.done(FILL, 1)


def test_a_book_that_could_only_be_read_is_opened_anew_to_take_over(bench: Bench) -> None:
    one, _ = bench.window()
    one.begin()
    one.close()
    two, theirs = bench.window()
    two.book.only_read = True
    before = two.book
    before._ask("PRAGMA query_only = ON")
    assert theirs.offer is not None
    two.go_on(*theirs.offer)
    assert theirs.following
    assert two.take_over(), theirs.message
    assert two.book is not before


@pytest.mark.parametrize("what", ["hold", "stop", "abort"])
def test_a_mark_that_is_kept_is_never_said_to_be_lost(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    carrier, session = bench.window()
    carrier.begin()
    run = session.run
    assert run is not None

    def full(*_: object) -> None:
        raise BenchplanError(Problem("The disk is full.", "Free some space, then do it again."))

    with monkeypatch.context() as patched:
        patched.setattr(BenchBook, "end_run", full)
        assert carrier.mark(what)
        assert session.message.startswith("What you marked is kept.")
    assert [mark.what for mark in carrier.book.marks(run)] == [what]
    assert carrier.book.run(run.number).state == "running"
    assert carrier.mark("reading", ON, amount=100)
    assert session.run is not None
    assert carrier.book.run(run.number).state == session.run.state != "running"


def test_a_damaged_book_is_set_aside_and_said_and_the_day_runs(bench: Bench) -> None:
    folder = home()
    folder.mkdir(exist_ok=True)
    (folder / FILE).write_bytes(b"no book at all " * 400)
    carrier, session = bench.window()
    assert "The bench book was damaged. It is kept as" in session.message
    carrier.begin()
    assert session.run is not None
    assert carrier.done(ON, 1)
    assert carrier.book.marks(session.run) == session.marks
    assert (folder / "bench_book.damaged.sqlite").is_file()


def test_the_key_that_takes_over_is_named_as_the_maker_renamed_it(bench: Bench) -> None:
    _, (two, theirs) = bench.two()
    assert theirs.day is not None
    theirs.use(Settings(keys={"take_over": ("x",)}))
    assert not two.done(FILL, 1)
    assert theirs.message == "Not marked: Another window controls this run. Take over here: X."


@pytest.mark.parametrize("what", ["stop", "abort"])
def test_who_follows_sees_a_run_stopped_and_that_it_is_taken_back(bench: Bench, what: str) -> None:
    (one, _), (two, theirs) = bench.two()
    assert one.mark(what)
    two.look_for_marks()
    state = theirs.state()
    assert state is not None
    assert (state.ending, state.complete) == (what, True)
    assert theirs.done
    assert one.take_back() == 1
    two.look_for_marks()
    state = theirs.state()
    assert state is not None
    assert (state.ending, state.complete) == ("", False)
    assert not theirs.done
    assert theirs.following


def test_who_follows_is_told_that_a_run_which_was_being_stopped_was_put_away(bench: Bench) -> None:
    (one, ours), (two, theirs) = bench.two()
    beads_are_dry(one, ours)
    while "load" not in {mark.action.what for mark in ours.marks if mark.action}:
        bench.clock.move(600)
        assert one.done(ours.possible()[0], 1)
    assert one.mark("stop")
    two.look_for_marks()
    assert theirs.run is not None
    assert not theirs.done
    assert ours.run is not None
    one.end(ours.run)
    two.look_for_marks()
    assert theirs.run is None
    assert theirs.message == following.ENDED
