"""Book: past runs as they were, rehearsals marked, and times learned from real runs."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import example_day
import pytest
from page_app import opened

from benchplan.book import BenchBook
from benchplan.papers.plan_json import plan_to_dict

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


async def test_a_book_that_cannot_be_opened_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "file"))
    async with opened("book") as it:
        await it.until(lambda: str(tmp_path / "file") in it.text.replace("\n", ""))
