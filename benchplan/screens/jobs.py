"""Work that must not keep a key waiting: run in named threads, answered by messages.

The rooms that do the work are imported here, in the thread, so that the first screen is painted
before any of them is loaded.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, TypeVar

from textual.worker import get_current_worker

from benchplan.errors import BenchplanError
from benchplan.home.log_file import LOG
from benchplan.model.stop import Stopped
from benchplan.screens.messages import Failed, Finished

if TYPE_CHECKING:
    from benchplan.balance import Balance
    from benchplan.book import BenchBook
    from benchplan.files import PlanFile
    from benchplan.fitting import KnownFits, Places, Wanted
    from benchplan.model import Day, Plan
    from benchplan.model.stop import Stop
    from benchplan.screens.app import BenchApp

T = TypeVar("T")


class Jobs:
    """Starts jobs for the app. A new job of a group takes the place of the one before it."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._stops: dict[str, Event] = {}

    def start(
        self,
        group: str,
        work: Callable[[Stop], T],
        take: Callable[[T], None],
        refused: Callable[[BenchplanError], None] | None = None,
    ) -> None:
        """Run ``work`` in the thread of ``group`` and hand its result to ``take`` on the app's.

        A ``BenchplanError`` goes to ``refused`` on the app's thread; without one, into the band.
        """
        self.cancel(group)
        stop = self._stops[group] = Event()
        self._app.run_worker(
            partial(self._run, partial(work, stop.is_set), take, refused),
            name=group,
            group=group,
            thread=True,
            exclusive=True,
            exit_on_error=False,
        )

    def cancel(self, group: str) -> None:
        """Ask the job of a group to end at once."""
        if group in self._stops:
            self._stops[group].set()

    def cancel_all(self) -> None:
        """Ask every job to end at once: leaving waits for their threads."""
        for stop in self._stops.values():
            stop.set()

    def _run(
        self,
        work: Callable[[], T],
        take: Callable[[T], None],
        refused: Callable[[BenchplanError], None] | None,
    ) -> None:
        worker = get_current_worker()
        message: Finished | Failed
        try:
            result = work()
            message = Finished(partial(take, result))
        except Stopped:
            return
        except BenchplanError as error:
            message = Finished(partial(refused, error)) if refused else Failed(str(error))
        except Exception as error:
            LOG.exception("the job %s failed", worker.name)
            message = Failed(f"That did not work: {error or type(error).__name__}.")
        if not worker.is_cancelled:
            self._app.post_message(message)


def new_day(sample: Path, name: str, on: date, path: Path, stop: Stop) -> Path:
    """Write a copy of a sample under its own name and date, with its kit file; return its path."""
    from benchplan import files
    from benchplan.screens.saving import next_time

    plan_file = files.read_plan(sample)
    files.save_plan(plan_file, next_time(plan_file.day, name, on), path)
    return path


def read(path: Path, stop: Stop) -> PlanFile:
    """Read a plan file; raises ``BenchplanError`` with every problem in it."""
    from benchplan import files

    return files.read_plan(path)


def sleep_words(stop: Stop) -> str:
    """Say whether the machine is set to sleep; the system's tools may take a while."""
    from benchplan.carrying import sleeping

    return sleeping.sleep_words()


def save(plan_file: PlanFile, day: Day, path: Path, stop: Stop) -> PlanFile:
    """Write a day into a plan file and return the file as it reads now."""
    from benchplan import files

    files.save_plan(plan_file, day, path)
    return files.read_plan(path)


def more(day: Day, plan: Plan, fits: KnownFits, stop: Stop) -> Plan:
    """Return the plan with all that is said of it when more is asked for."""
    from benchplan.more import more

    return more(day, plan, fits, stop)


def search(
    day: Day,
    fits: KnownFits,
    book: BenchBook | None,
    tell: Callable[[Wanted, int], None],
    stop: Stop,
) -> dict[str, Places]:
    """Search what nobody has searched yet of what the day can use, and return all that is known."""
    from benchplan import keeping

    return keeping.search_and_keep(day, fits, book, stop=stop, tell=tell)


def balance(
    day: Day, plan: Plan, fits: KnownFits, tell: Callable[[Balance], None], stop: Stop
) -> Balance:
    """Return how the day ends with other room to cool in, and tell it as it is found."""
    from benchplan.balance import balance

    return balance(day, plan, fits, cancelled=stop, tell=tell)
