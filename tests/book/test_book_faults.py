"""What of the book survives what: power cuts, full disks, folders that may only be read.

What SQLite promises of this, read in copies of its pages:

- sqlite.org/atomiccommit.html: transactions appear atomic even if they are interrupted by a crash
  of the operating system or a power failure; either all of their changes are there, or none.
- sqlite.org/pragma.html#pragma_synchronous: in log mode with FULL the log is synced after each
  commit, so that what was committed is durable; with NORMAL it may be rolled back.
- sqlite.org/wal.html (this part from memory): the first connection after a crash reads back what
  stands in the log up to the last whole commit record; the shared memory is made anew and holds
  nothing of its own.

A power cut is played by copying the book's files: after every commit, as they lie on the disk, with
and without the shared memory, and in the middle of a write, with the end of the log cut off or not
written. That a synced block outlives the cut is the disk's own promise, and is not tested here.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchplan.book import BenchBook
from benchplan.book.connection import FILE
from benchplan.errors import BenchplanError
from benchplan.model import Action, Mark, Run
from benchplan.model.record import Correction

START = datetime(2026, 12, 5, 9, tzinfo=UTC)
LOG = f"{FILE}-wal"
FRAME = (
    24 + 4096
)  # bytes of one page in the log, with its head (sqlite.org/fileformat2.html#walformat)


def mark(at: int) -> Mark:
    return Mark("done", at, at, Action("fill", (at,)), note=f"mark {at} " + "x" * (at % 7) * 40)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[BenchBook]:
    found = BenchBook.open(tmp_path / "home")
    yield found
    found.close()


def begin(book: BenchBook) -> Run:
    return book.start_run("Fair", "fair.toml", START, "day " * 500, "plan " * 500, token="here")


def cut(book: BenchBook, to: Path, *left_out: str) -> Path:
    """Copy the book's files as they lie there, as a disk holds them when the power is cut."""
    to.mkdir()
    for part in book.path.parent.glob(f"{FILE}*"):
        if part.name not in left_out:
            shutil.copy(part, to)
    return to


def read(folder: Path, run: Run) -> tuple[Mark, ...]:
    """Open a copy as the program would after the cut, and return the marks in it."""
    again = BenchBook.open(folder)
    try:
        assert again.notice == "", "a power cut damages nothing"
        assert again._ask("PRAGMA integrity_check") == [("ok",)]
        return again.marks(run)
    finally:
        again.close()


@pytest.mark.parametrize("journal", ["WAL", "DELETE"])
def test_power_cut_after_every_mark_loses_none_and_doubles_none(
    book: BenchBook, tmp_path: Path, journal: str
) -> None:
    run = begin(book)
    assert book._ask(f"PRAGMA journal_mode = {journal}") == [(journal.lower(),)]
    book._ask("PRAGMA wal_autocheckpoint = 5")  # so that cuts fall on both sides of checkpoints
    kept: list[Mark] = []
    for at in range(1, 31):
        kept.append(book.add_mark(run, mark(at), "here"))
        for name, left_out in (("whole", ()), ("no shm", (f"{FILE}-shm",))):
            copy = cut(book, tmp_path / f"{name} {at}", *left_out)
            assert read(copy, run) == tuple(kept)


def test_power_cut_in_the_middle_of_a_write_has_a_mark_whole_or_not_at_all(
    book: BenchBook, tmp_path: Path
) -> None:
    run = begin(book)
    kept = [book.add_mark(run, mark(at), "here") for at in range(1, 6)]
    before = (book.path.parent / LOG).stat().st_size
    kept.append(book.add_mark(run, mark(6), "here"))
    after = (book.path.parent / LOG).stat().st_size
    assert after - before >= FRAME
    sizes = {*range(before, after, 613), before + 1, before + FRAME, after - 1}
    found = []
    for size in sorted(sizes):
        copy = cut(book, tmp_path / f"cut {size}")
        os.truncate(copy / LOG, size)
        found.append(read(copy, run))
        torn = cut(book, tmp_path / f"torn {size}")
        with (torn / LOG).open("r+b") as log:  # the length was written, the rest was not
            log.seek(size)
            log.write(bytes(after - size))
        found.append(read(torn, run))
    assert set(found) <= {tuple(kept[:5]), tuple(kept)}
    assert tuple(kept[:5]) in found, "some cuts came before the commit was whole"


def test_power_cut_while_an_older_book_is_brought_up_to_date_leaves_one_of_both(
    tmp_path: Path,
) -> None:
    from benchplan.book.schema import STEPS, VERSION

    home = tmp_path / "home"
    home.mkdir()
    old = sqlite3.connect(home / FILE, isolation_level=None)
    old.execute("PRAGMA journal_mode = WAL")
    for statement in STEPS[0]:
        old.execute(statement)
    old.execute(
        "INSERT INTO runs VALUES (1, 'Fair', '', '2026-12-05T09:00:00+00:00', 'd', 'p', 0, 1.0,"
        " 'running', NULL)"
    )
    old.execute("PRAGMA user_version = 1")
    old.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = BenchBook.open(home)  # the old connection keeps the log from being put away
    size = (home / LOG).stat().st_size
    assert size > FRAME
    for at, part in enumerate(range(0, size + 1, size // 12)):
        copy = cut(whole, tmp_path / f"cut {at}")
        os.truncate(copy / LOG, part)
        again = BenchBook.open(copy)
        assert [run.name for run in again.runs()] == ["Fair"]
        assert again._ask("PRAGMA user_version") == [(VERSION,)]
        again.close()
    whole.close()
    old.close()


FILLER = """
import resource, signal, sys
from pathlib import Path
from benchplan.book import BenchBook
from benchplan.errors import BenchplanError
from benchplan.model import Mark

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
book = BenchBook.open(Path(sys.argv[1]))
most = (book.path.parent / "bench_book.sqlite-wal").stat().st_size + int(sys.argv[2])
soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
kept = 0
try:
    while kept < 1000:
        kept = book.add_mark(1, Mark("hold", kept, kept, note="x" * 300)).number
except BenchplanError as error:
    print(f"{kept} {error}")
assert len(book.marks(1)) == kept
resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
print(book.add_mark(1, Mark("go on", 1, 1)).number)
"""


def test_a_file_that_cannot_grow_refuses_the_mark_and_takes_it_once_it_can(
    book: BenchBook, tmp_path: Path
) -> None:
    # The kernel lets no file of this process grow beyond a limit, as a full disk does.
    begin(book)
    done = subprocess.run(
        [sys.executable, "-c", FILLER, str(book.path.parent), str(20 * FRAME + 100)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    refused, after = done.stdout.splitlines()
    count, _, said = refused.partition(" ")
    assert int(count) > 0
    assert f"The bench book {book.path}" in said
    assert "Traceback" not in said
    assert int(after) == int(count) + 1
    assert [each.number for each in book.marks(1)] == list(range(1, int(after) + 1))


def test_a_disk_that_is_full_refuses_everything_else_too_and_keeps_what_was(
    book: BenchBook,
) -> None:
    run = begin(book)
    pages = book._ask("PRAGMA page_count")[0][0]
    book._ask(f"PRAGMA max_page_count = {pages}")
    long = "x" * 9000
    correction = Correction(1, "note", "", long, long, START)
    for refused in (
        lambda: book.add_mark(run, Mark("hold", 1, 1, note=long)),
        lambda: book.add_correction(run, correction),
        lambda: book.start_run(long, "", START, long, long),
    ):
        with pytest.raises(BenchplanError, match="The disk is full"):
            refused()
    assert book.marks(run) == ()
    assert book.corrections(run) == ()
    assert book.runs() == (run,)
    book._ask("PRAGMA max_page_count = 1000000")
    assert book.add_mark(run, Mark("hold", 1, 1, note=long)).number == 1
    assert book.add_correction(run, correction).number == 1


@pytest.fixture
def only_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let SQLite open no file for writing, as in a folder that may only be read, even as root."""
    usual = sqlite3.connect

    def connect(path: Path | str, **how: object) -> sqlite3.Connection:
        if ":" not in str(path):
            path, how = f"{path.as_uri()}?mode=ro", {**how, "uri": True}  # type: ignore[union-attr]
        return usual(path, **how)  # type: ignore[call-overload,no-any-return]

    monkeypatch.setattr(sqlite3, "connect", connect)


@pytest.mark.usefixtures("only_read")
def test_in_a_folder_that_may_only_be_read_no_book_can_be_begun(tmp_path: Path) -> None:
    with pytest.raises(BenchplanError, match="cannot be opened for writing") as caught:
        BenchBook.open(tmp_path)
    assert "BENCHPLAN_HOME" in str(caught.value)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_may_only_be_read_can_be_read_and_refuses_every_mark(
    book: BenchBook, request: pytest.FixtureRequest
) -> None:
    run = begin(book)
    kept = book.add_mark(run, mark(1))
    book.close()
    before = book.path.read_bytes()
    request.getfixturevalue("only_read")
    again = BenchBook.open(book.path.parent)
    assert again.marks(run) == (kept,)
    with pytest.raises(BenchplanError, match="cannot be opened for writing"):
        again.add_mark(run, mark(2))
    assert again.marks(run) == (kept,)
    again.close()
    assert book.path.read_bytes() == before


LOCKED_OUT = """
import os, sys
from pathlib import Path
from benchplan.book import BenchBook
from benchplan.errors import BenchplanError
from benchplan.model import Mark

if os.geteuid() == 0:
    os.setuid(65534)  # an administrator may write everywhere; whoever this is may not
try:
    book = BenchBook.open(Path(sys.argv[1]))
    print(book.notice)
    print([mark.number for mark in book.marks(1)])
    book.backup(Path(sys.argv[2]) / "copy.sqlite")
    book.add_mark(1, Mark("hold", 1, 1))
except BenchplanError as error:
    print(error)
"""


def locked_out(folder: Path, elsewhere: Path) -> list[str]:
    """Open the book in a folder that may only be read, and return what is said."""
    elsewhere.mkdir()
    elsewhere.chmod(0o777)
    for part in folder.iterdir():
        part.chmod(0o444)
    folder.chmod(0o555)
    done = subprocess.run(
        [sys.executable, "-c", LOCKED_OUT, str(folder), str(elsewhere)],
        capture_output=True,
        text=True,
        check=False,
    )
    folder.chmod(0o755)
    assert done.stderr == ""
    return done.stdout.splitlines()


def test_in_a_folder_that_may_only_be_read_and_has_no_book_it_is_said() -> None:
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        folder = Path(name) / "home"
        folder.mkdir()
        (said,) = locked_out(folder, Path(name) / "else")
        assert f"The bench book {folder / FILE} cannot be opened for writing." in said
        assert "BENCHPLAN_HOME" in said
        assert list(folder.iterdir()) == []


@pytest.mark.parametrize("left", [(), (LOG,), (LOG, f"{FILE}-shm")])
def test_a_book_that_may_only_be_read_can_be_read_and_copied(
    book: BenchBook, left: tuple[str, ...]
) -> None:
    run = begin(book)
    for at in range(3):
        book.add_mark(run, mark(at))
    if not left:
        book._ask("PRAGMA wal_checkpoint(TRUNCATE)")
    with tempfile.TemporaryDirectory() as name:  # pytest's own folders are closed to others
        Path(name).chmod(0o755)
        folder = cut(book, Path(name) / "home", *{LOG, f"{FILE}-shm"}.difference(left))
        before = {each.name: each.read_bytes() for each in folder.iterdir()}
        said, marks, refused = locked_out(folder, Path(name) / "else")
        assert "cannot be opened for writing. It can be read; nothing can be marked" in said
        assert marks == "[1, 2, 3]"
        assert "cannot be opened for writing. Change who may write it" in refused
        assert "BENCHPLAN_HOME" not in said + refused
        assert {each.name: each.read_bytes() for each in folder.iterdir()} == before
        (Path(name) / "copied").mkdir()
        shutil.copy(Path(name) / "else" / "copy.sqlite", Path(name) / "copied" / FILE)
        assert len(read(Path(name) / "copied", run)) == 3


NO_ROOM = """
import resource, signal, sys, tempfile
from pathlib import Path
from benchplan.book import BenchBook
from benchplan.errors import BenchplanError
from benchplan.model import Mark

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), hard))
book = BenchBook.open(Path(sys.argv[1]))
print(book.notice)
print([mark.number for mark in book.marks(1)])
try:
    book.add_mark(1, Mark("hold", 1, 1, note="x" * 9000))
except BenchplanError as error:
    print(error)
book.close()
"""


@pytest.mark.parametrize("most", [0, 3, 8192])
def test_after_a_crash_on_a_full_disk_the_book_can_be_read(
    book: BenchBook, tmp_path: Path, most: int
) -> None:
    # No file of that process may grow beyond a limit, so no shared memory can be made for the log.
    run = begin(book)
    for at in range(3):
        book.add_mark(run, mark(at))
    folder = cut(book, tmp_path / "crashed", f"{FILE}-shm")
    log = (folder / LOG).read_bytes()
    done = subprocess.run(
        [sys.executable, "-c", NO_ROOM, str(folder), str(most)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    said, marks, refused = done.stdout.splitlines()
    assert "the disk may be full. It can be read" in said
    assert marks == "[1, 2, 3]"
    assert "cannot be" in refused
    assert (folder / LOG).read_bytes() == log
    assert len(read(folder, run)) == 3
