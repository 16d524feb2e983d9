"""Book: past runs as they were, rehearsals marked, and times learned from real runs."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import example_day
import pytest
from page_app import opened

from benchplan.book import BenchBook
from benchplan.files import read_plan, snapshot
from benchplan.model import Action, Mark, Plan
from benchplan.model.stop import Iterations
from benchplan.papers.plan_json import plan_to_dict
from benchplan.planner import plan_day
from benchplan.screens.dialogs import Reading
from benchplan.screens.widgets.lines import Lines
from benchplan.views.jars import date_words
from benchplan.views.rows import plain

SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
DAY, PLAN = example_day.day(), example_day.plan()


@pytest.fixture(autouse=True)
def _own_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))


async def test_an_empty_book_says_how_to_fill_it() -> None:
    async with opened("book") as it:
        await it.until(lambda: "No run yet." in it.text)


async def test_runs_are_listed_with_planned_and_real_finish(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path)
    text = json.dumps(plan_to_dict(DAY, PLAN))
    first = book.start_run("Harbour fair", "", DAY.start - timedelta(days=7), "", text)
    book.end_run(first, "complete", 6800)
    trial = book.start_run("Trial", "", DAY.start - timedelta(days=3), "", text, True, 60)
    book.end_run(trial, "stopped")
    book.start_run("Torn", "", DAY.start - timedelta(days=1), "", "{not json")
    book.close()
    async with opened("book") as it:
        await it.until(lambda: "3 runs in the bench book" in it.text)
        assert "> Fri 4 Dec" in it.text
        assert "Sat 28 Nov  Harbour fair    10:40     10:53  12 min later" in it.text
        assert "REHEARSAL, stopped" in it.text
        assert "> Wed 2 Dec" in await it.press("down")


async def test_every_run_is_listed_and_counted(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path)
    text = json.dumps(plan_to_dict(DAY, PLAN))
    for at in range(130):
        run = book.start_run("Fair", "", DAY.start - timedelta(days=7 * at), "", text)
        book.end_run(run, "complete", PLAN.finish_s)
    book.close()
    async with opened("book") as it:
        await it.until(lambda: "130 runs in the bench book" in it.text)
        for _ in range(129):
            await it.pilot.press("down")
        assert f"> {date_words(DAY.start.date(), DAY.start.date())}" in await it.press("down")
        assert "as planned" in it.text


async def test_a_run_that_makes_no_sense_keeps_the_others_readable(tmp_path: Path) -> None:
    file = read_plan(SAMPLE)
    plan = plan_day(file.day, Iterations(1))
    assert isinstance(plan, Plan)
    book = BenchBook.open(tmp_path)
    text, day = json.dumps(plan_to_dict(file.day, plan)), snapshot(file, file.day)
    for plan_text in (text, text.replace('"standard"', '"stanDard"')):
        run = book.start_run("Fair", "", file.day.start, day, plan_text)
        book.add_mark(run, Mark("done", 5, 6, Action("preheat", (), "countertop")))
        book.add_mark(run, Mark("done", 60, 70, Action("fill", (1,))))
        book.end_run(run, "complete", 900)
    with book._change() as raw:
        raw.execute(
            "INSERT INTO runs SELECT 9, name, file, 'x', rehearsal, speed, state,"
            " finished_s, holder, day_text, plan_text FROM runs WHERE number = 1"
        )
    book.close()
    async with opened("book") as it:
        await it.until(lambda: "2 runs in the bench book" in it.text)
        assert "1 run can't be read" in it.app.session.message
        assert "fill" in it.text


async def test_one_bad_byte_in_the_first_page_is_said_in_the_band(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path)
    book.start_run("Fair", "", DAY.start, "", "")
    book._ask("PRAGMA wal_checkpoint(TRUNCATE)")
    book.close()
    damaged = bytearray(book.path.read_bytes())
    damaged[damaged.index(b"CREATE TABLE")] = 0xFF
    book.path.write_bytes(damaged)
    async with opened("book") as it:
        await it.until(lambda: "No run yet." in it.text)
        assert "The bench book was damaged. It is kept as" in it.app.session.message


async def test_a_book_that_cannot_be_opened_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "file"))
    async with opened("book") as it:
        await it.until(lambda: str(tmp_path / "file") in it.text.replace("\n", ""))


async def test_enter_reads_the_chosen_run_back_page_by_page(tmp_path: Path) -> None:
    file = read_plan(SAMPLE)
    plan = plan_day(file.day, Iterations(1))
    assert isinstance(plan, Plan)
    book = BenchBook.open(tmp_path)
    text = json.dumps(plan_to_dict(file.day, plan))
    run = book.start_run("First", "", file.day.start, snapshot(file, file.day), text)
    book.add_mark(run, Mark("done", 5, 6, Action("preheat", (), "countertop")))
    book.add_mark(run, Mark("take back", 9, 9, takes_back=1))
    book.start_run("Torn", "", file.day.start, "", "{not json")
    book.close()
    async with opened("book") as it:
        await it.until(lambda: "2 runs in the bench book" in it.text)
        await it.pilot.press("enter")
        await it.pilot.pause()
        assert "cannot be read back" in it.app.session.message
        await it.press("down")
        await it.pilot.press("enter")
        await it.until(lambda: isinstance(it.app.screen, Reading))
        shown = it.app.screen.query_one(".reading", Lines)
        assert "RUN 1: First" in plain(shown.rows)
        for _ in range(200):
            if "taken back by mark 2" in plain(shown.rows):
                break
            await it.pilot.press("down")
        assert "taken back by mark 2" in plain(shown.rows)
        await it.pilot.press("escape")
        await it.until(lambda: not isinstance(it.app.screen, Reading))


async def test_enter_in_an_empty_book_says_that_there_is_nothing_to_read() -> None:
    async with opened("book") as it:
        await it.until(lambda: "No run yet." in it.text)
        await it.pilot.press("enter")
        await it.pilot.pause()
        assert "no run to read" in it.app.session.message
