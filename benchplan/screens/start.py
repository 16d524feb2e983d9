"""The start page: the sample days, a new day from a sample, and the days that were open lately."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from benchplan.errors import BenchplanError
from benchplan.screens import jobs
from benchplan.screens.actions import bindings
from benchplan.screens.base import DayScreen
from benchplan.screens.widgets.lines import Lines
from benchplan.views.start import Entry, start_rows

if TYPE_CHECKING:
    from benchplan.book import RecentFile
    from benchplan.carrying.session import Session
    from benchplan.screens.samples import Sample


@dataclass(frozen=True, slots=True)
class Offer:
    """A line of the page and what choosing it does."""

    entry: Entry
    choose: Callable[[], None]


class StartScreen(DayScreen):
    """What to open. The list is looked up after the page has been painted."""

    NAME = "start"
    BINDINGS = bindings("start")

    def __init__(self) -> None:
        super().__init__()
        self._offers: tuple[Offer, ...] = ()
        self._at = 0

    def body(self) -> ComposeResult:
        yield Lines(classes="start")

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        self.call_after_refresh(self._look_up)

    def _look_up(self) -> None:
        """List what there is to open."""
        from benchplan.screens.samples import samples

        found = samples()
        offers = [
            Offer(
                Entry("Sample days", each.name, each.about),
                partial(self.bench_app.open_path, each.path),
            )
            for each in found
        ]
        if found:
            new = Entry("A day of your own", "New day from a sample", "a file of its own, here")
            offers.append(Offer(new, partial(self._new_day, found)))
        offers += [
            Offer(
                Entry("Recent days", each.name, each.path),
                partial(self.bench_app.open_path, Path(each.path)),
            )
            for each in self._recent()
        ]
        self._offers = tuple(offers)
        self._at = min(self._at, max(0, len(offers) - 1))
        self.show()

    def _recent(self) -> tuple[RecentFile, ...]:
        """Return the files opened lately; a book that cannot be read says so in the band."""
        try:
            return self.bench_app.runs.book.recent_files()
        except BenchplanError as error:
            self.session.tell(str(error))
            return ()

    def refresh_view(self, session: Session) -> None:
        page = self.query_one(".start", Lines)
        width, height = self.query_one(".body").size
        entries = [offer.entry for offer in self._offers]
        page.show(start_rows(entries, self._at, max(20, width - 4), max(1, height)))

    def action_move(self, by: int) -> None:
        if self._offers:
            self._at = (self._at + by) % len(self._offers)
            self.show()

    def action_choose(self) -> None:
        if self._offers:
            self._offers[self._at].choose()

    def _new_day(self, samples: list[Sample]) -> None:
        """Ask from which sample, then for a name and a date, and write the new day."""
        from benchplan.screens.dialogs import Choose, Field, Fields
        from benchplan.screens.saving import check_new_name, file_name, read_date

        folder = Path.cwd()

        def write(sample: Sample, answer: tuple[str, ...] | None) -> None:
            if answer is not None:
                name, on = answer[0], date.fromisoformat(answer[1])
                job = partial(jobs.new_day, sample.path, name, on, folder / file_name(name))
                self.bench_app.jobs.start("save", job, self.bench_app.open_path)

        def ask(answer: int | None) -> None:
            if answer is None:
                return
            sample = samples[answer]
            fields = [
                Field("Name", "", partial(check_new_name, folder)),
                Field("Date (year-month-day)", self.today(), read_date),
            ]
            words = f"A copy of {sample.name} to make your own. It goes into {folder}."
            self.app.push_screen(Fields("New day", words, fields), partial(write, sample))

        names = [each.name for each in samples]
        self.app.push_screen(Choose("New day", "From which sample?", names), ask)

    def today(self) -> str:
        """Return today's date by the app's clock."""
        return self.session.wall.now().astimezone().date().isoformat()
