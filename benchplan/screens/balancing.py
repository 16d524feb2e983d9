"""Works out in the background how the open day ends with other room to cool in."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchplan.screens import jobs
from benchplan.screens.messages import Finished

if TYPE_CHECKING:
    from benchplan.balance import Balance
    from benchplan.model import Day, Plan
    from benchplan.screens.app import BenchApp

GROUP = "balance"


class Balancing:
    """What is known of the balance of the session's day, and the job that finds it."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._of: tuple[Day, Plan] | None = None
        self._found: Balance | None = None

    @property
    def found(self) -> Balance | None:
        """What is known by now for the session's day and plan; None while there is nothing."""
        return self._found if self._is_of_now() else None

    def follow(self, wanted: bool) -> None:
        """End the job where its day is not the session's any more; begin another if ``wanted``.

        Nothing begins while the day has no plan or a run is on.
        """
        if self._is_of_now():
            return
        self.end()
        session = self._app.session
        day, plan = session.day, session.good_plan()
        if wanted and day is not None and plan is not None and session.run is None:
            of = self._of = (day, plan)
            known = dict(self._app.searching.known)
            work = partial(jobs.balance, day, plan, known, partial(self._hear, of))
            self._app.jobs.start(GROUP, work, partial(self._take, of))

    def end(self) -> None:
        """End the job; what it has found is kept only if that is all."""
        self._app.jobs.cancel(GROUP)
        if self._found is None or not self._found.done:
            self._of = self._found = None

    def _is_of_now(self) -> bool:
        session = self._app.session
        plan = session.good_plan()
        if self._of is None or plan is None or session.run is not None:
            return False
        # What is learned of a plan beside its steps (what one more wins) leaves it the same plan.
        return self._of[0] is session.day and self._of[1].steps is plan.steps

    def _hear(self, of: tuple[Day, Plan], found: Balance) -> None:
        """Hand over from the job's thread what is known by now."""
        self._app.post_message(Finished(partial(self._take, of, found)))

    def _take(self, of: tuple[Day, Plan], found: Balance) -> None:
        if of is self._of:
            self._found = found
            self._app.show()
