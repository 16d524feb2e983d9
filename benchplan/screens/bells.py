"""When to ring: once as an oven's exit nears, then at intervals from the moment it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchplan.live.state import State

APART_S = 10.0  # real seconds between bells while a tray should be out


class Bells:
    """Remembers what has been rung for; it rings only for what somebody has to do."""

    def __init__(self) -> None:
        self._rung: tuple[str, tuple[int, ...], bool] | None = None
        self._at = 0.0

    def due(self, state: State, monotonic: float) -> bool:
        """Say whether to ring now; ``monotonic`` are real seconds, whatever clock the run has."""
        from benchplan import live

        alarm = live.alarm(state)
        if alarm is None:
            self._rung = None
            return False
        due = alarm.stage != "soon"
        what = (alarm.oven, alarm.trays, due)
        again = due and monotonic - self._at >= APART_S
        if what == self._rung and not again:
            return False
        self._rung, self._at = what, monotonic
        return True
