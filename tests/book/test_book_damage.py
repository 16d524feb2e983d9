"""A bad byte or value in the book is said in a sentence, and costs no more than it has to."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from benchplan.book import BenchBook
from benchplan.book.connection import FILE
from benchplan.errors import BenchplanError
from benchplan.model import Action, Mark
from benchplan.model.record import Correction

START = datetime(2026, 12, 5, 9, tzinfo=UTC)
MARK = Mark("done", 190, 200, Action("fill", (3,)))

Opener = Callable[[Path], BenchBook]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with two of everything in it, in one file."""
    folder = tmp_path_factory.mktemp("whole")
    book = BenchBook.open(folder)
    for name in ("Fair", "Market"):
        run = book.start_run(name, f"{name}.toml", START, "day", "plan")
        book.add_mark(run, MARK)
        book.add_mark(run, MARK)
        book.add_correction(run, Correction(1, "time", "190", "200", "late", START))
        book.add_correction(run, Correction(1, "time", "200", "210", "later", START))
        book.add_jar(name, date(2026, 11, 20))
        book.remember_file(name, name, START)
    book._ask("PRAGMA wal_checkpoint(TRUNCATE)")
    book.close()
    return folder / FILE


@pytest.fixture
def open_book() -> Iterator[Opener]:
    opened = []

    def open_one(folder: Path) -> BenchBook:
        opened.append(BenchBook.open(folder))
        return opened[-1]

    yield open_one
    for book in opened:
        book.close()


def test_one_bad_byte_in_the_first_page_ends_nothing(whole: Path, tmp_path: Path) -> None:
    good, refused = whole.read_bytes(), []
    for at in (*range(100), *range(100, 4096, 31)):
        for bad in {0xFF, good[at] ^ 1} - {good[at]}:
            folder = tmp_path / f"{at} {bad}"
            folder.mkdir()
            (folder / FILE).write_bytes(good[:at] + bytes([bad]) + good[at + 1 :])
            try:
                book = BenchBook.open(folder)
            except BenchplanError as error:
                refused.append((at, "written by a newer benchplan" in str(error)))
                continue
            aside = folder / "bench_book.damaged.sqlite"
            assert aside.exists() == ("was damaged" in book.notice)
            assert len(book.runs()) == (0 if aside.exists() else 2)
            book.start_run("Next", "", START, "day", "plan")
            book.close()
            shutil.rmtree(folder)
    # The last byte of the version: one that is a little later cannot be told from damage.
    assert {*refused} <= {(63, True)}


TABLES = {
    "runs": ("start", "speed", "state", "finished_s", "name", "day_text"),
    "marks": ("what", "happened_s", "entered_s", "action", "trays", "turn", "person", "amount"),
    "corrections": ("mark", "field", "old", "entered"),
    "recent": ("name", "opened"),
    "jars": ("scent", "started", "note"),
}
BAD = ("X'ff'", "'x'", "1e300", "-9223372036854775807", "'[[1]]'", "CAST(X'46ff' AS TEXT)")


def counts(book: BenchBook) -> dict[str, int]:
    """Return how much of each table can be read."""
    runs = book.runs()
    return {
        "runs": len(runs),
        "marks": sum(len(book.marks(number)) for number in (1, 2)),
        "corrections": sum(len(book.corrections(number)) for number in (1, 2)),
        "recent": len(book.recent_files()),
        "jars": len(book.jars()),
    }


@pytest.mark.parametrize(
    ("table", "column"), [(table, column) for table, all_of in TABLES.items() for column in all_of]
)
def test_a_row_with_an_unreadable_value_is_left_out_and_said(
    whole: Path, tmp_path: Path, open_book: Opener, table: str, column: str
) -> None:
    told_once = False
    for number, bad in enumerate(BAD):
        folder = tmp_path / str(number)
        folder.mkdir()
        shutil.copy(whole, folder)
        with closing(sqlite3.connect(folder / FILE, isolation_level=None)) as raw:
            before = raw.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            first = "(run, number) = (1, 1)" if table in ("marks", "corrections") else "rowid = 1"
            first = "path LIKE '%Fair'" if table == "recent" else first
            raw.execute(f"UPDATE {table} SET {column} = {bad} WHERE {first}")
        book = open_book(folder)
        assert book.notice == "", "the rest of the book is sound"
        told: list[str] = []
        book.tell = told.append
        found = counts(book)
        lost = before - found.pop(table)
        assert lost in (0, 1)  # some of these are values of the column's own kind
        assert set(found.values()) <= {2, 4}, "every other table is as it was"
        assert len(told) == lost
        assert all("can't be read" in sentence for sentence in told)
        counts(book)
        assert len(told) == lost, "it is said once"
        told_once = told_once or bool(told)
        if table == "runs" and lost:
            with pytest.raises(BenchplanError, match="Run 1 can't be read"):
                book.run(1)
            assert book.run(2).name == "Market"
            assert book.open_run("Market.toml") == book.run(2)
            assert book.open_run("Fair.toml") is None
    assert told_once


def test_a_missing_value_costs_its_row_only(whole: Path, tmp_path: Path, open_book: Opener) -> None:
    shutil.copy(whole, tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as raw:
        raw.execute("PRAGMA writable_schema = ON")
        raw.execute("UPDATE sqlite_master SET sql = replace(sql, 'NOT NULL', '')")
    with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as raw:
        raw.execute("UPDATE runs SET start = NULL WHERE number = 1")
    with closing(sqlite3.connect(whole)) as good:
        texts = good.execute("SELECT sql, name FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as raw:
        raw.execute("PRAGMA writable_schema = ON")
        raw.executemany("UPDATE sqlite_master SET sql = ? WHERE name = ?", texts)
    book = open_book(tmp_path)
    assert book.notice == ""
    assert [run.name for run in book.runs()] == ["Market"]


@pytest.mark.parametrize("journal", ["DELETE", "WAL"])
@pytest.mark.parametrize("application", [0, 77])
def test_another_programs_database_is_left_alone(
    tmp_path: Path, journal: str, application: int
) -> None:
    with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as other:
        other.execute(f"PRAGMA journal_mode = {journal}")
        other.execute(f"PRAGMA application_id = {application}")
        other.execute("PRAGMA user_version = 1")
        other.execute("CREATE TABLE runs (kilometres REAL)")
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(BenchplanError, match="of another program: it is left as it is") as caught:
        BenchBook.open(tmp_path)
    assert "Move it out" in str(caught.value)
    assert (tmp_path / FILE).read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == [FILE]


def test_a_pipe_where_the_book_should_be_is_a_sentence(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / FILE)
    with pytest.raises(BenchplanError, match="is not a file"):
        BenchBook.open(tmp_path)
