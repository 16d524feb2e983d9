"""A copy of the book is whole and of one moment, whoever writes meanwhile, or there is none."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchplan.book import BenchBook
from benchplan.book.connection import FILE
from benchplan.errors import BenchplanError
from benchplan.model import Mark

START = datetime(2026, 12, 5, 9, tzinfo=UTC)

WRITER = """
import sys
from pathlib import Path
from benchplan.book import BenchBook
from benchplan.model import Mark

book = BenchBook.open(Path(sys.argv[1]))
at = 0
while True:
    at += 1
    print(book.add_mark(1, Mark("hold", at, at, note="x" * 200)).number, flush=True)
"""


def test_copies_made_while_another_program_marks_are_whole(tmp_path: Path) -> None:
    # sqlite.org/backup.html: what a backup reads is one moment of the source, though others write
    home = tmp_path / "home"
    book = BenchBook.open(home)
    book.start_run("Fair", "fair.toml", START, "day " * 5000, "plan " * 5000)
    seen = 0
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(home)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        for number in range(12):
            said = int(writer.stdout.readline())
            folder = tmp_path / str(number)
            folder.mkdir()
            book.backup(folder / FILE)
            assert [each.name for each in folder.iterdir()] == [FILE], "one file, no log"
            copy = BenchBook.open(folder)
            assert copy.notice == ""
            numbers = [mark.number for mark in copy.marks(1)]
            copy.close()
            assert numbers == list(range(1, len(numbers) + 1))
            assert len(numbers) >= max(said, seen), "every mark that was acknowledged is in it"
            seen = len(numbers)
        assert writer.poll() is None, "it was never stopped by a copy"
        writer.kill()
    book.close()


def test_a_book_that_is_damaged_gives_no_copy(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path / "home")
    run = book.start_run("Fair", "fair.toml", START, "day", "plan")
    for at in range(300):
        book.add_mark(run, Mark("hold", at, at, note="x" * 100))
    book._ask("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = bytearray(book.path.read_bytes())
    whole[-3 * 4096 : -4096] = b"\xff" * 2 * 4096
    book.path.write_bytes(whole)
    with pytest.raises(BenchplanError, match="cannot be copied"):
        book.backup(tmp_path / "copy.sqlite")
    assert [each.name for each in tmp_path.iterdir()] == ["home"]
    book.close()


def test_a_copy_goes_nowhere_that_something_is(tmp_path: Path) -> None:
    book = BenchBook.open(tmp_path / "home")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for taken in (tmp_path / "link", tmp_path, book.path):
        with pytest.raises(BenchplanError, match="is there already"):
            book.backup(taken)
    assert not (tmp_path / "nowhere").exists()
    book.close()
