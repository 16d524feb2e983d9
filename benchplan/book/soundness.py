"""Whether a file is a bench book, and a sound one: asked before anything is written into it."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path

from benchplan.book.schema import APPLICATION, STEPS, VERSION
from benchplan.errors import BenchplanError, Problem

DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
OURS = {"runs", "marks", "jars"}
"""Tables that every version of the book has."""
FAR_LATER = 100
"""No version is as high as this one: a number above it is damage."""
_ONE_ROW = re.compile(r"(NULL|NUMERIC|TEXT) value in |CHECK constraint failed in ")
"""What SQLite's check says of a value (from memory): the row is bad, and no more."""
_HEAD = b"SQLite format 3\0"


def is_damaged(error: Exception) -> bool:
    """Whether an error says that the file is no sound database.

    Words of SQLite that hold a damaged byte cannot even be decoded.
    """
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return isinstance(error, UnicodeDecodeError) or code in DAMAGED


def failure(words: str, code: int = sqlite3.SQLITE_CORRUPT) -> sqlite3.DatabaseError:
    """Return an error as SQLite raises it; without a code it says that a file is damaged."""
    error = sqlite3.DatabaseError(words)
    error.sqlite_errorcode = code
    return error


def recognize(book: sqlite3.Connection, path: Path) -> None:
    """Make sure that an open file is a bench book, or nothing yet.

    Raises ``BenchplanError`` for another program's database and for a book of a newer version, and
    an error of damage for a book whose tables are not as its version has them.
    """
    book.execute("BEGIN")  # all of it as it is at one moment: another window may be beginning it
    try:
        (application,) = book.execute("PRAGMA application_id").fetchone()
        (version,) = book.execute("PRAGMA user_version").fetchone()
        tables = {
            name for (name,) in book.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
        columns = _columns(book)
    except sqlite3.OperationalError as error:
        if getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) == sqlite3.SQLITE_ERROR:
            raise failure(str(error)) from None  # the questions are right: what they ask is broken
        raise
    finally:
        if book.in_transaction:
            book.execute("ROLLBACK")
    if not tables >= OURS and application != APPLICATION and (tables or application):
        raise BenchplanError(
            Problem(
                f"{path} is a database of another program: it is left as it is.",
                "Move it out of this folder, or set BENCHPLAN_HOME to another one.",
            )
        )
    if VERSION < version <= FAR_LATER:
        raise BenchplanError(
            Problem(
                f"The bench book {path} was written by a newer benchplan (book {version}; "
                f"this one reads up to {VERSION}).",
                "Install the newer version, or set BENCHPLAN_HOME to another folder.",
            )
        )
    if not (tables or version):
        return  # a book that is about to be begun
    if version not in range(1, VERSION + 1) or (
        _columns_of(VERSION) & columns | _columns_of(version) != _columns_of(version) & columns
    ):  # a column is missing, or one is there that only a later version has
        raise failure(f"the tables are not those of version {version}")


def check_whole(book: sqlite3.Connection, check: str = "quick_check") -> None:
    """Raise an error of damage where a check of SQLite's finds more than a bad value in a row."""
    said = [str(words) for (words,) in book.execute(f"PRAGMA {check}")]
    if any(words != "ok" and not _ONE_ROW.match(words) for words in said):
        raise failure("the check found damage")


def check_head(path: Path) -> None:
    """Raise an error of damage for a head that makes SQLite open a book for reading only.

    sqlite.org/fileformat2.html: byte 18 is 1, or 2 for a log; a higher one may only be read.
    """
    try:
        with path.open("rb") as file:
            head = file.read(20)
    except OSError as error:
        raise failure(error.strerror or str(error), sqlite3.SQLITE_CANTOPEN) from None
    if head.startswith(_HEAD) and head[18:19] not in (b"\x01", b"\x02"):
        raise failure("the head is damaged")


def _columns(book: sqlite3.Connection) -> frozenset[tuple[object, ...]]:
    """Return every column of every table, and which columns refer to which."""
    return frozenset(
        tuple(row)
        for question in (
            "SELECT t.name, c.name, upper(c.type), c.[notnull], c.dflt_value, c.pk"
            " FROM sqlite_master t, pragma_table_info(t.name) c",
            "SELECT t.name, 'refers to', k.[table], k.[from], k.[to]"
            " FROM sqlite_master t, pragma_foreign_key_list(t.name) k",
        )
        for row in book.execute(f"{question} WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%'")
    )


@cache
def _columns_of(version: int) -> frozenset[tuple[object, ...]]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as book:
        for step in STEPS[:version]:
            for statement in step:
                book.execute(statement)
        return _columns(book)
