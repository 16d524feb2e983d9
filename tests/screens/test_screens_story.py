"""Whole days at the Bench: from the first Enter to the day done, killed and gone on with."""

from __future__ import annotations

from pathlib import Path

import pytest
from screen_world import SAMPLES, World, world

from benchplan.book import BenchBook
from benchplan.model import standing


def in_book(home: Path) -> BenchBook:
    return BenchBook.open(home)


@pytest.mark.parametrize("name", ["first_tray", "winter_fair", "two_ovens"])
async def test_a_sample_day_rehearsed_to_its_end(home: Path, name: str) -> None:
    async with world(SAMPLES / f"{name}.toml", speed=60.0) as there:
        await there.begin()
        assert "REHEARSAL" in there.text()
        while not there.state.complete:
            await there.mark()
        await there.until(lambda: "The day is done." in there.text(), "the end on show")
        assert "rehearsal: nothing is learned" in there.text()
        run = there.session.run
        assert run is not None
        plan, day = there.session.base_plan, there.session.day
        assert plan is not None
        assert day is not None
        tins = sum(tray.tins for tray in plan.trays)
        assert tins == day.tins_wanted
        assert there.state.done == there.state.total
        assert there.state.finish_s <= plan.finish_s, "marked in time, a day ends as planned"
    book = in_book(home)
    kept = book.run(run.number)
    assert (kept.state, kept.rehearsal) == ("complete", True)
    assert kept.finished_s == there.state.finish_s
    book.close()


async def test_each_mark_is_in_the_book_before_the_screen_shows_it(
    home: Path, first_tray: Path
) -> None:
    async with world(first_tray) as there:
        await there.begin()
        book = in_book(home)
        for count in range(1, 6):
            await there.mark()
            run = there.session.run
            assert run is not None
            assert book.marks(run) == there.session.marks
            done = [mark for mark in standing(there.session.marks) if mark.what == "done"]
            assert len(done) == count
        book.close()


async def test_a_killed_run_goes_on_with_its_countdowns_right_by_the_clock(
    home: Path, first_tray: Path
) -> None:
    async with world(first_tray) as there:
        await there.begin()
        for _ in range(5):
            await there.mark()
        await there.pass_time(7)
        before, marks = there.state, there.session.marks
        instant = there.clock.now()
    async with world(first_tray, at=instant) as there:
        there.clock.move(20)
        await there.planned()
        await there.until(lambda: there.session.offer, "offered")
        await there.until(lambda: there.screen_name() == "bench", "on the Bench")
        await there.quiet()
        assert "is not complete: 5 actions marked done." in " ".join(there.text().split())
        await there.press("enter")
        await there.until(lambda: there.session.run, "gone on with")
        await there.quiet()
        assert there.session.marks == marks
        assert there.state.now_s == before.now_s + 20
        assert [hot.until_s for hot in there.state.hot] == [hot.until_s for hot in before.hot]
        assert there.card.action == next(
            card.action for card in before.cards if card.person == before.focus
        )
        await there.mark()
        assert there.session.marks[: len(marks)] == marks
        more = [mark for mark in there.session.marks[len(marks) :] if mark.what == "done"]
        assert len(more) == 1


async def test_a_rehearsal_goes_on_from_its_last_mark(home: Path, first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        for _ in range(4):
            await there.mark()
        entered = there.session.marks[-1].entered_s
    async with world(first_tray, speed=60.0) as there:
        there.clock.move(86_400)
        await there.planned()
        await there.until(lambda: there.session.offer, "offered")
        await there.press("4", "enter")
        await there.until(lambda: there.session.run, "gone on with")
        await there.quiet()
        assert there.state.now_s == entered
        assert "REHEARSAL" in there.text()


async def test_a_real_run_does_not_offer_a_rehearsal(home: Path, first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.mark()
    async with world(first_tray) as there:
        await there.planned()
        assert there.session.offer is None
        assert there.screen_name() == "orders"


async def test_a_real_run_is_anchored_at_the_moment_of_enter(home: Path, first_tray: Path) -> None:
    async with world(first_tray) as there:
        there.clock.move(1830)
        await there.begin()
        day, run = there.session.day, there.session.run
        assert day is not None
        assert run is not None
        assert day.start == there.clock.now().replace(microsecond=0)
        assert run.start == day.start
        assert there.state.now_s == 0
        own = there.session.file_day()
        assert own is not None
        assert own.start != day.start
        assert own.finish_by_s is not None
        assert day.finish_by_s is not None
        shift = (day.start - own.start).total_seconds()
        assert day.finish_by_s == own.finish_by_s - shift


async def take_back(there: World) -> None:
    await there.press("u")
    await there.quiet()


async def test_the_last_mark_can_be_taken_back_even_when_it_completed_the_day(
    home: Path, first_tray: Path
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        total = there.state.total
        while not there.state.complete:
            await there.mark(in_time=False)
        done = there.state.done
        assert done == total
        await take_back(there)
        assert not there.state.complete
        assert there.state.done == done - 1
        assert "Taken back" in there.text()
        book = in_book(home)
        run = there.session.run
        assert run is not None
        assert book.run(run.number).state == "running"
        assert book.marks(run)[-1].what == "take back"
        book.close()
        await there.mark()
        assert there.state.complete
