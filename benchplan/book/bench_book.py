"""Runs and their marks, recent files, jars and known fits, kept in one SQLite file.

Every change is committed before its method returns. A connection may be used from any thread of
the program; one change is made at a time. Instants are kept in UTC.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from threading import RLock
from typing import Any, TypeVar

from benchplan.book import rows
from benchplan.book.connection import FILE, Opened, connect, copy_book, problem
from benchplan.book.reading import UNREADABLE, sound
from benchplan.book.rows import Jar, RecentFile, file_key, number_of
from benchplan.book.statements import check_holder, check_take_back, insert, next_number
from benchplan.book.window import Window
from benchplan.errors import BenchplanError, Problem
from benchplan.home import home
from benchplan.model import Mark, Run
from benchplan.model.ids import MarkKind
from benchplan.model.record import UNENDED, Correction
from benchplan.model.run import RUN_STATES
from benchplan.model.words import count_words

T = TypeVar("T")


class BegunAlreadyError(BenchplanError):
    """A real run of the file that has not ended is in the book: ``run``."""

    def __init__(self, run: Run) -> None:
        super().__init__(Problem("This day was begun already.", "Resume that run."))
        self.run = run


class BenchBook:
    """The open book. ``notice`` is a sentence for people where opening it had something to say.

    ``tell`` hears, once, of rows that cannot be read: they are left out, the rest is there.
    """

    def __init__(self, opened: Opened, path: Path) -> None:
        self._book, self.path = opened.connection, path
        self.notice, self.only_read = opened.notice, opened.only_read
        self.tell: Callable[[str], None] = lambda sentence: None
        self._told: set[str] = set()
        self._lock = RLock()
        self._windows: dict[str, Window] = {}
        self._version = self._data_version()

    @classmethod
    def open(cls, folder: Path | None = None) -> BenchBook:
        """Open the book in ``folder`` (else in ``home()``), beginning one where there is none.

        Raises ``BenchplanError`` where it cannot be read, or is from a newer version. One that can
        be read and not written refuses every change.
        """
        place = home() if folder is None else folder
        return cls(connect(place), place / FILE)

    def close(self) -> None:
        """Close the book and let go of the runs held by it; doing it twice does no harm."""
        with self._lock:
            for token, window in self._windows.items():
                with suppress(sqlite3.Error):  # what cannot be written is let go of all the same
                    self._book.execute("UPDATE runs SET holder = '' WHERE holder = ?", (token,))
                window.close()
            self._windows.clear()
            self._book.close()

    def backup(self, path: Path) -> None:
        """Copy the whole book, as it is at one moment, to a path where nothing is yet.

        Others may go on marking meanwhile. Raises ``BenchplanError``; then nothing is left there.
        """
        if path.exists() or path.is_symlink():
            raise BenchplanError(
                Problem(f"{path} is there already.", "Name another file: no copy is written over.")
            )
        try:
            copy_book(self._book if self.only_read else self.path, path)
        except (sqlite3.Error, OSError) as error:
            said = (error.strerror if isinstance(error, OSError) else None) or str(error)
            raise BenchplanError(
                Problem(
                    f"The bench book cannot be copied to {path}: {said}.",
                    "Name a file in a folder that can be written and has room.",
                )
            ) from None

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
            except (sqlite3.Error, UnicodeDecodeError) as error:
                raise BenchplanError(problem(self.path, error)) from None

    def _read(
        self, what: str, found: Iterable[rows.Row], record: Callable[[rows.Row], T]
    ) -> Iterator[T]:
        """Return rows as records; those that cannot be read are left out, and that is told."""
        lost = 0
        for row in found:
            try:
                yield sound(record(row))
            except UNREADABLE:
                lost += 1
        if lost:
            self._say_lost(f"{count_words(lost, what)} can't be read")

    def _say_lost(self, what: str) -> None:
        sentence = (
            f"The bench book is damaged: {what} and left out. The rest is there. "
            "A copy from before may have it whole."
        )
        if sentence not in self._told:
            self._told.add(sentence)
            self.tell(sentence)

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
        token: str = "",
    ) -> Run:
        """Begin a run and return it with its number; ``file`` "" for a day without a file.

        ``token`` holds it from the first moment, as ``hold`` would. Then a real run of a file that
        has one already is not begun: raises ``BegunAlreadyError``.
        """
        begun, key = start.astimezone(UTC), file_key(file)
        self._show(token)
        with self._change() as book:
            other = self.open_run(file) if token and key and not rehearsal else None
            if other is not None:
                raise BegunAlreadyError(other)
            number = book.execute(
                "INSERT INTO runs (name, file, start, day_text, plan_text, rehearsal, speed, state,"
                " holder) VALUES (?, ?, ?, ?, ?, ?, ?, 'running', ?)",
                (name, key, begun.isoformat(), day_text, plan_text, rehearsal, speed, token),
            ).lastrowid
        return Run(number or 0, name, key, begun, day_text, plan_text, rehearsal, speed)

    def run(self, number: int) -> Run:
        """Return one run; raises ``BenchplanError`` when there is none of that number."""
        found = self._ask(f"SELECT {rows.RUN} FROM runs WHERE number = ?", number)
        if not found:
            raise BenchplanError(
                Problem(f"The bench book has no run {number}.", "Its runs are listed in Book.")
            )
        runs = tuple(self._read("run", found, rows.run_of))
        if not runs:
            raise BenchplanError(
                Problem(
                    f"Run {number} can't be read: the bench book is damaged there.",
                    "The other runs are listed in Book. A copy from before may have it whole.",
                )
            )
        return runs[0]

    def runs(self, limit: int = 100) -> tuple[Run, ...]:
        """Return the latest runs, the newest first."""
        found = self._ask(f"SELECT {rows.RUN} FROM runs ORDER BY number DESC LIMIT ?", limit)
        return tuple(self._read("run", found, rows.run_of))

    def run_heads(self) -> tuple[Run, ...]:
        """Return all runs, the newest first, without the texts of their days and plans."""
        columns = rows.RUN.replace("day_text, plan_text", "'', ''")
        found = self._ask(f"SELECT {columns} FROM runs ORDER BY number DESC")
        return tuple(self._read("run", found, rows.run_of))

    def open_run(self, file: str | Path, rehearsal: bool = False) -> Run | None:
        """Return the newest run of a plan file that has not ended; rehearsals are kept apart.

        Where it has none: that of a file of the same name which is where it was no longer, as in a
        book that another machine has taken over.
        """
        key = file_key(file)
        found = self._ask(
            f"SELECT {rows.RUN} FROM runs WHERE state IN (?, ?) AND rehearsal = ?"
            " ORDER BY number DESC",
            *UNENDED,
            rehearsal,
        )
        runs = list(self._read("run", found, rows.run_of))
        here = [run for run in runs if run.file == key]
        moved = (
            run
            for run in runs
            if run.file and _name(run.file) == _name(key) and not Path(run.file).exists()
        )
        return here[0] if here else next(moved, None)

    def end_run(
        self, run: Run | int, state: str, finished_s: int | None = None, token: str = ""
    ) -> Run:
        """Say that a run is in one of ``RUN_STATES``; return it as it is now.

        ``finished_s`` counts from the run's start. Raises ``HeldElsewhereError`` as ``add_mark``
        does.
        """
        if state not in RUN_STATES:
            raise ValueError(f"a run is never {state!r}")
        number = number_of(run)
        with self._change() as book:
            check_holder(book, number, token)
            book.execute(
                "UPDATE runs SET state = ?, finished_s = ? WHERE number = ?",
                (state, finished_s, number),
            )
        return self.run(number)

    # -- who carries a run --------------------------------------------------------------------

    def hold(self, run: Run | int, token: str) -> None:
        """Take a run, or take it over: from now on only marks with this token are added to it."""
        self._show(token)
        before = self.holder(run)
        with self._change() as book:
            book.execute("UPDATE runs SET holder = ? WHERE number = ?", (token, number_of(run)))
        if before and before not in self._windows and not self._window(before).is_open():
            self._window(before).close()

    def holder(self, run: Run | int) -> str:
        """Return the token that holds a run, also after a crash; empty where nobody does."""
        found = self._ask("SELECT holder FROM runs WHERE number = ?", number_of(run))
        return str(found[0][0]) if found else ""

    def held_elsewhere(self, run: Run | int, token: str) -> bool:
        """Whether a window that is still open, and not this one, holds a run."""
        holder = self.holder(run)
        return holder not in ("", token) and self._window(holder).is_open()

    def changed_elsewhere(self) -> bool:
        """Whether anybody else has written into the book since this was asked last; it is cheap.

        sqlite.org/pragma.html#pragma_data_version: the number differs when another connection has
        committed a change, and stays for what this one writes.
        """
        before, self._version = self._version, self._data_version()
        return self._version != before

    def _data_version(self) -> int:
        return int(self._ask("PRAGMA data_version")[0][0])

    def _show(self, token: str) -> None:
        if token and token not in self._windows:
            self._windows[token] = Window(self.path.parent, token)
            self._windows[token].show()

    def _window(self, token: str) -> Window:
        return self._windows.get(token) or Window(self.path.parent, token)

    # -- marks ------------------------------------------------------------------------------

    def add_mark(self, run: Run | int, mark: Mark, token: str = "") -> Mark:
        """Write one mark and return it with its number; it is on the disk when this returns.

        Raises ``BenchplanError`` when the book cannot be written (the mark is then not in it), or
        when a take-back names no mark that can be taken back; ``HeldElsewhereError`` when ``token``
        does not hold the run (any more).
        """
        number = number_of(run)
        with self._change() as book:
            check_holder(book, number, token)
            if mark.what == MarkKind.TAKE_BACK:
                check_take_back(book, number, mark.takes_back)
            numbered = replace(mark, number=next_number(book, "marks", number))
            insert(book, "marks", rows.MARK, number, rows.mark_row(numbered))
        return numbered

    def marks(self, run: Run | int) -> tuple[Mark, ...]:
        """Return all marks of a run in the order of their numbers, taken back or not."""
        return self.marks_since(run, 0)

    def marks_since(self, run: Run | int, number: int) -> tuple[Mark, ...]:
        """Return the marks of a run with numbers above ``number``, in order."""
        found = self._ask(
            f"SELECT {rows.MARK} FROM marks WHERE run = ? AND number > ? ORDER BY number",
            number_of(run),
            number,
        )
        return tuple(self._read(f"mark of run {number_of(run)}", found, rows.mark_of))

    # -- corrections ------------------------------------------------------------------------

    def add_correction(self, run: Run | int, correction: Correction) -> Correction:
        """Write a correction of a run's record and return it with its number."""
        number = number_of(run)
        with self._change() as book:
            numbered = replace(correction, number=next_number(book, "corrections", number))
            insert(book, "corrections", rows.CORRECTION, number, rows.correction_row(numbered))
        return numbered

    def corrections(self, run: Run | int) -> tuple[Correction, ...]:
        """Return the corrections of a run's record in the order in which they were made."""
        found = self._ask(
            f"SELECT {rows.CORRECTION} FROM corrections WHERE run = ? ORDER BY number",
            number_of(run),
        )
        return tuple(self._read("correction", found, rows.correction_of))

    # -- recent files -----------------------------------------------------------------------

    def remember_file(self, path: str | Path, name: str, opened: datetime) -> None:
        """Note that a plan file was opened at an instant."""
        with self._change() as book:
            book.execute(
                "INSERT OR REPLACE INTO recent VALUES (?, ?, ?)",
                (file_key(path), name, opened.astimezone(UTC).isoformat()),
            )

    def recent_files(self, limit: int = 10) -> tuple[RecentFile, ...]:
        """Return the plan files opened last, the latest first."""
        found = self._ask(
            "SELECT path, name, opened FROM recent ORDER BY opened DESC, path LIMIT ?", limit
        )
        return tuple(self._read("recent file", found, rows.recent_of))

    # -- jars and fits ----------------------------------------------------------------------

    def add_jar(
        self, scent: str, started: date, note: str = "", failed: tuple[int, int] | None = None
    ) -> Jar:
        """Note that a jar was started, and return it with its number.

        ``failed``: the run and the mark that said that its beads are not dry.
        """
        with self._change() as book:
            number = book.execute(
                "INSERT INTO jars (scent, started, note, failed_run, failed_mark)"
                " VALUES (?, ?, ?, ?, ?)",
                (scent, started.isoformat(), note, *(failed or (None, None))),
            ).lastrowid
        return Jar(number or 0, scent, started, note, failed)

    def remove_jar(self, number: int) -> None:
        """Take a jar that is used up off the list."""
        with self._change() as book:
            book.execute("DELETE FROM jars WHERE number = ?", (number,))

    def jars(self) -> tuple[Jar, ...]:
        """Return the jars, the one started first first."""
        found = self._ask(f"SELECT {rows.JAR} FROM jars ORDER BY started, number")
        return tuple(self._read("jar", found, rows.jar_of))

    def keep_fit(self, key: str, value: Any) -> None:
        """Keep what fits under a key; ``value`` is anything that JSON can hold."""
        with self._change() as book:
            book.execute("INSERT OR REPLACE INTO fits VALUES (?, ?)", (key, json.dumps(value)))

    def known_fits(self) -> tuple[tuple[str, Any], ...]:
        """Return what was kept of fits, by key; None for what cannot be read."""
        found = self._ask("SELECT key, value FROM fits ORDER BY key")
        return tuple((key, rows.value_of(value)) for key, value in found)


def _name(file: str) -> str:
    """Return a file's name, whichever system its path is of."""
    return re.split(r"[/\\]", file)[-1]
