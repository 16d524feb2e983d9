"""A day told line by line: what is said when, what a typed word does, and how it is left."""

from __future__ import annotations

import os
import re
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from plain_world import SAMPLES, START, baking, day_of, other_window, own, told

from benchplan import live
from benchplan.book import BenchBook
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.following import BEGUN
from benchplan.carrying.safety import LOOKED_AT
from benchplan.home.log_file import log_path
from benchplan.model import Action, Mark, standing
from benchplan.model.ids import Item, ItemId
from benchplan.model.run_words import item_words
from benchplan.plain.hearing import Hearing
from benchplan.plain.news import REPEAT_S, News
from benchplan.plain.typed import HELP
from benchplan.views.bench import OVENS_OFF

TRAY = SAMPLES / "first_tray.toml"
DRY = item_words(Item(ItemId.BEADS_DRY, day_of(TRAY)[0].day.orders[0].scent))


def marks_in_book(path: Path = TRAY) -> list[str]:
    book = BenchBook.open()
    try:
        run = book.open_run(own(path)) or book.open_run(own(path), rehearsal=True)
        return [mark.what for mark in book.marks(run)] if run else []
    finally:
        book.close()


def test_a_run_that_is_begun_says_the_first_thing_to_do() -> None:
    person, session = told(TRAY, START)
    assert session.run is not None
    assert person.after("start begins")[0] == "The run is on."
    assert person.after("The run is on.")[0].startswith(
        "Now: Switch countertop on: set it to 330 °F."
    )
    assert person.heard[-1].startswith("Left. The run stays in the book")


def test_cautions_come_before_a_run() -> None:
    person, _ = told(TRAY)
    assert any("Only dry beads go in" in line for line in person.heard)


def test_done_is_in_the_book_and_the_next_thing_is_said() -> None:
    person, session = told(TRAY, START, (30, "done"))
    assert [mark.what for mark in session.marks] == ["done"]
    assert marks_in_book() == ["done"]
    assert person.after("Marked done: Switch countertop on.")[0].startswith("Now: Fill tray 1")


def test_done_some_minutes_ago_happened_then() -> None:
    _, session = told(TRAY, START, (400, "done 5 minutes ago"))
    assert [(mark.happened_s, mark.entered_s) for mark in session.marks] == [(100, 400)]


@pytest.mark.parametrize("line", ["done five", "done 5 6", "done 99999", "done 10"])
def test_done_with_minutes_that_cannot_be_says_what_would_do(line: str) -> None:
    person, session = told(TRAY, START, (60, line))
    assert session.marks == ()
    assert re.search("no number of minutes|had not begun", person.after("Now:")[0])


def test_ticks_go_down_the_checklist() -> None:
    person, session = told(TRAY, START, (5, "tick"), (5, "tick all"), (5, "tick"))
    items = [mark.item.own for mark in session.marks]
    assert items == ["Oven empty, vents open, nothing on top of it",
                     "Extinguisher at hand, way out clear"]  # fmt: skip
    assert "Everything is ticked." in person.heard


def test_any_number_of_marks_is_taken_back_in_order() -> None:
    person, session = told(
        TRAY, START, (5, "tick"), (5, "done"), (5, "tick"), (5, "done"), (5, "back 3"), (5, "yes")
    )  # fmt: skip
    ask = f"Take back 3 marks: Fill tray 1; {DRY}; Switch countertop on? yes does it, no does not."
    assert ask in person.heard
    assert [mark.what for mark in standing(session.marks)] == ["tick"]
    assert f"Taken back: Fill tray 1; {DRY}; Switch countertop on." in person.heard
    assert person.after("Taken back")[0].startswith("Now: Switch countertop on")


def test_something_else_is_done_by_its_number() -> None:
    person, session = told(TRAY, START, (5, "other"), (5, "2"), (5, "yes"))
    assert "Which was done? Type its number." in person.heard
    chosen = next(line for line in person.heard if line.startswith("2: "))
    asked = person.heard.index(f"First: {DRY}. yes: it is so. no: nothing is marked.")
    assert person.heard[asked + 1] == f"Ticked: {DRY}."
    assert person.heard[asked + 2] == f"Marked done: {chosen[3:]}"
    assert [mark.what for mark in session.marks] == ["tick", "done"]


def test_something_else_waits_for_what_must_be_seen_to_and_for_a_held_run_too() -> None:
    person, session = told(
        TRAY, START, (5, "other 2"), (5, "no"), (5, "other 2"), (5, "done"), (5, "hold"),
        (5, "other 2"), (5, "other 1"),
    )  # fmt: skip
    assert "Nothing marked." in person.heard
    assert [mark.what for mark in session.marks] == ["done", "hold"]
    assert session.marks[0].action == Action("preheat", (), "countertop")
    assert person.heard.count("It is held. Type on first, to go on.") >= 1


def test_words_of_somebody_who_left_are_taken_for_whoever_is_there(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TRAY.read_text().replace("people = 1 ", "people = 2 "))
    person, session = told(
        path, START, (5, "person 2"), (5, "goes"), (5, "tick all"), (5, "done"), (5, "person 2")
    )
    assert [mark.what for mark in session.marks if mark.what != "tick"] == ["person goes", "done"]
    assert session.marks[-1].person == 1
    assert "Here is person 1." in person.heard


@pytest.mark.parametrize("word", ["abort", "stop"])
def test_a_run_that_is_over_is_put_away_as_it_ended(word: str) -> None:
    person, _ = told(TRAY, START, (5, word), (5, "yes"), (60, "end"))
    assert not any("End this run?" in line for line in person.heard)
    book = BenchBook.open()
    (run,) = book.runs()
    book.close()
    assert (run.state, run.finished_s) == ("aborted" if word == "abort" else "stopped", 10)
    assert not any(line.startswith("Left.") for line in person.heard)


@pytest.mark.parametrize(
    "line", ["done {}", "back {}", "other {}", "person {}", "filled {}", "scrap {} of {} x",
             "longer {}", "away {}", "reading {}"],
)  # fmt: skip
def test_a_number_longer_than_any_is_read_by_nobody_and_stops_nothing(line: str) -> None:
    person, session = told(TRAY, START, (5, line.replace("{}", "9" * 5000)), (5, "hot"))
    assert "Nothing is hot." in person.heard
    assert session.marks == ()


def test_words_are_told_apart_by_any_blank() -> None:
    _, session = told(TRAY, START, (400, "done\t 5"))
    assert [(mark.happened_s, mark.entered_s) for mark in session.marks] == [(100, 400)]


def test_a_number_that_nothing_has_marks_nothing() -> None:
    person, session = told(TRAY, START, (5, "other 99"))
    assert "Nothing marked." in person.heard
    assert session.marks == ()


def test_an_unknown_word_says_what_would_do() -> None:
    person, session = told(TRAY, START, (5, "dnoe"), (5, "x y z"))
    assert '"dnoe" is no word here. Did you mean done? help lists the words.' in person.heard
    assert '"x y z" is no word here. help lists the words.' in person.heard
    assert session.marks == ()


def test_help_begins_each_line_with_the_word_to_type() -> None:
    person, _ = told(TRAY, (1, "help"))
    said = person.after("help lists the words")
    for word, line in zip(HELP, said, strict=False):
        assert re.match(rf"{word}[ :]", line), line


def test_what_was_just_asked_for_is_not_said_again() -> None:
    person, _ = told(TRAY, START, (60, "what"))  # at the second from which it is overdue
    overdue = [line for line in person.heard if line.startswith("Overdue since")]
    assert len(overdue) == 1


@pytest.mark.parametrize("word", [*HELP, "help", "", "again", "77", "yes", "\x00", "é" * 200])
def test_every_word_is_answered_with_a_run_and_without(word: str) -> None:
    for lines in ([(1.0, word)], [START, (5.0, word)]):
        person, _ = told(TRAY, *lines)
        assert not any("Internal error" in line for line in person.heard)
        assert all("\x1b" not in line and "\n" not in line for line in person.heard)


def test_hot_things_and_what_comes_next_are_said_when_asked() -> None:
    person, _ = told(TRAY, START, (5, "hot"), (1, "done"), (5, "hot"), (1, "next"))
    assert "Nothing is hot." in person.heard
    assert any(line.startswith("countertop: heating, ") for line in person.heard)
    assert any("actions done." in line and line.startswith("Finish ") for line in person.heard)


def test_what_must_be_seen_to_is_asked_before_it_is_done() -> None:
    person, session = told(TRAY, START, (5, "done"), (160, "done"))
    assert any(line.startswith(f"First: {DRY}. tick ticks it; if") for line in person.heard)
    assert [mark.what for mark in session.marks] == ["done"]


def test_how_a_tray_is_baked_is_asked_when_it_is_out() -> None:
    person, session = told(TRAY, *baking(), (430, "done"), (5, "1"))
    assert person.after("Marked done: Take tray 1 out")[0].startswith(
        "Tray 1: how baked? 1: no loose"
    )
    last = session.marks[-1]
    assert last.action is not None
    assert (last.what, last.item, last.action.what) == ("tick", LOOKED_AT, "unload")


def test_an_exit_is_an_alarm_once_before_it_and_at_intervals_from_then() -> None:
    person, session = told(TRAY, *baking(), (600, "hot"))
    load = next(mark for mark in session.marks if mark.action and mark.action.what == "load")
    assert load.entered_s
    alarms = [line for line in person.heard if line.startswith("Alarm")]
    assert alarms[0].startswith("Alarm. Mitts on: tray 1 will come out of countertop in 1 min")
    assert alarms[1].startswith("Alarm. Take tray 1 out of countertop now")
    assert any("Over-baked: take tray 1 out of countertop" in line for line in alarms)
    late = [int(found[1]) for line in alarms[2:] if (found := re.search(r"(\d+) s late", line))]
    assert all(0 < (after - before) % 60 <= REPEAT_S + 1 for before, after in pairwise(late))


def test_the_end_of_input_leaves_and_the_run_can_be_gone_on_with() -> None:
    told(TRAY, START, (30, "done"))
    begun = day_of(TRAY)[0].day.start
    person, session = told(TRAY, (0, "on"), begin=begun + timedelta(seconds=90))
    assert any("has not ended: 1 action marked done" in line for line in person.heard)
    assert person.after("on resumes it")[0] == "Going on."
    assert person.after("Going on.")[0].startswith("Now: Fill tray 1")
    assert session.now_s() == 90
    assert [mark.what for mark in session.marks] == ["done"]


def test_a_run_is_ended_after_a_question_only() -> None:
    told(TRAY, START, (5, "done"))
    person, session = told(TRAY, (5, "end"), (5, "no"), (5, "end"), (5, "yes"))
    assert "Not ended." in person.heard
    assert "Ended. What was marked stays in the book." in person.heard
    assert session.run is None


def test_a_run_that_goes_on_is_stopped_or_aborted_not_ended() -> None:
    person, session = told(TRAY, START, (5, "end"), (5, "yes"))
    assert any(line.startswith("stop finishes what is hot") for line in person.heard)
    assert session.run is not None


def test_what_has_only_just_come_by_itself_is_not_taken_for_what_is_done() -> None:
    day = day_of(TRAY)[0].day
    (bake_for_s,) = {recipe.bake_for_s for recipe in day.recipes.values()}
    soon = bake_for_s - 60
    person, session = told(TRAY, *baking(), (soon + 0.5, "done"), (2, "done"))
    assert "This has only just come: Take tray 1 out of countertop. Type done again" in "".join(
        person.heard
    )
    done = [mark for mark in session.marks if mark.action and mark.action.what == "unload"]
    assert [mark.entered_s for mark in done] == [759 + soon + 2]


def test_a_machine_that_slept_through_an_exit_says_both() -> None:
    person, session = told(TRAY, *baking(), (30, "sleep 900"), (5, "what"))
    (jump,) = [place for place, line in enumerate(person.heard) if "machine slept" in line]
    assert person.heard[jump].startswith("The machine slept from ")
    assert "What came due meanwhile shows as overdue" in person.heard[jump]
    assert "Over-baked: take tray 1 out of countertop" in person.heard[jump + 1]
    assert session.now_s() == 759 + 30 + 900 + 5


def test_a_clock_that_was_set_moves_no_countdown_and_is_said() -> None:
    person, session = told(TRAY, *baking(), (30, "set 3600"), (5, "what"))
    assert any(
        "The machine's clock was set forward by 1 h 00 min." in line for line in person.heard
    )
    assert not any("Over-baked: take" in line for line in person.heard)
    assert session.now_s() == 759 + 30 + 5


def test_a_clock_that_goes_as_it_should_is_not_spoken_of() -> None:
    person, _ = told(TRAY, *baking(), (30, "what"))
    assert not any("slept" in line or "was set" in line for line in person.heard)


def test_a_day_that_is_stopped_or_aborted_says_so_and_what_to_switch_off() -> None:
    person, session = told(TRAY, START, (60, "stop"), (1, "yes"))
    assert any(line.startswith("Stopped at ") for line in person.heard)
    assert session.run is not None
    assert session.run.state == "stopped"
    person, _ = told(TRAY, *baking(), (30, "abort"), (1, "yes"))
    said = person.after("Aborted: switch every oven off now.")
    assert said[0].startswith("Aborted at ")


def test_a_clumsy_maker_is_told_to_the_end_of_the_day() -> None:
    person, session = told(TRAY, (100_000, "leave"), speed=60.0, seed=3)
    assert session.run is not None
    assert session.run.state == "complete"
    assert session.run.rehearsal
    assert any(line.startswith("The maker: Done") for line in person.heard)
    assert any(line.startswith("The day is done at ") for line in person.heard)
    assert person.heard[-1] == "Switch every oven off, and stay until it is cool."


def test_nothing_is_looked_at_more_often_than_it_changes() -> None:
    person, _ = told(TRAY, START, (60, "what"), (5, "done"))
    assert all(wait >= 0 for wait in person.waits)
    assert len(person.waits) <= 65 / 5 + 8, "wakes only for what is due, or every five seconds"


def test_lines_come_out_of_a_pipe_as_they_are_typed_and_then_it_ends() -> None:
    ours, theirs = os.pipe()
    hear = Hearing(ours)
    os.write(theirs, "done\nné".encode()[:-1])
    assert hear(60) == "done"
    os.write(theirs, b"\xa9\r\nlast")
    assert hear(60) == "né\r"
    os.close(theirs)
    assert hear(60) == "last"
    with pytest.raises(EOFError):
        hear(60)
    os.close(ours)


def test_what_takes_long_is_called_overdue_once_and_after_a_minute() -> None:
    person, _ = told(TRAY, START, (5, "done"), (400, "next"))
    fills = [line for line in person.heard if "Fill tray 1" in line]
    assert [line.split(":")[0].split(" ")[0] for line in fills] == ["Now", "Overdue"]
    assert "by 1 min" in fills[1]


def test_after_the_last_bake_it_is_said_once_that_the_oven_is_to_go_off() -> None:
    plan_file, plan = day_of(TRAY)
    order = [each.action for each in live.actions(plan)]
    last = max(at for at, action in enumerate(order) if action.what == "unload")
    marks = tuple(
        Mark("done", 60 * at, 60 * at, action, number=at)
        for at, action in enumerate(order[: last + 1], 1)
    )
    news, heard = News(), []
    for upto in (last, last + 1, last + 1):
        state = live.state(plan_file.day, plan, marks[:upto], 60 * upto)
        heard.append(OVENS_OFF in news.lines(plan_file.day, plan, state, 0.0, True))
    assert heard == [False, True, False]


def test_a_run_that_another_window_carries_is_taken_over_by_a_word() -> None:
    other, _ = other_window(TRAY)
    person, mine = told(
        TRAY, (0, "take"), (0, "on"), (5, "take"), (5, "done"), (5, "take"), (5, "leave")
    )
    other.close()
    follows = person.heard.index("Another window controls this run. Take over here: take.")
    assert "This window controls the run now." in person.heard[follows:]
    assert "No other window controls this run." in person.heard[follows:]
    assert [mark.what for mark in mine.marks] == ["done"]


def test_a_real_run_on_another_date_is_asked_about_once() -> None:
    start = day_of(own(TRAY))[0].day.start
    week_before = start - timedelta(days=7)
    lines = [(0.0, "start"), (1.0, "no"), (1.0, "start"), (1.0, "yes")]
    person, session = told(TRAY, *lines, begin=week_before)
    asked = "Start a real run on another date? yes starts it, no does not."
    assert person.heard.count(asked) == 2
    assert "Not started." in person.heard
    assert f"today is {week_before:%a} {week_before.day}" in " ".join(person.heard)
    assert session.run is not None
    assert asked not in told(TRAY, START, begin=start - timedelta(hours=3))[0].heard
    assert asked not in told(TRAY, START, begin=week_before, speed=60.0)[0].heard


def test_a_day_that_another_window_started_meanwhile_is_not_started_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    other, _ = other_window(TRAY)
    # As where both were opened before either started.
    monkeypatch.setattr(Carrier, "look_for_unfinished", lambda _: None)
    person, mine = told(TRAY, START, (5, "on"), (5, "leave"))
    other.close()
    at = person.heard.index(BEGUN)
    assert "A run of this day has not ended: on resumes it, end ends it." in person.heard[at:]
    assert mine.following


def test_a_fault_in_a_typed_word_is_said_and_the_run_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def broken(*_: object, **__: object) -> bool:
        raise ZeroDivisionError("twelve by none")

    monkeypatch.setattr("benchplan.carrying.carrier.Carrier.done", broken)
    person, session = told(TRAY, START, (5, "done"), (5, "hot"), (5, "leave"))
    assert any("twelve by none" in line for line in person.heard)
    assert "ZeroDivisionError: twelve by none" in log_path().read_text(encoding="utf-8")
    assert "Nothing is hot." in person.heard
    assert session.run is not None
