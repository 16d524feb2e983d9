"""The keys of the Bench, one by one, on the samples."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from screen_world import MORNING, SAMPLES, World, asked, world

from benchplan import planner
from benchplan.book import BenchBook
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.files import read_plan
from benchplan.model import Action
from benchplan.screens.bench import BenchScreen
from benchplan.screens.widgets.card import CardBox
from benchplan.views.bench import action_said

pytestmark = pytest.mark.usefixtures("home")


async def end(there: World) -> None:
    """Stop for today, then put the run away."""
    await there.press("e")
    await asked(there)
    await there.press("enter")
    await there.until(lambda: there.session.state().complete, "stopped, as nothing is hot")
    await there.press("e")
    await there.until(lambda: there.session.run is None, "ended")


async def until_baking(there: World) -> int:
    """Mark until a load bakes, and return the second at which it must come out."""
    while not any(hot.kind == "oven" for hot in there.state.hot):
        await there.mark()
    return next(hot.until_s for hot in there.state.hot if hot.kind == "oven")


async def test_cautions_come_before_the_first_run_on_a_kit_only(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("4", "enter")
        await asked(there)
        assert "Before the first run on this kit" in there.text()
        await there.press("escape")
        assert there.session.run is None
        await there.press("enter")
        await asked(there)
        assert "Enter More" in there.text()
        while "Enter More" in there.text():
            await there.press("enter")
            assert there.session.run is None  # not before the last line has been on the screen
        assert "practice decide" in there.text()
        assert "Enter I have read this: start" in there.text()
        await there.press("enter")
        await there.until(lambda: there.session.run, "begun")
        await there.quiet()
        await end(there)
        await there.planned()
        assert "Enter starts the real run" in there.text()
        await there.press("enter")
        await there.until(lambda: there.session.run, "begun again without cautions")


async def test_a_run_begun_in_a_small_window_is_whole_when_the_window_grows(
    first_tray: Path,
) -> None:
    async with world(first_tray, size=(60, 16)) as there:
        await there.begin()
        assert "Space ticks." in there.text()
        await there.pilot.resize_terminal(80, 24)
        await there.until(lambda: "After that" in there.text(), "what comes after, on the screen")


async def test_space_says_when_all_is_ticked(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        for _ in there.card.checklist:
            await there.press("space")
        assert there.on_card() == ""
        await there.press("space")
        assert there.on_card() == "All is ticked. Press Enter when it is done."


async def test_space_ticks_the_next_item(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        items = len(there.card.checklist)
        assert items > 1
        for ticked in range(1, items + 2):
            await there.press("space")
            await there.quiet()
            marks = [check.seen for check in there.card.checklist]
            assert marks == [True] * min(ticked, items) + [False] * max(0, items - ticked)
        assert len(there.session.marks) == items
        assert "[x] " in there.text()


async def test_done_earlier_asks_for_minutes(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.pass_time(600)
        action = there.card.action
        await there.press("d")
        await asked(there)
        await there.press("x", "enter")
        assert "Type how many minutes ago" in there.text()
        await there.press("backspace", "1", "1", "enter")
        assert "The run had not begun then" in there.text()
        await there.press("backspace", "backspace", "4", "enter")
        await there.until(lambda: there.session.marks, "marked")
        await there.quiet()
        mark = there.session.marks[0]
        assert (mark.action, mark.happened_s, mark.entered_s) == (action, 360, 600)


async def test_did_other_lists_what_may_be_done_now(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        possible = there.session.possible()
        assert len(possible) > 1
        await there.press("o")
        await asked(there)
        await there.press("down", "enter")
        assert "Test again: nothing is marked" in there.text()  # its scent was never handled yet
        await there.press("down", "enter")
        await there.until(lambda: len(there.session.marks) == 2, "marked")
        await there.quiet()
        assert [mark.what for mark in there.session.marks] == ["tick", "done"]
        assert {mark.action for mark in there.session.marks} == {possible[1]}


async def test_did_other_lists_what_reads_the_same_once(first_tray: Path) -> None:
    """Scents in turn, as their maker wants them: the scale is cleaned for the second one twice."""
    text = first_tray.read_text(encoding="utf-8")
    text = text.replace("people = 1 ", "keep_order = true\npeople = 1 ")
    text += '\n[[orders]]\nscent = "Moss"\nrecipe = "standard"\ntins = 14\n'
    for scent in ("Night garden", "Moss", "Night garden", "Moss"):
        text += f'\n[[trays]]\nscent = "{scent}"\nrecipe = "standard"\ntins = 7\n'
    first_tray.write_text(text, encoding="utf-8")
    async with world(first_tray, speed=60.0, size=(120, 40)) as there:
        await there.begin()
        said = [action_said(there.session.plan, each) for each in there.session.possible()]
        again = next(words for words in said if said.count(words) > 1)
        await there.press("o")
        await asked(there)
        listed = [
            line.strip(" │→0123456789") for line in there.text().splitlines() if again in line
        ]
        assert listed.count(again) == 1


async def test_a_taller_window_shows_more_of_what_comes_after() -> None:
    counts = []
    for size in ((80, 24), (120, 40)):
        async with world(SAMPLES / "winter_fair.toml", speed=60.0, size=size) as there:
            await there.begin()
            after = there.text().split("After that")[1].split("Finish")[0]
            counts.append(len([line for line in after.splitlines() if line.strip()]))
    assert counts == [3, 8]


async def test_an_order_is_not_asked_about_while_a_run_is_on(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("1", "enter")
        assert there.screen_name() == "orders"
        assert "A run is on" in there.text()


async def test_nothing_is_marked_by_a_question_that_is_left(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        for key in ("d", "o", "e"):
            await there.press(key)
            await asked(there)
            await there.press("escape")
        assert there.session.marks == ()
        assert there.session.run is not None


async def test_take_back_with_nothing_marked_says_so(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("u")
        assert "There is no mark to take back." in there.text()
        await there.press("space")
        assert "There is no mark" not in there.text()


async def test_tab_moves_to_the_other_persons_card_and_a_mark_goes_by_it() -> None:
    async with world(SAMPLES / "two_ovens.toml", speed=60.0, size=(120, 40)) as there:
        await there.begin()
        bench = there.app.screen
        assert isinstance(bench, BenchScreen)
        assert [card.display for card in bench.query(CardBox)] == [True, True]
        first = bench.focus_person()
        assert first == there.state.focus
        await there.press("tab")
        other = bench.focus_person()
        assert other != first
        focused = [card for card in bench.query(CardBox) if card.has_class("-focused")]
        assert len(focused) == 1
        await there.pass_time(60)
        while next(c for c in there.state.cards if c.person == other).action is None:
            await there.pass_time(30)
        await there.press("enter")
        assert "beads dry: nothing" in there.text()
        assert bench.focus_person() == other  # what the next key ticks is what was asked for
        await there.press("space", "enter")
        await there.until(lambda: len(there.session.marks) == 2, "marked")
        assert [mark.person for mark in there.session.marks] == [other, other]
        assert bench.focus_person() == there.state.focus


async def test_at_80_columns_one_card_is_whole_and_the_other_a_line() -> None:
    async with world(SAMPLES / "two_ovens.toml", speed=60.0) as there:
        await there.begin()
        bench = there.app.screen
        shown = [card.display for card in bench.query(CardBox)]
        assert sorted(shown) == [False, True]
        other = next(c for c in there.state.cards if c.person != there.state.focus)
        assert f"Person {other.person}: {other.words}"[:30] in there.text()


async def test_an_ovens_exit_is_announced_on_every_screen_and_above_questions(
    first_tray: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        due = await until_baking(there)
        rung: list[float] = []
        monkeypatch.setattr(there.app, "bell", lambda: rung.append(there.seconds[0]))
        await there.pass_time(due - 90 - there.state.now_s)
        assert rung == []
        await there.pass_time(35)
        assert len(rung) == 1
        for key in "123456":
            await there.press(key)
            assert "Mitts on" in there.text(), key
        await there.pass_time(1)
        assert len(rung) == 1
        await there.press("4", "o")
        await asked(there)
        assert "Mitts on" in there.text()
        await there.pass_time(due - there.state.now_s)
        assert len(rung) == 2
        assert "now" in there.text().splitlines()[0]
        for _ in range(25):
            await there.pass_time(1)
        assert 3 <= len(rung) <= 5
        assert "+0:25" in there.text()
        assert min(later - sooner for sooner, later in pairwise(rung[1:])) >= 9
        await there.press("escape")
        while there.card.action is None or there.card.action.what != "unload":
            await there.pass_time(1)
        await there.press("enter")
        await there.quiet()
        quiet = len(rung)
        await there.pass_time(15)
        assert len(rung) == quiet
        assert "Mitts on" not in there.text()


async def test_what_is_overdue_counts_up_while_the_finish_moves(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.mark()
        end, finish = there.card.end_s, there.state.finish_s
        for _ in range(40):
            await there.pass_time(60)
            await there.quiet()
        assert there.card.end_s == end
        assert there.state.finish_s > finish + 20 * 60
        assert "OVERDUE by" in there.text()


async def test_r_turns_the_day_into_a_rehearsal_and_back(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("4")
        assert "REHEARSAL" not in there.text()
        await there.press("r")
        for key in "123456":
            await there.press(key)
            assert "REHEARSAL 60x" in there.text(), key
        await there.press("4", "r")
        assert "REHEARSAL" not in there.text()
        await there.press("r")
        await there.begin()
        await there.press("r")
        assert there.session.rehearsal


async def test_the_day_stays_as_it_is_while_a_run_is_on(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        day = there.session.day
        await there.press("1", "plus")
        assert there.session.day is day
        assert "A run is on" in there.text()


async def test_saving_during_a_run_writes_the_day_as_it_was_planned(first_tray: Path) -> None:
    before = first_tray.read_text()
    async with world(first_tray) as there:
        there.clock.move(3600)
        await there.begin()
        await there.press("s")
        await there.quiet()
    assert first_tray.read_text() == before


async def test_a_run_that_was_ended_is_not_offered_again(first_tray: Path, home: Path) -> None:
    async with world(first_tray) as there:
        await there.begin()
        await there.mark()
        await end(there)
        await there.planned()
        assert there.session.day is there.session.file_day()
    async with world(first_tray) as there:
        await there.planned()
        assert there.session.offer is None
    book = BenchBook.open(home)
    assert [run.state for run in book.runs()] == ["stopped"]
    book.close()


async def test_a_mark_that_cannot_be_written_is_not_shown(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        before = there.state.done
        there.app.runs.book.close()
        await there.press("enter")
        await there.quiet()
        assert "Not marked" in there.text()
        assert there.session.marks == ()
        assert there.state.done == before


async def test_a_run_that_another_window_carries_is_followed_and_taken_over(
    first_tray: Path,
) -> None:
    async with world(first_tray) as there:
        await there.begin()
        session = there.session
        other = Carrier(Session(there.clock))
        plan_file = read_plan(first_tray)
        other._session.open_file(plan_file)
        other._session.planned(plan_file.day, planner.plan_day(plan_file.day))
        other.look_for_unfinished()
        assert other._session.offer is not None
        other.go_on(*other._session.offer)
        assert other.take_over()
        await there.pass_time(2)
        assert session.following
        assert "T Take over" in there.text().splitlines()[-2]
        await there.press("enter")
        assert session.marks == ()
        assert other.done(Action("preheat", (), "countertop"), 1)
        await there.pass_time(2)
        assert len(session.marks) == 1  # what the other window marks is shown here
        await there.press("t")
        assert not session.following
        assert "This window controls the run now." in there.text()
        other.close()


async def test_the_page_says_which_of_the_two_starts_and_another_date_is_asked_about(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0, at=MORNING - timedelta(days=7)) as there:
        await there.planned()
        await there.press("4")
        assert "Enter starts the rehearsal" in there.text()
        assert "Enter Start rehearsal" in there.text()
        await there.begin()
        await there.press("e", "down", "enter", "enter")  # aborted
        await there.until(lambda: there.session.done, "aborted")
        await there.press("e", "r")  # put away, and then the real run
        await there.planned()
        assert there.session.speed == 1
        assert "Enter starts the real run" in there.text()
        assert "Enter Start real run" in there.text()
        await there.press("enter")
        await asked(there)
        assert "Start a real run on another date?" in there.text()
        assert "today is" in there.text()
        await there.press("escape")
        await there.quiet()
        assert there.session.run is None
        await there.press("enter", "enter")
        await there.until(lambda: there.session.run, "begun")
        assert not there.session.rehearsal


async def test_leaving_after_an_abort_does_not_say_that_a_run_is_on(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("e", "down", "enter", "enter")
        await there.until(lambda: there.session.done, "aborted")
        there.session.changed = True
        await there.press("q")
        await asked(there)
        assert "Leave without saving?" in there.text()
        assert "A run is on" not in there.text()
        there.session.changed = False
        await there.press("escape", "q")
        assert there.app._exit
