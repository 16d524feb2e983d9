"""Where the bench book lives, and opening it so that a committed mark is on the disk.

The book is an SQLite database in write-ahead-log mode with ``synchronous = FULL``. SQLite's manual
(sqlite.org/pragma.html#pragma_synchronous, read in copies of that page) says of this pair that the
log is synced after each transaction commit, so that a commit outlives a crash of the program, of
the system, or a loss of power; ``NORMAL`` would keep the file whole but may lose the last commits
when power fails. sqlite.org/wal.html (from memory): log mode needs shared memory, so on a network
drive it may be refused; the older journal with ``FULL`` is then used and is as durable.
"""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from benchplan.book.schema import APPLICATION, STEPS, VERSION
from benchplan.errors import BenchplanError, Problem

FILE = "bench_book.sqlite"
DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
MOVE = "Set BENCHPLAN_HOME to a folder that can be written."


def home() -> Path:
    """Return the folder of the bench book: BENCHPLAN_HOME, else the platform's data folder."""
    named = os.environ.get("BENCHPLAN_HOME", "").strip()
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_dir

    return Path(user_data_dir("benchplan", appauthor=False))


def connect(folder: Path) -> tuple[sqlite3.Connection, str]:
    """Open (or begin) the book in a folder; return it with a notice, empty if all is well.

    A damaged book is set aside under another name, never deleted, and a new one begun: the notice
    says so. Raises ``BenchplanError`` where the book cannot be read or written, or was written by
    a newer version.
    """
    path = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BenchplanError(
            Problem(f"The bench book's folder {folder} cannot be made: {_cause(error)}.", MOVE)
        ) from None
    try:
        return _open(path), ""
    except sqlite3.Error as error:
        if not is_damaged(error):
            raise BenchplanError(problem(path, error)) from None
    aside = _set_aside(path)
    try:
        opened = _open(path)
    except sqlite3.Error as error:
        raise BenchplanError(problem(path, error)) from None
    return opened, (
        f"The bench book was damaged. It is kept as {aside}, and a new, empty one was begun; "
        "the plan files are not touched."
    )


def is_damaged(error: sqlite3.Error) -> bool:
    """Whether an error says that the file is no sound database."""
    return (getattr(error, "sqlite_errorcode", 0) & 0xFF) in DAMAGED


def problem(path: Path, error: sqlite3.Error) -> Problem:
    """Say in a sentence why a book cannot be read or written, and what would do."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return Problem(
            f"The disk is full: the bench book {path} cannot be written.",
            "Free some space, then do it again.",
        )
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Problem(
            f"Another program holds the bench book {path}.", "Close it there, then do it again."
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return Problem(f"The bench book {path} cannot be opened for writing.", MOVE)
    if code in DAMAGED:
        return Problem(
            f"The bench book {path} is damaged.",
            "Close and open the program again: the book is then set aside and a new one begun.",
        )
    return Problem(f"The bench book {path} cannot be used: {error}.", MOVE)


def _cause(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _open(path: Path) -> sqlite3.Connection:
    book = sqlite3.connect(path, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        book.execute("PRAGMA journal_mode = WAL")
        book.execute("PRAGMA synchronous = FULL")
        book.execute(
            "PRAGMA fullfsync = ON"
        )  # macOS: sync to the platter, not to the drive's cache
        book.execute("PRAGMA foreign_keys = ON")
        if book.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            damage = sqlite3.DatabaseError("the check found damage")
            damage.sqlite_errorcode = sqlite3.SQLITE_CORRUPT
            raise damage
        _bring_up_to_date(book, path)
    except BaseException:
        book.close()
        raise
    return book


def _bring_up_to_date(book: sqlite3.Connection, path: Path) -> None:
    book.execute("BEGIN IMMEDIATE")
    try:
        version = book.execute("PRAGMA user_version").fetchone()[0]
        if version > VERSION:
            raise BenchplanError(
                Problem(
                    f"The bench book {path} was written by a newer benchplan (book {version}; "
                    f"this one reads up to {VERSION}).",
                    "Install the newer version, or set BENCHPLAN_HOME to another folder.",
                )
            )
        for step in STEPS[version:]:
            for statement in step:
                book.execute(statement)
        if version < VERSION:
            book.execute(f"PRAGMA application_id = {APPLICATION}")
            book.execute(f"PRAGMA user_version = {VERSION}")
        book.execute("COMMIT")
    except BaseException:
        if book.in_transaction:
            book.execute("ROLLBACK")
        raise


def _set_aside(path: Path) -> Path:
    """Rename a damaged book and its log to the first free name; return the new one."""
    number = 1
    while (aside := path.with_name(f"bench_book.damaged-{number}.sqlite")).exists():
        number += 1
    try:
        for tail in ("", "-wal", "-shm"):
            part = Path(f"{path}{tail}")
            if part.exists():
                part.rename(f"{aside}{tail}")
    except OSError as error:
        raise BenchplanError(
            Problem(f"The bench book {path} is damaged and cannot be moved: {_cause(error)}.", MOVE)
        ) from None
    return aside
