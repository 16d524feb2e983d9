"""Heard and seen from afar: what an alarm sounds like, and the title of the terminal."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from benchplan.carrying.sounding import Sounding
from benchplan.views import frame

if TYPE_CHECKING:
    from benchplan.live.state import State
    from benchplan.screens.app import BenchApp

# Operating system command 0 sets a terminal's title; xterm keeps the one before on a stack.
SET, KEEP, GIVE_BACK = "\x1b]0;{}\x07", "\x1b[22;0t", "\x1b[23;0t"
NO_TITLE = ("linux", "dumb", "")  # kinds of terminals that have none and may print the words


class Bells(Sounding):
    """Rings for what somebody has to do, whichever screen is open, and writes it into the title."""

    def __init__(self, app: BenchApp) -> None:
        super().__init__(app.session, lambda: app.bell(), lambda: app.monotonic())
        self._app = app
        self._title = ""

    def tick(self, state: State | None) -> None:
        self.show_title(state)
        super().tick(state)

    def show_title(self, state: State | None) -> None:
        """Put the alarm, or the next countdown, into the terminal's title."""
        session = self._app.session
        name = session.day.name if session.day else ""
        words = frame.title(state, name, session.rehearsal)
        if words != self._title:
            self._write(("" if self._title else KEEP) + SET.format(words))
            self._title = words

    def close(self) -> None:
        """End the command and give the terminal its own title back."""
        super().close()
        if self._title:
            self._write(SET.format("") + GIVE_BACK)
            self._title = ""

    def _write(self, text: str) -> None:
        """Send to the terminal through Textual's own driver, in order with what it draws."""
        app = self._app
        if os.environ.get("TERM", "") not in NO_TITLE and not app.is_headless and app._driver:
            app._driver.write(text)
