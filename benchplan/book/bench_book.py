"""Runs and their marks, recent files, jars and known fits, kept in one SQLite file.

Every change is committed before its method returns. A connection may be used from any thread of
the program; one change is made at a time. Instants are kept in UTC.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from threading import RLock
from typing import Any

from benchplan.book.connection import FILE, connect, home, problem
from benchplan.errors import BenchplanError, Problem
from benchplan.model import Action, Mark, Run

RUN_STATES = ("running", "stopped", "complete")


@dataclass(frozen=True, slots=True)
class RecentFile:
    """A plan file that was opened, and when it last was."""

    path: str
    name: str
    opened: datetime


@dataclass(frozen=True, slots=True)
class Jar:
    """A jar of beads: its scent, the day it was started, and a note."""

    number: int
    scent: str
    started: date
    note: str = ""


class BenchBook:
    """The open book. ``notice`` is a sentence for people where opening it had something to say."""

    def __init__(self, connection: sqlite3.Connection, path: Path, notice: str = "") -> None:
        self._book, self.path, self.notice = connection, path, notice
        self._lock = RLock()

    @classmethod
    def open(cls, folder: Path | None = None) -> BenchBook:
        """Open the book in ``folder`` (else in ``home()``), beginning one where there is none.

        Raises ``BenchplanError`` where it cannot be read or written, or is from a newer version.
        """
        place = home() if folder is None else folder
        connection, notice = connect(place)
        return cls(connection, place / FILE, notice)

    def close(self) -> None:
        """Close the book; doing it twice does no harm."""
        with self._lock:
            self._book.close()

    @contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """Hold the book for one change that is committed as a whole, or not at all."""
        with self._lock:
            try:
                self._book.execute("BEGIN IMMEDIATE")
                try:
                    yield self._book
                    self._book.execute("COMMIT")
                except BaseException:
                    if self._book.in_transaction:
                        self._book.execute("ROLLBACK")
                    raise
            except sqlite3.Error as error:
                raise BenchplanError(problem(self.path, error)) from None

    def _ask(self, question: str, *values: object) -> list[tuple[Any, ...]]:
        with self._lock:
            try:
                return self._book.execute(question, values).fetchall()
            except sqlite3.Error as error:
                raise BenchplanError(problem(self.path, error)) from None

    # -- runs -------------------------------------------------------------------------------

    def start_run(
        self,
        name: str,
        file: str | Path,
        start: datetime,
        day_text: str,
        plan_text: str,
        rehearsal: bool = False,
        speed: float = 1.0,
    ) -> Run:
        """Begin a run and return it with its number; ``file`` "" for a day without a file."""
        begun = start.astimezone(UTC)
        with self._change() as book:
            number = book.execute(
                "INSERT INTO runs (name, file, start, day_text, plan_text, rehearsal, speed, state)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, 'running')",
                (name, _key(file), begun.isoformat(), day_text, plan_text, rehearsal, speed),
            ).lastrowid
        return Run(number or 0, name, _key(file), begun, day_text, plan_text, rehearsal, speed)

    def run(self, number: int) -> Run:
        """Return one run; raises ``BenchplanError`` when there is none of that number."""
        found = self._ask(f"SELECT {_RUN} FROM runs WHERE number = ?", number)
        if not found:
            raise BenchplanError(
                Problem(f"The bench book has no run {number}.", "Its runs are listed in Book.")
            )
        return _run(found[0])

    def runs(self, limit: int = 100) -> tuple[Run, ...]:
        """Return the latest runs, the newest first."""
        found = self._ask(f"SELECT {_RUN} FROM runs ORDER BY number DESC LIMIT ?", limit)
        return tuple(_run(row) for row in found)

    def open_run(self, file: str | Path, rehearsal: bool = False) -> Run | None:
        """Return the newest run of a plan file that has not ended; rehearsals are kept apart."""
        found = self._ask(
            f"SELECT {_RUN} FROM runs WHERE file = ? AND state = 'running' AND rehearsal = ?"
            " ORDER BY number DESC LIMIT 1",
            _key(file),
            rehearsal,
        )
        return _run(found[0]) if found else None

    def end_run(self, run: Run | int, state: str, finished_s: int | None = None) -> Run:
        """Say that a run is "stopped" or "complete" (or "running" again); return it as it is now.

        ``finished_s`` counts from the run's start.
        """
        if state not in RUN_STATES:
            raise ValueError(f"a run is never {state!r}")
        number = _number(run)
        with self._change() as book:
            book.execute(
                "UPDATE runs SET state = ?, finished_s = ? WHERE number = ?",
                (state, finished_s, number),
            )
        return self.run(number)

    # -- marks ------------------------------------------------------------------------------

    def add_mark(self, run: Run | int, mark: Mark) -> Mark:
        """Write one mark and return it with its number; it is on the disk when this returns.

        Raises ``BenchplanError`` when the book cannot be written (the mark is then not in it), or
        when a take-back names no mark that can be taken back.
        """
        action = mark.action or Action("")
        number = _number(run)
        with self._change() as book:
            if mark.what == "take back":
                _check_take_back(book, number, mark.takes_back)
            (last,) = book.execute(
                "SELECT coalesce(max(number), 0) FROM marks WHERE run = ?", (number,)
            ).fetchone()
            numbered = replace(mark, number=last + 1)
            book.execute(
                "INSERT INTO marks VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (
                    number,
                    numbered.number,
                    mark.what,
                    mark.happened_s,
                    mark.entered_s,
                    mark.action.what if mark.action else None,
                    json.dumps(action.trays),
                    action.place,
                    action.turn,
                    mark.item,
                    mark.person,
                    mark.takes_back,
                ),
            )
        return numbered

    def marks(self, run: Run | int) -> tuple[Mark, ...]:
        """Return all marks of a run in the order of their numbers, taken back or not."""
        found = self._ask(
            "SELECT number, what, happened_s, entered_s, action, trays, place, turn, item, person,"
            " takes_back FROM marks WHERE run = ? ORDER BY number",
            _number(run),
        )
        return tuple(_mark(row) for row in found)

    # -- recent files -----------------------------------------------------------------------

    def remember_file(self, path: str | Path, name: str, opened: datetime) -> None:
        """Note that a plan file was opened at an instant."""
        with self._change() as book:
            book.execute(
                "INSERT OR REPLACE INTO recent VALUES (?, ?, ?)",
                (_key(path), name, opened.astimezone(UTC).isoformat()),
            )

    def recent_files(self, limit: int = 10) -> tuple[RecentFile, ...]:
        """Return the plan files opened last, the latest first."""
        found = self._ask(
            "SELECT path, name, opened FROM recent ORDER BY opened DESC, path LIMIT ?", limit
        )
        return tuple(
            RecentFile(path, name, datetime.fromisoformat(opened)) for path, name, opened in found
        )

    # -- jars and fits ----------------------------------------------------------------------

    def add_jar(self, scent: str, started: date, note: str = "") -> Jar:
        """Note that a jar was started, and return it with its number."""
        with self._change() as book:
            number = book.execute(
                "INSERT INTO jars (scent, started, note) VALUES (?, ?, ?)",
                (scent, started.isoformat(), note),
            ).lastrowid
        return Jar(number or 0, scent, started, note)

    def remove_jar(self, number: int) -> None:
        """Take a jar that is used up off the list."""
        with self._change() as book:
            book.execute("DELETE FROM jars WHERE number = ?", (number,))

    def jars(self) -> tuple[Jar, ...]:
        """Return the jars, the one started first first."""
        found = self._ask("SELECT number, scent, started, note FROM jars ORDER BY started, number")
        return tuple(
            Jar(number, scent, date.fromisoformat(started), note)
            for number, scent, started, note in found
        )

    def keep_fit(self, key: str, value: Any) -> None:
        """Keep what fits under a key; ``value`` is anything that JSON can hold."""
        with self._change() as book:
            book.execute("INSERT OR REPLACE INTO fits VALUES (?, ?)", (key, json.dumps(value)))

    def known_fits(self) -> tuple[tuple[str, Any], ...]:
        """Return what was kept of fits, by key; None for what cannot be read."""
        found = self._ask("SELECT key, value FROM fits ORDER BY key")
        return tuple((key, _value(value)) for key, value in found)


_RUN = "number, name, file, start, day_text, plan_text, rehearsal, speed, state, finished_s"


def _key(file: str | Path) -> str:
    """Return the one spelling of a path under which a file's runs are kept."""
    return str(Path(file).resolve()) if str(file) else ""


def _value(text: str) -> Any:
    """Return what JSON holds, or None where it is none."""
    try:
        return json.loads(text)
    except (TypeError, ValueError, RecursionError):
        return None


def _number(run: Run | int) -> int:
    return run.number if isinstance(run, Run) else run


def _run(row: tuple[Any, ...]) -> Run:
    number, name, file, start, day_text, plan_text, rehearsal, speed, state, finished_s = row
    begun = datetime.fromisoformat(start)
    return Run(
        number, name, file, begun, day_text, plan_text, bool(rehearsal), speed, state, finished_s
    )


def _mark(row: tuple[Any, ...]) -> Mark:
    number, what, happened_s, entered_s, action, trays, place, turn, item, person, back = row
    said = None if action is None else Action(action, tuple(json.loads(trays)), place, turn)
    return Mark(what, happened_s, entered_s, said, item, person, back, number)


def _check_take_back(book: sqlite3.Connection, run: int, number: int) -> None:
    found = book.execute(
        "SELECT what FROM marks WHERE run = ? AND number = ?", (run, number)
    ).fetchone()
    if found is None or found[0] == "take back":
        what = "is itself a take-back" if found else "is not in the book"
        raise BenchplanError(Problem(f"Mark {number} {what}, so it cannot be taken back."))
