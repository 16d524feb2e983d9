"""What several changes of the book have in common; each runs in the change of who calls it."""

from __future__ import annotations

import sqlite3

from benchplan.book import rows
from benchplan.errors import BenchplanError, Problem
from benchplan.model import MarkKind


class HeldElsewhereError(BenchplanError):
    """Another window carries the run: whoever is told this follows it from now on."""


def next_number(book: sqlite3.Connection, table: str, run: int) -> int:
    """Return the number that a run's next row of a table gets."""
    (last,) = book.execute(
        f"SELECT coalesce(max(number), 0) FROM {table} WHERE run = ?", (run,)
    ).fetchone()
    return int(last) + 1


def insert(book: sqlite3.Connection, table: str, columns: str, run: int, row: rows.Row) -> None:
    """Add one row of a run to a table."""
    places = ", ".join("?" * (len(row) + 1))
    book.execute(f"INSERT INTO {table} (run, {columns}) VALUES ({places})", (run, *row))


def check_holder(book: sqlite3.Connection, run: int, token: str) -> None:
    """Refuse a change by a window that does not hold the run."""
    found = book.execute("SELECT holder FROM runs WHERE number = ?", (run,)).fetchone()
    if token and found and found[0] != token:
        raise HeldElsewhereError(Problem("Another window carries this run."))


def check_take_back(book: sqlite3.Connection, run: int, number: int) -> None:
    """Refuse a take-back that names no mark which can be taken back."""
    found = book.execute(
        "SELECT what FROM marks WHERE run = ? AND number = ?", (run, number)
    ).fetchone()
    if found is None or found[0] == MarkKind.TAKE_BACK:
        what = "is itself a take-back" if found else "is not in the book"
        raise BenchplanError(Problem(f"Mark {number} {what}, so it cannot be taken back."))
