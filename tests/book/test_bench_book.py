"""The bench book keeps what it is given, and says in sentences when it cannot."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from benchplan.book import BenchBook, home
from benchplan.errors import BenchplanError
from benchplan.model import Action, Mark, Run
from benchplan.model.ids import Item, ItemId, MarkKind, Reason
from benchplan.model.record import Correction
from benchplan.model.run import RUN_STATES

START = datetime(2026, 12, 5, 9, tzinfo=timezone(timedelta(hours=1)))
FILL = Action("fill", (3,))
DONE = Mark("done", 190, 200, FILL, person=2)


Opener = Callable[[Path], BenchBook]


@pytest.fixture
def open_book() -> Iterator[Opener]:
    """Open books, and close them all at the end."""
    opened = []

    def open_one(folder: Path) -> BenchBook:
        opened.append(BenchBook.open(folder))
        return opened[-1]

    yield open_one
    for book in opened:
        book.close()


def begin(book: BenchBook, file: str | Path = "fair.toml", rehearsal: bool = False) -> Run:
    return book.start_run("Fair", file, START, "day", "plan", rehearsal, 60.0 if rehearsal else 1.0)


def test_what_is_written_is_read_back_equal(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    assert book.notice == ""
    run = begin(book)
    assert run.start == START
    assert run.start.tzinfo is UTC
    marks = (
        DONE,
        Mark("tick", 210, 210, Action("load", (1, 2), "counter"), Item(own="Mitts on")),
        Mark("tick", 215, 215, FILL, Item(ItemId.BEADS_DRY, "Crème 冬")),
        Mark("done", 216, 216, FILL, reason=Reason.CHECKED_COOL),
        Mark("done", 220, 230, Action("preheat", (), "counter", 2)),
        Mark("take back", 240, 240, takes_back=1),
        Mark("reading", 250, 250, Action("load", (1, 2), "counter"), amount=166.5),
        Mark("scrapped", 260, 270, Action("pack", (1,)), amount=2, note="dropped; née Crème 冬"),
    )
    kept = tuple(book.add_mark(run, mark) for mark in marks)
    assert kept == tuple(replace(mark, number=at) for at, mark in enumerate(marks, start=1))
    book.close()
    again = open_book(tmp_path)
    assert again.run(run.number) == run
    assert again.marks(run) == again.marks(run.number) == kept
    assert again.end_run(run, "complete", 900) == replace(run, state="complete", finished_s=900)


def test_marks_are_counted_from_1_in_each_run(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    first, second = begin(book), begin(book)
    assert [book.add_mark(run, DONE).number for run in (first, second, first)] == [1, 1, 2]
    assert [run.number for run in book.runs()] == [second.number, first.number]
    assert len(book.runs(1)) == 1


def test_a_take_back_names_a_mark_and_never_a_take_back(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    book.add_mark(run, DONE)
    book.add_mark(run, Mark("take back", 0, 0, takes_back=1))
    for number, why in ((2, "is itself a take-back"), (7, "is not in the book")):
        with pytest.raises(BenchplanError, match=f"Mark {number} {why}"):
            book.add_mark(run, Mark("take back", 0, 0, takes_back=number))
    assert len(book.marks(run)) == 2


def test_a_run_to_go_on_with_is_the_newest_of_its_file_and_kind(
    tmp_path: Path, open_book: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    book = open_book(tmp_path / "home")
    assert book.open_run("fair.toml") is None
    old, new = begin(book), begin(book)
    tried = begin(book, rehearsal=True)
    begin(book, "other.toml")
    assert book.open_run(tmp_path / "fair.toml") == new
    assert book.open_run("fair.toml", rehearsal=True) == tried
    book.end_run(new, "stopped")
    assert book.open_run("fair.toml") == old
    held = book.end_run(old, "held")
    assert book.open_run("fair.toml") == held
    book.end_run(old, "complete", 10)
    assert book.open_run("fair.toml") is None


def test_every_kind_of_mark_and_every_state_can_be_kept(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    book.add_mark(run, DONE)
    for what in MarkKind:
        kept = book.add_mark(run, Mark(what, 1, 2, takes_back=1, amount=0.5, note="why"))
        assert book.marks(run)[-1] == kept
    for state in RUN_STATES:
        assert book.end_run(run, state).state == state
    with pytest.raises(ValueError, match="never 'lost'"):
        book.end_run(run, "lost")


def test_a_run_of_a_file_that_has_moved_is_found_by_the_files_name(
    tmp_path: Path, open_book: Opener
) -> None:
    book = open_book(tmp_path)
    here = tmp_path / "fair.toml"
    moved = begin(book, tmp_path / "old" / "fair.toml")
    assert book.open_run(here) == moved
    assert book.open_run(tmp_path / "other.toml") is None
    (tmp_path / "old").mkdir()
    (tmp_path / "old" / "fair.toml").touch()
    assert book.open_run(here) is None, "that file is still where it was"
    own = begin(book, here)
    begin(book, tmp_path / "gone" / "fair.toml")
    assert book.open_run(here) == own
    with book._change() as raw:
        raw.execute("UPDATE runs SET state = 'stopped'")
        raw.execute(
            "UPDATE runs SET state = 'running', file = 'C:\\days\\fair.toml' WHERE number = 1"
        )
    found = book.open_run(here)
    assert found is not None
    assert found.number == 1


def test_corrections_are_counted_from_1_in_each_run(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    first, second = begin(book), begin(book)
    late = Correction(3, "time", "190", "250", "the wall clock", START)
    name = Correction(0, "name", "1", "Rui", "", START)
    kept = [book.add_correction(run, each) for run, each in (
        (first, late), (second, name), (first, name)
    )]  # fmt: skip
    assert [each.number for each in kept] == [1, 1, 2]
    assert book.corrections(first) == (kept[0], kept[2])
    assert book.corrections(second.number) == (kept[1],)
    with pytest.raises(BenchplanError, match="cannot be used"):
        book.add_correction(12, late)


def test_recent_files_the_latest_first_and_each_once(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    for minute, name in enumerate(("a", "b", "a")):
        book.remember_file(tmp_path / name, name.upper(), START + timedelta(minutes=minute))
    found = book.recent_files()
    assert [Path(each.path).name for each in found] == ["a", "b"]
    assert found[0].opened == START + timedelta(minutes=2)


def test_jars_and_fits(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    late = book.add_jar("Cedar", date(2026, 11, 20), "blue lid")
    early = book.add_jar("Sea fennel", date(2026, 11, 1))
    assert book.jars() == (early, late)
    book.remove_jar(early.number)
    assert book.jars() == (late,)
    assert book.known_fits() == ()
    book.keep_fit("a", {"count": 8, "at_mm": [[1.5, 2.5]]})
    book.keep_fit("a", {"count": 9})
    assert book.known_fits() == (("a", {"count": 9}),)


def test_a_commit_is_synced_to_the_disk(tmp_path: Path, open_book: Opener) -> None:
    # sqlite.org/pragma.html#pragma_synchronous: 2 is FULL, which in log mode syncs every commit
    book = open_book(tmp_path)
    assert book._ask("PRAGMA synchronous") == [(2,)]
    assert book._ask("PRAGMA journal_mode") == [("wal",)]


def test_marks_from_many_threads_get_numbers_in_order_without_a_gap(
    tmp_path: Path, open_book: Opener
) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    numbers: list[int] = []

    def write() -> None:
        numbers.extend(book.add_mark(run, DONE).number for _ in range(10))

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(numbers) == [mark.number for mark in book.marks(run)] == list(range(1, 41))


def test_two_open_books_see_each_other(tmp_path: Path, open_book: Opener) -> None:
    one, two = open_book(tmp_path), open_book(tmp_path)
    run = begin(one)
    assert two.add_mark(run, DONE).number == 1
    assert one.add_mark(run, DONE).number == 2
    assert two.marks(run) == one.marks(run)


@pytest.mark.parametrize("how", ["not a database", "cut", "overwritten"])
def test_a_damaged_book_is_set_aside_and_said(tmp_path: Path, open_book: Opener, how: str) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    for _ in range(400):
        book.add_mark(run, DONE)
    book._ask("PRAGMA wal_checkpoint(TRUNCATE)")
    book.close()
    path = tmp_path / "bench_book.sqlite"
    whole = path.read_bytes()
    damaged = {
        "not a database": b"these are my notes, not a book " * 40,
        "cut": whole[: len(whole) // 2],
        "overwritten": whole[:200] + b"\xff" * (len(whole) - 400) + whole[-200:],
    }[how]
    path.write_bytes(damaged)
    again = open_book(tmp_path)
    assert "was damaged" in again.notice
    assert str(tmp_path / "bench_book.damaged.sqlite") in again.notice
    assert (tmp_path / "bench_book.damaged.sqlite").read_bytes() == damaged
    assert again.runs() == ()
    begin(again)
    again.close()
    path.write_bytes(damaged)
    assert "damaged-2" in open_book(tmp_path).notice


def test_a_book_from_a_newer_version_is_refused_and_left_alone(
    tmp_path: Path, open_book: Opener
) -> None:
    book = open_book(tmp_path)
    begin(book)
    book._ask("PRAGMA user_version = 9")
    book.close()
    with pytest.raises(BenchplanError, match="written by a newer benchplan") as caught:
        open_book(tmp_path)
    assert "BENCHPLAN_HOME" in str(caught.value)
    with sqlite3.connect(tmp_path / "bench_book.sqlite") as raw:
        assert raw.execute("SELECT count(*) FROM runs").fetchone() == (1,)
    raw.close()


def test_a_folder_that_cannot_be_made_or_read_is_a_sentence(
    tmp_path: Path, open_book: Opener
) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BenchplanError, match=r"folder .* cannot be made") as caught:
        open_book(tmp_path / "file" / "below")
    assert "BENCHPLAN_HOME" in str(caught.value)
    (tmp_path / "bench_book.sqlite").mkdir()
    with pytest.raises(BenchplanError, match="cannot be opened for writing"):
        open_book(tmp_path)


def test_a_book_that_may_only_be_read_is_a_sentence(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    book._ask("PRAGMA query_only = ON")  # what a read-only disk answers, even to an administrator
    with pytest.raises(BenchplanError, match="cannot be opened for writing"):
        book.add_mark(run, DONE)
    book._ask("PRAGMA query_only = OFF")
    assert book.add_mark(run, DONE).number == 1


def test_a_full_disk_is_a_sentence_and_loses_nothing_that_was_marked(
    tmp_path: Path, open_book: Opener
) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    pages = book._ask("PRAGMA page_count")[0][0]
    book._ask(f"PRAGMA max_page_count = {pages + 1}")
    kept: list[Mark] = []

    def fill_the_disk() -> None:
        while len(kept) < 5000:
            kept.append(book.add_mark(run, replace(DONE, item=Item(own="x" * 200))))

    with pytest.raises(BenchplanError, match="disk is full"):
        fill_the_disk()
    assert kept
    assert book.marks(run) == tuple(kept)
    book._ask("PRAGMA max_page_count = 1000000")
    assert book.add_mark(run, DONE).number == len(kept) + 1


def test_a_book_held_by_another_program_is_a_sentence(tmp_path: Path, open_book: Opener) -> None:
    book = open_book(tmp_path)
    run = begin(book)
    book._ask("PRAGMA busy_timeout = 0")
    other = sqlite3.connect(tmp_path / "bench_book.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(BenchplanError, match="Another program holds"):
        book.add_mark(run, DONE)
    other.execute("ROLLBACK")
    other.close()
    assert book.add_mark(run, DONE).number == 1


def test_a_closed_book_and_a_run_that_is_not_there_are_sentences(
    tmp_path: Path, open_book: Opener
) -> None:
    book = open_book(tmp_path)
    with pytest.raises(BenchplanError, match="has no run 12"):
        book.run(12)
    with pytest.raises(BenchplanError, match="cannot be used"):
        book.add_mark(12, DONE)
    book.close()
    book.close()
    with pytest.raises(BenchplanError, match="cannot be used"):
        book.runs()


def test_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))
    assert home() == tmp_path
    monkeypatch.delenv("BENCHPLAN_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    assert home().name == "benchplan"
