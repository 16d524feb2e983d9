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
from contextlib import closing
from pathlib import Path

from benchplan.book.schema import APPLICATION, STEPS, VERSION
from benchplan.errors import BenchplanError, Problem

FILE = "bench_book.sqlite"
DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
MOVE = "Set BENCHPLAN_HOME to a folder that can be written."


def connect(folder: Path) -> tuple[sqlite3.Connection, str]:
    """Open (or begin) the book in a folder; return it with a notice, empty if all is well.

    A damaged book is set aside under another name, never deleted, and a new one begun. A book of an
    older version is copied beside itself and brought up to date. The notice says so. Raises
    ``BenchplanError`` where the book cannot be read or written, or was written by a newer version.
    """
    path = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BenchplanError(
            Problem(f"The bench book's folder {folder} cannot be made: {_cause(error)}.", MOVE)
        ) from None
    try:
        return _open(path)
    except sqlite3.Error as error:
        if not is_damaged(error):
            raise BenchplanError(problem(path, error)) from None
    aside = _set_aside(path)
    try:
        opened, _ = _open(path)
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


def _open(path: Path) -> tuple[sqlite3.Connection, str]:
    book = sqlite3.connect(path, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        book.execute("PRAGMA journal_mode = WAL")
        book.execute("PRAGMA synchronous = FULL")
        book.execute(
            "PRAGMA fullfsync = ON"
        )  # macOS: sync to the platter, not to the drive's cache
        if book.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise damage("the check found damage")
        book.execute("PRAGMA foreign_keys = OFF")  # while tables are made anew
        notice = _bring_up_to_date(book, path)
        book.execute("PRAGMA foreign_keys = ON")
    except BaseException:
        book.close()
        raise
    return book, notice


def damage(words: str) -> sqlite3.DatabaseError:
    """Return the error that says that a file is no sound database."""
    error = sqlite3.DatabaseError(words)
    error.sqlite_errorcode = sqlite3.SQLITE_CORRUPT
    return error


def _bring_up_to_date(book: sqlite3.Connection, path: Path) -> str:
    """Take every step that the book lacks, all or none; return a notice where there was any.

    An older book is copied first, while nobody else can write into it.
    """
    kept: Path | None = None
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
        if 0 < version < VERSION:
            kept = free_name(path, f"version-{version}")
            copy_book(path, kept)
        for step in STEPS[version:]:
            for statement in step:
                book.execute(statement)
        if version < VERSION:
            if book.execute("PRAGMA foreign_key_check").fetchone():
                raise damage("marks of runs that are not there")
            book.execute(f"PRAGMA application_id = {APPLICATION}")
            book.execute(f"PRAGMA user_version = {VERSION}")
        book.execute("COMMIT")
    except BaseException as error:
        if book.in_transaction:
            book.execute("ROLLBACK")
        if kept is not None:
            kept.unlink(missing_ok=True)  # the book itself is as it was
        if kept is not None and _is_mishap(error):
            raise BenchplanError(
                Problem(
                    f"The bench book {path} is of an older version ({version}) and could not be "
                    f"brought up to date: {error}. It is as it was.",
                    "With room on the disk and a folder that can be written it may go through.",
                )
            ) from None
        raise
    if kept is None:
        return ""
    return f"The bench book was of an older version and was brought up to date; {kept} is a copy."


def _is_mishap(error: BaseException) -> bool:
    """Whether the disk or the folder was in the way, and not what the book holds."""
    if isinstance(error, sqlite3.Error):
        return not is_damaged(error)
    return isinstance(error, OSError)


def copy_book(path: Path, to: Path) -> None:
    """Copy a book, in use or not, to where nothing is yet; the copy is one whole file, checked.

    SQLite's backup (sqlite.org/backup.html) reads one moment of the book while others may go on
    writing. Raises ``sqlite3.Error`` or ``OSError``; no part of a copy is left then.
    """
    part = to.with_name(f".benchplan-{os.urandom(8).hex()}.tmp")
    try:
        with (
            closing(sqlite3.connect(path, timeout=5.0, isolation_level=None)) as book,
            closing(sqlite3.connect(part, isolation_level=None)) as copy,
        ):
            copy.execute("PRAGMA synchronous = FULL")
            copy.execute("PRAGMA fullfsync = ON")
            book.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")  # else a log would lie beside it
            if copy.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
                raise damage("the copy is not whole")
        os.replace(part, to)
    finally:
        for tail in ("", "-journal", "-wal", "-shm"):
            Path(f"{part}{tail}").unlink(missing_ok=True)


def free_name(path: Path, words: str) -> Path:
    """Return the first name for a book beside another one that nothing has yet."""
    number, name = 1, words
    while (found := path.with_name(f"bench_book.{name}.sqlite")).exists():
        number, name = number + 1, f"{words}-{number + 1}"
    return found


def _set_aside(path: Path) -> Path:
    """Rename a damaged book and its log to the first free name; return the new one."""
    aside = free_name(path, "damaged")
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
