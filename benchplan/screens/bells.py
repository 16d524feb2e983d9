"""Heard and seen from afar: the bell, the maker's alarm_command, the title of the terminal."""

from __future__ import annotations

import os
from functools import cached_property
from typing import TYPE_CHECKING

from benchplan.carrying.alarm_command import AlarmCommand
from benchplan.views import frame

if TYPE_CHECKING:
    from benchplan.live import Ringing
    from benchplan.live.state import State
    from benchplan.screens.app import BenchApp

# Operating system command 0 sets a terminal's title; xterm keeps the one before on a stack.
SET, KEEP, GIVE_BACK = "\x1b]0;{}\x07", "\x1b[22;0t", "\x1b[23;0t"
NO_TITLE = ("linux", "dumb", "")  # kinds of terminals that have none and may print the words


class Bells:
    """Rings for what somebody has to do, whichever screen is open."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._command = AlarmCommand()
        self._title = ""

    @cached_property
    def _ringing(self) -> Ringing:
        from benchplan.live import Ringing  # with the first run: paint first

        return Ringing()

    def tick(self, state: State | None) -> None:
        """Ring when an alarm is to, show the title, and see how the command is getting on."""
        now = self._app.monotonic()
        self.show_title(state)
        if state is not None:
            found = self._ringing.rings(state, now)
            if found is not None:
                self._app.bell()
                self._command.start(self._wanted, found.words, found.stage, now)
        self._command.look(now)
        fault = self._command.take_fault()
        if fault:
            self._app.session.tell(fault)

    def check(self) -> None:
        """The sound check: ring and run the command as an alarm would, and say what to hear."""
        self._app.bell()
        words = "Sound check: this is how an alarm of benchplan sounds"
        self._command.start(self._wanted, words, "check", self._app.monotonic())
        self._app.session.tell(self._command.take_fault() or frame.sound_check(self._wanted))

    @property
    def _wanted(self) -> tuple[str, ...]:
        day = self._app.session.day
        return day.bench.alarm_command if day else ()

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
        self._command.close()
        if self._title:
            self._write(SET.format("") + GIVE_BACK)
            self._title = ""

    def _write(self, text: str) -> None:
        """Send to the terminal through Textual's own driver, in order with what it draws."""
        app = self._app
        if os.environ.get("TERM", "") not in NO_TITLE and not app.is_headless and app._driver:
            app._driver.write(text)
