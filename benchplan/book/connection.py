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
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from pathlib import Path

from benchplan.book.read_only import read_into_memory
from benchplan.book.schema import APPLICATION, STEPS, VERSION
from benchplan.book.soundness import check_head, check_whole, failure, is_damaged, recognize
from benchplan.errors import BenchplanError, Problem

FILE = "bench_book.sqlite"
MOVE = "Set BENCHPLAN_HOME to a folder that can be written."
ROOM = "Free some space, then do it again."
UNWRITABLE = (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM)
NO_ROOM = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR)


@dataclass(frozen=True, slots=True)
class Opened:
    """An open book: its connection, a notice (empty if all is well), and whether it can be written.

    One that can only be read is a copy in memory.
    """

    connection: sqlite3.Connection
    notice: str = ""
    only_read: bool = False


def connect(folder: Path) -> Opened:
    """Open (or begin) the book in a folder.

    A damaged book is set aside under another name, never deleted, and a new one begun. A book of an
    older version is copied beside itself and brought up to date. One that cannot be written is
    opened for reading. The notice says so. Raises ``BenchplanError`` where the book cannot be read,
    was written by a newer version, or is another program's.
    """
    path = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BenchplanError(
            Problem(f"The bench book's folder {folder} cannot be made: {_cause(error)}.", MOVE)
        ) from None
    if os.path.exists(path) and not os.path.isfile(path):  # neither raises in a closed folder
        raise BenchplanError(
            Problem(
                f"{path} is not a file: the bench book cannot be opened for writing.",
                "Move it out of this folder.",
            )
        )
    try:
        return _open(path)
    except (sqlite3.Error, UnicodeDecodeError) as error:
        if not is_damaged(error):
            return _open_to_read(path, error)
    aside = _set_aside(path)
    try:
        opened = _open(path)
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise BenchplanError(problem(path, error)) from None
    return replace(
        opened,
        notice=f"The bench book was damaged. It is kept as {aside}, and a new, empty one was "
        "begun; the plan files are not touched.",
    )


def _open_to_read(path: Path, error: Exception) -> Opened:
    """Open a book that cannot be written because of ``error``; raises where it cannot be read."""
    code, said = getattr(error, "sqlite_errorcode", 0) & 0xFF, problem(path, error)
    if code not in (*UNWRITABLE, *NO_ROOM) or not os.path.isfile(path):
        raise BenchplanError(said) from None
    try:
        book = read_into_memory(path)
    except (sqlite3.Error, OSError, UnicodeDecodeError):
        raise BenchplanError(said) from None
    try:
        recognize(book, path)
        _make_ready(book, path)
        book.execute("PRAGMA query_only = ON")
    except (sqlite3.Error, UnicodeDecodeError):
        book.close()
        raise BenchplanError(said) from None
    except BenchplanError:
        book.close()
        raise
    return Opened(book, f"{said.what} It can be read; nothing can be marked or kept in it.", True)


def problem(path: Path, error: Exception) -> Problem:
    """Say in a sentence why a book cannot be read or written, and what would do."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return Problem(f"The disk is full: the bench book {path} cannot be written.", ROOM)
    if code == sqlite3.SQLITE_IOERR:
        return Problem(
            f"The bench book {path} cannot be written ({error}): the disk may be full.", ROOM
        )
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Problem(
            f"Another program holds the bench book {path}.", "Close it there, then do it again."
        )
    if code in UNWRITABLE:
        hint = f"Change who may write it and its folder {path.parent}, then open it again."
        return Problem(
            f"The bench book {path} cannot be opened for writing.",
            hint if os.path.exists(path) else MOVE,
        )
    if is_damaged(error):
        return Problem(
            f"The bench book {path} is damaged.",
            "Close and open the program again: the book is then set aside and a new one begun.",
        )
    return Problem(f"The bench book {path} cannot be used: {error}.")


def _cause(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _open(path: Path) -> Opened:
    if os.path.exists(path):
        if not os.access(path, os.W_OK):  # SQLite opens it all the same and fails at the first mark
            raise failure("it may only be read", sqlite3.SQLITE_READONLY)
        check_head(path)
    book = sqlite3.connect(path, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        recognize(book, path)
        book.execute("PRAGMA journal_mode = WAL")
        book.execute("PRAGMA synchronous = FULL")
        book.execute(
            "PRAGMA fullfsync = ON"
        )  # macOS: sync to the platter, not to the drive's cache
        return Opened(book, _make_ready(book, path, copy=True))
    except BaseException:
        book.close()
        raise


def _make_ready(book: sqlite3.Connection, path: Path, copy: bool = False) -> str:
    """Check a book and bring it up to date; return a notice where there was anything to do."""
    # A text with a bad byte is still a text: what makes no sense of it is said where it is read.
    book.text_factory = lambda raw: raw.decode("utf-8", "replace")
    check_whole(book)
    book.execute("PRAGMA foreign_keys = OFF")  # while tables are made anew
    notice = _bring_up_to_date(book, path, copy)
    book.execute("PRAGMA foreign_keys = ON")
    return notice


def _bring_up_to_date(book: sqlite3.Connection, path: Path, copy: bool) -> str:
    """Take every step that the book lacks, all or none; return a notice where there was any.

    With ``copy`` an older book is copied first, while nobody else can write into it.
    """
    kept: Path | None = None
    book.execute("BEGIN IMMEDIATE")
    try:
        version = book.execute("PRAGMA user_version").fetchone()[0]
        if copy and 0 < version < VERSION:
            kept = free_name(path, f"version-{version}")
            copy_book(path, kept)
        for step in STEPS[version:]:
            for statement in step:
                book.execute(statement)
        if version < VERSION:
            if book.execute("PRAGMA foreign_key_check").fetchone():
                raise failure("marks of runs that are not there")
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


def copy_book(source: Path | sqlite3.Connection, to: Path) -> None:
    """Copy a book, in use or not, to where nothing is yet; the copy is one whole file, checked.

    SQLite's backup (sqlite.org/backup.html) reads one moment of the book while others may go on
    writing. Raises ``sqlite3.Error`` or ``OSError``; no part of a copy is left then.
    """
    part = to.with_name(f".benchplan-{os.urandom(8).hex()}.tmp")
    try:
        with ExitStack() as opened, closing(sqlite3.connect(part, isolation_level=None)) as copy:
            if isinstance(source, Path):
                source = sqlite3.connect(source, timeout=5.0, isolation_level=None)
                opened.enter_context(closing(source))
            copy.execute("PRAGMA synchronous = FULL")
            copy.execute("PRAGMA fullfsync = ON")
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")  # else a log would lie beside it
            check_whole(copy, "integrity_check")
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
