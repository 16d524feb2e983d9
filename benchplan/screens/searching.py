"""Looks for one more tin in the background, and has the day planned anew where one is found."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.screens import jobs
from benchplan.screens.messages import Finished

if TYPE_CHECKING:
    from benchplan.fitting import Places, Wanted
    from benchplan.screens.app import BenchApp

GROUP = "fit"


class Searching:
    """What searches have found, from the bench book, and the search that is under way."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._known: dict[str, Places] | None = None
        self._sought: tuple[str, ...] = ()

    @property
    def known(self) -> dict[str, Places]:
        """What searches have found so far; nothing where there is no book."""
        if self._known is None:
            from benchplan.keeping import kept_fits

            try:
                self._known = kept_fits(self._app.runs.book)
            except BenchplanError:
                self._known = {}
        return self._known

    @property
    def on(self) -> bool:
        """Whether a search is under way."""
        return bool(self._sought)

    def begin(self) -> None:
        """Search what the day can use and nobody has searched, unless a run is on.

        A search for the same fits goes on undisturbed, whatever else is changed about the day.
        """
        from benchplan import fitting

        session = self._app.session
        if session.day is None or session.run is not None or session.offer is not None:
            return
        wanted = fitting.unsearched(session.day, self.known)
        sought = tuple(each.key for each in wanted)
        if not sought or sought == self._sought:
            return
        self._sought = sought
        try:
            book = self._app.runs.book
        except BenchplanError:
            book = None
        work = partial(jobs.search, session.day, dict(self.known), book, self._hear)
        self._app.jobs.start(GROUP, work, self._take)

    def cancel(self) -> None:
        """End the search: a run needs no more tins, and all of the machine."""
        self._app.jobs.cancel(GROUP)
        self._app.jobs.cancel("more")
        self._sought, self._app.session.searching = (), ""

    def _hear(self, wanted: Wanted, count: int) -> None:
        """Say from the job's thread what is looked for now."""
        words = f"looking for {count + 1} on {wanted.pan}"
        self._app.post_message(Finished(partial(self._say, words)))

    def _say(self, words: str) -> None:
        if self._sought:
            self._app.session.searching = words
            self._app.show()

    def _take(self, found: dict[str, Places]) -> None:
        """Take what was found; plan the day anew where that is more than rows hold."""
        session = self._app.session
        more = [key for key in found if key not in self.known and found[key]]
        self._known, self._sought, session.searching = found, (), ""
        if more and session.run is None and session.day is not None:
            session.on_day()
            session.tell("More tins fit than in rows: 2 shows them. The day is planned anew.")
        else:
            self._app.look_for_more()
