"""What an alarm sounds like: the bell of whoever shows the run, and the maker's alarm_command.

A rehearsal rings and does not run the command, except for the sound check, which asks for it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from benchplan.carrying.alarm_command import AlarmCommand
from benchplan.views import frame

if TYPE_CHECKING:
    from benchplan.carrying.session import Session
    from benchplan.live import Ringing
    from benchplan.live.state import State


class Sounding:
    """Rings for what somebody has to do. ``bell`` rings once; None where nothing has a bell.

    ``monotonic`` returns real seconds, whatever the run's clock does.
    """

    def __init__(
        self, session: Session, bell: Callable[[], None] | None, monotonic: Callable[[], float]
    ) -> None:
        self._session, self._bell, self._monotonic = session, bell, monotonic
        self._command = AlarmCommand()

    @cached_property
    def _ringing(self) -> Ringing:
        from benchplan.live import Ringing  # with the first run: paint first

        return Ringing()

    def tick(self, state: State | None) -> None:
        """Ring when an alarm is to, and see how the command is getting on."""
        now = self._monotonic()
        found = self._ringing.rings(state, now) if state is not None else None
        if found is not None:
            self._ring()
            if not self._session.rehearsal:
                self._command.start(self._wanted, found.words, found.stage, now)
        self._command.look(now)
        fault = self._command.take_fault()
        if fault:
            self._session.tell(fault)

    def check(self) -> None:
        """The sound check: ring and run the command as an alarm would, and say what to hear."""
        self._ring()
        words = "Sound check: this is how an alarm of benchplan sounds"
        self._command.start(self._wanted, words, "check", self._monotonic())
        heard = frame.sound_check(self._wanted, self._bell is not None)
        self._session.tell(self._command.take_fault() or heard)

    def close(self) -> None:
        """End the command."""
        self._command.close()

    def _ring(self) -> None:
        if self._bell is not None:
            self._bell()

    @property
    def _wanted(self) -> tuple[str, ...]:
        settings = self._session.settings
        return settings.alarm_command if settings else ()
