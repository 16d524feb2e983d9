"""Book: past runs and learned times, read from the bench book when the screen opens."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from benchplan.book import UNREADABLE
from benchplan.carrying.recorded import record_of
from benchplan.carrying.session import Session
from benchplan.errors import BenchplanError
from benchplan.live import Learned, learned_times
from benchplan.model import Day, Mark, Plan, Run
from benchplan.model.record import UNENDED
from benchplan.screens.actions import bindings
from benchplan.screens.dialogs import Reading
from benchplan.screens.page import PageScreen
from benchplan.views import book as view
from benchplan.views import record as record_view
from benchplan.views.rows import Row, wrap_rows

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.model.stop import Stop

LEARNED_FROM = 100  # runs

Ended = tuple[Run, Day, Plan, tuple[Mark, ...]]
Read = tuple[tuple[view.PastRun, ...], tuple[Learned, ...]]


def read_runs(book: BenchBook, stop: Stop) -> Read:
    """Return the runs with their planned finish, and what they say of how long work takes.

    A run whose plan cannot be read any more is listed without a planned finish; one whose day
    cannot says nothing of how long work takes. Only the newest runs are learned from.
    """
    from benchplan.carrying.recorded import day_and_plan

    past, ended = [], []
    for at, head in enumerate(book.run_heads()):
        if stop():
            break
        planned_s = None
        with suppress(BenchplanError, *UNREADABLE):
            run = book.run(head.number)
            planned_s = int(json.loads(run.plan_text)["finish_s"])
            if at < LEARNED_FROM and run.state not in UNENDED and not run.rehearsal:
                ended.append((head, *day_and_plan(run), book.marks(run)))
        past.append(view.PastRun(head, planned_s))
    return tuple(past), _learned(ended)


def _learned(ended: Sequence[Ended]) -> tuple[Learned, ...]:
    """Return the learned times; a run whose plan and day do not agree says nothing."""
    try:
        return learned_times(ended)
    except KeyError:
        return _learned([each for each in ended if _agrees(each)])


def _agrees(run: Ended) -> bool:
    with suppress(KeyError):
        learned_times([run])
        return True
    return False


class BookScreen(PageScreen):
    """A list of runs, and a table of learned times."""

    NAME = "book"
    BINDINGS = bindings("book")
    NEEDS_DAY = False

    def __init__(self) -> None:
        super().__init__()
        self._at = 0
        self._read: Read | None = None
        self._wrong = ""

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        try:
            book = self.bench_app.runs.book
        except BenchplanError as error:
            self._wrong = str(error)
            self.show()
            return
        self._wrong = ""
        self.bench_app.jobs.start("book", partial(read_runs, book), self._take)

    def _take(self, read: Read) -> None:
        self._read = read
        self.show()

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._at, self._read, self._wrong, session.local_now().toordinal())

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        if self._wrong:
            return wrap_rows(self._wrong, width, "warn")
        if self._read is None:
            return wrap_rows("The bench book is being read.", width, "quiet")
        now = session.local_now()
        runs, learned = self._read
        return view.page(
            session.day,
            runs,
            learned,
            now.date(),
            now.tzinfo,
            self._at,
            width,
            height,
            session.keys,
        )

    def action_read_record(self) -> None:
        """Open the record of the chosen run, to be read page by page."""
        runs = view.newest_first(self._read[0]) if self._read else []
        if not runs:
            self.session.tell("There is no run to read yet.")
            return
        try:
            found = record_of(self.bench_app.runs.book, runs[self._at].run.number)
        except BenchplanError as error:
            self.session.tell(str(error))
            return
        self.app.push_screen(Reading(record_view.title(found), partial(record_view.rows, found)))

    def action_line(self, by: int) -> None:
        most = len(self._read[0]) - 1 if self._read else 0
        self._at = min(max(self._at + by, 0), max(0, most))
        self.show()
