"""The run as the screens carry it: work goes to their workers, and some keys ask first."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from threading import Event
from typing import TYPE_CHECKING, Any

from benchplan.carrying import consent, endings
from benchplan.carrying.carrier import Carrier
from benchplan.model import Plan
from benchplan.model.record import UNENDED
from benchplan.screens.dialogs import Ask, Reading
from benchplan.screens.messages import Finished
from benchplan.views.run_pages import asked_rows, caution_rows, confirm_rows, other_date
from benchplan.views.standing import left_hot

if TYPE_CHECKING:
    from benchplan.fitting import KnownFits
    from benchplan.model import Mark, Run
    from benchplan.model.stop import Stop
    from benchplan.screens.app import BenchApp

REHEARSAL_SPEED = 60.0
DRAWN_S = 0.2  # no longer is waited for a screen to be drawn: another may have taken its place


class Runs(Carrier):
    """What the keys of the Bench do to the run."""

    def __init__(self, app: BenchApp) -> None:
        super().__init__(app.session, self._once_drawn)
        self._app = app

    def _once_drawn(
        self, group: str, work: Callable[[Stop], Any], take: Callable[[Any], None]
    ) -> None:
        """Start work in its thread, but let what was marked be drawn first: both want the same
        interpreter, and a person waits for the one only."""
        drawn = Event()
        self._app.screen.call_after_refresh(drawn.set)

        def then(stop: Stop) -> Any:
            drawn.wait(DRAWN_S)
            return work(stop)

        self._app.jobs.start(group, then, take)

    def _hear(self, sentence: str) -> None:
        self._app.post_message(Finished(partial(self._session.tell, sentence)))

    def known_fits(self) -> KnownFits:
        return self._app.searching.known

    def start_or_go_on(self) -> None:
        """Begin the day, or go on with the run on offer."""
        session = self._session
        if session.offer is not None:
            self.go_on(*session.offer)
        elif isinstance(session.plan, Plan) and session.day is not None:
            if self.kit_is_known(session.day):
                self._sure_of_the_date()
            else:
                self._app.push_screen(
                    Reading(
                        "Before the first run on this kit",
                        partial(caution_rows, session.day),
                        yes="I have read this: start",
                        no="Not yet",
                    ),
                    lambda read: self._sure_of_the_date() if read else None,
                )

    def _sure_of_the_date(self) -> None:
        """Go on to begin, after a question where that is a real run on another date."""
        session = self._session
        said = "" if session.day is None else other_date(session.day, session.now())
        if not said or session.rehearsal:
            self._confirm()
            return
        ask = Ask("Start a real run on another date?", said, yes="Start the real run", no="Not yet")
        self._app.push_screen(ask, lambda yes: self._confirm() if yes else None)

    def _confirm(self) -> None:
        """Begin, after a question where values are past a limit and were not confirmed yet."""
        session = self._session
        past = consent.unconfirmed(session)
        if not past or session.day is None:
            self.begin()
            return

        def take(sure: bool | None) -> None:
            if sure:
                consent.confirm(session, past)
                self.begin()

        rows = partial(confirm_rows, session.day, past)
        self._app.push_screen(
            Reading("Values past a limit", rows, yes="I mean all of these: start", no="Not yet"),
            take,
        )

    def show_asked(self) -> None:
        """Before a run: show whole what the plan file asks for, to take it over or leave it."""
        session = self._session
        if session.asks is None or session.plan is None:
            session.tell("There is nothing to take over.")
            return

        def take(sure: bool | None) -> None:
            if sure:
                consent.take_over(session)

        self._app.push_screen(
            Reading(
                "What this file asks for",
                cache(partial(asked_rows, session.asks)),
                yes="Take it over into my settings",
                no="Leave it",
            ),
            take,
        )

    def begin(self) -> None:
        self._app.searching.cancel()
        super().begin()

    def go_on(self, run: Run, marks: tuple[Mark, ...]) -> None:
        self._app.searching.cancel()
        super().go_on(run, marks)

    def turn_rehearsal(self) -> None:
        """Before a run: change between the real clock and a rehearsal."""
        session = self._session
        if session.run is None:
            session.speed = REHEARSAL_SPEED if session.speed == 1 else 1.0
            session.offer = None
            self.look_for_unfinished()
            session.on_change()

    def undo(self) -> None:
        """Undo the last mark, after a question where that mark keeps somebody safe."""
        from benchplan.carrying import safety  # it brings the live run: paint first

        at_stake = safety.undo_asks(self._session.marks)

        def take(sure: bool | None) -> None:
            if sure:
                self.take_back()

        if at_stake:
            ask = Ask("Undo the last mark?", at_stake, yes="Undo it", no="Leave it")
            self._app.push_screen(ask, take)
        else:
            take(True)

    def ask_to_end(self) -> None:
        """End the run on show or on offer before it is complete, after a question."""
        session = self._session
        run = session.run or (session.offer[0] if session.offer else None)
        if run is None:
            return
        if run.state not in UNENDED:
            session.leave_run()
            return
        said = "It stays in the book with everything that was marked, but can't be resumed."
        hot = left_hot(endings.state_to_end(session))
        ask = Ask("End this run?", said + hot, yes="End it", no="Not yet")
        self._app.push_screen(ask, lambda yes: self.end(run) if yes else None)
