"""Save and save as: the day into its plan file, or into next time's."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.errors import BenchplanError
from benchplan.model import Day
from benchplan.screens import jobs, samples
from benchplan.screens.dialogs import Field, Fields

if TYPE_CHECKING:
    from benchplan.files import PlanFile
    from benchplan.screens.app import BenchApp


class Saving:
    """Writes the open day to a file; a job does the writing, a band says how it went."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._session = app.session

    def save(self) -> None:
        """Write the day into its own file; a day of the samples asks for a name instead."""
        session = self._session
        if session.plan_file is None or session.path is None:
            session.tell("No day is open.")
        elif samples.is_sample(session.path):
            self.save_as()
        elif not session.changed:
            session.tell(f"Nothing has changed since {session.path.name} was written.")
        else:
            self._write(session.file_day(), session.path, open_it=False)

    def save_as(self) -> None:
        """Ask for a name and a date and write the day as a new file beside this one."""
        session = self._session
        day = session.file_day()
        if day is None or session.plan_file is None or session.path is None:
            session.tell("No day is open.")
            return
        folder = Path.cwd() if samples.is_sample(session.path) else session.path.parent

        def take(answer: tuple[str, ...] | None) -> None:
            if answer is not None and day is not None:
                name, date_text = answer
                path = folder / file_name(name)
                new = next_time(day, name, date.fromisoformat(date_text))
                self._write(new, path, open_it=session.run is None)

        self._app.push_screen(
            Fields(
                "Save as",
                f"Writes a new plan file into {folder.resolve()}: next time's day, nothing filled "
                "yet.",
                [
                    Field("Name", new_name(folder, day.name), partial(check_new_name, folder)),
                    Field(
                        "Date (year-month-day)",
                        (day.start.date() + timedelta(weeks=1)).isoformat(),
                        partial(check_date, day),
                    ),
                ],
            ),
            take,
        )

    def _write(self, day: Day | None, path: Path, open_it: bool) -> None:
        session = self._session
        plan_file = session.plan_file
        if day is None or plan_file is None:
            return

        def take(written: PlanFile) -> None:
            if open_it:
                self._app.open_path(path)
            elif path == session.path:
                session.saved(written)
            session.tell(f"Saved: {path}")

        self._app.jobs.start("save", partial(jobs.save, plan_file, day, path), take)


def file_name(name: str) -> str:
    """Return the file name for a day's name, such as "harbour_fair.toml"; "" when none is left."""
    stem = re.sub(r"\W+", "_", name.lower()).strip("_")
    return f"{stem}.toml" if stem else ""


def check_new_name(folder: Path, name: str) -> str:
    """Say what is wrong with the name of a new day whose file goes into a folder, or nothing."""
    if not file_name(name):
        return "Type a name with at least one letter or figure."
    path = folder / file_name(name)
    return f"{path} exists already; choose another name." if path.exists() else ""


def new_name(folder: Path, name: str) -> str:
    """Return a day's name, counted on where its file is there already: "Harbour fair 2"."""
    found, stem, number = name, re.sub(r" \d+$", "", name), 1
    while (folder / file_name(found)).exists():
        number += 1
        found = f"{stem} {number}"
    return found


def read_date(text: str) -> str:
    """Say what is wrong with a date as typed, or nothing."""
    try:
        date.fromisoformat(text)
    except ValueError:
        return "Type a date such as 2026-12-05."
    return ""


def check_date(day: Day, text: str) -> str:
    """Say what is wrong with a date for a day, or nothing."""
    if said := read_date(text):
        return said
    try:
        next_time(day, day.name, date.fromisoformat(text))
    except BenchplanError as error:
        return str(error)
    return ""


def next_time(day: Day, name: str, on: date) -> Day:
    """Return a day like this one under another name and date, with no tin filled yet.

    Raises ``BenchplanError`` when the day's start time does not exist on that date.
    """
    zone = day.start.tzinfo
    assert zone is not None
    start = clock.local_instant(on, day.start.time(), zone)
    orders = tuple(replace(order, filled=0) for order in day.orders)
    return replace(day, name=name, start=start, orders=orders)
