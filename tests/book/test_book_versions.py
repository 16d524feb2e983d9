"""A book of an older version is copied, brought up to date as a whole, or left as it was."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from benchplan.book import BenchBook, connection
from benchplan.book.connection import FILE
from benchplan.book.schema import APPLICATION, STEPS, VERSION
from benchplan.errors import BenchplanError
from benchplan.model import Action, Mark
from benchplan.model.ids import Item

SHIPPED = {1: "c871145756daf997"}  # the steps that people's books were made with
COPY = "bench_book.version-1.sqlite"
FILL = Action("fill", (3,))


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A book as the first version wrote it, with two runs in it."""
    with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as book:
        book.execute("PRAGMA journal_mode = WAL")
        for statement in STEPS[0]:
            book.execute(statement)
        book.execute(f"PRAGMA application_id = {APPLICATION}")
        book.execute("PRAGMA user_version = 1")
        for number, state in ((1, "complete"), (4, "running")):
            book.execute(
                "INSERT INTO runs VALUES (?, 'Fair', '', '2026-12-05T08:00:00+00:00', 'day',"
                " 'plan', 0, 1.0, ?, 900)",
                (number, state),
            )
        for row in (
            (4, 1, "done", 190, 200, "fill", "[3]", "", 1, "", 2, 0),
            (4, 2, "tick", 210, 210, None, "[]", "", 1, "Mitts on", 1, 0),
            (4, 3, "take back", 220, 220, None, "[]", "", 1, "", 1, 2),
        ):
            book.execute(f"INSERT INTO marks VALUES ({', '.join('?' * 12)})", row)
        book.execute("INSERT INTO jars (scent, started, note) VALUES ('Cedar', '2026-11-20', '')")
    return tmp_path


def rows(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as book:
        return list(book.iterdump())


def test_a_step_that_was_shipped_is_as_it_was() -> None:
    for number, digest in SHIPPED.items():
        text = "\n".join(" ".join(each.split()) for each in STEPS[number - 1])
        assert hashlib.sha256(text.encode()).hexdigest()[:16] == digest, "append a step instead"


def test_an_older_book_is_copied_and_brought_up_to_date(old: Path) -> None:
    before = rows(old / FILE)
    book = BenchBook.open(old)
    assert "older version" in book.notice
    assert str(old / COPY) in book.notice
    assert rows(old / COPY) == before
    assert [(run.number, run.state, run.finished_s) for run in book.runs()] == [
        (4, "running", 900),
        (1, "complete", 900),
    ]
    assert book.marks(4) == (
        Mark("done", 190, 200, FILL, person=2, number=1),
        Mark("tick", 210, 210, item=Item(own="Mitts on"), number=2),
        Mark("take back", 220, 220, takes_back=2, number=3),
    )
    assert [jar.scent for jar in book.jars()] == ["Cedar"]
    reading = Mark("reading", 300, 300, FILL, amount=158.5, note="by the door")
    assert book.add_mark(4, reading).number == 4
    assert book.start_run("Next", "", book.run(4).start, "", "").number == 5
    with pytest.raises(BenchplanError):
        book.add_mark(9, reading)  # there is no such run: what belongs together still does
    book.close()
    again = BenchBook.open(old)
    assert again.notice == ""
    assert again._ask("PRAGMA user_version") == [(VERSION,)]
    assert again._ask("PRAGMA application_id") == [(APPLICATION,)]
    assert again._ask("PRAGMA foreign_key_check") == []
    again.close()


def test_a_new_book_and_an_old_one_brought_up_to_date_have_the_same_tables(
    old: Path, tmp_path: Path
) -> None:
    def tables(folder: Path) -> list[tuple[str, str]]:
        book = BenchBook.open(folder)
        found = book._ask(
            "SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY name"
        )
        book.close()
        return [(str(name), str(sql)) for name, sql in found]

    assert tables(old) == tables(tmp_path / "new")


@pytest.mark.parametrize("step", range(len(STEPS[1])))
def test_a_step_that_fails_leaves_the_old_book_as_it_was(
    old: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    before = rows(old / FILE)
    broken = (*STEPS[1][: step + 1], "INSERT INTO nowhere VALUES (1)")
    with monkeypatch.context() as patched:
        patched.setattr(connection, "STEPS", (STEPS[0], broken))
        with pytest.raises(BenchplanError, match="could not be brought up to date") as caught:
            BenchBook.open(old)
    assert "It is as it was" in str(caught.value)
    assert rows(old / FILE) == before
    assert not (old / COPY).exists()
    assert not list(old.glob(".benchplan-*"))
    book = BenchBook.open(old)
    assert len(book.marks(4)) == 3
    book.close()


def test_without_a_copy_nothing_is_brought_up_to_date(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = rows(old / FILE)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(connection, "copy_book", full)
    with pytest.raises(BenchplanError, match="No space left on device"):
        BenchBook.open(old)
    assert rows(old / FILE) == before


def test_a_copy_from_before_is_never_written_over(old: Path) -> None:
    (old / COPY).write_text("mine", encoding="utf-8")
    book = BenchBook.open(old)
    assert "bench_book.version-1-2.sqlite" in book.notice
    assert (old / COPY).read_text(encoding="utf-8") == "mine"
    book.close()
