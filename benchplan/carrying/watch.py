"""Tells that the machine slept, that nothing moved for a while, or that its clock was set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.clock import AnchoredClock, Reading

if TYPE_CHECKING:
    from benchplan.carrying.session import Session

LEAST_S = 2.0  # less than this between two clocks is how clocks are
STOOD_S = 10.0  # so long without a look: the looks are a second apart


@dataclass(frozen=True, slots=True)
class Event:
    """``what`` is "slept" or "stood" for ``seconds``, "set" by so many, or "unsure".

    Unsure: the clock moved on by itself on a machine that does not tell sleep from a clock that
    somebody set.
    """

    what: str
    seconds: float


class Watch:
    """Compares what the clocks say with what they said before; time is an argument."""

    def __init__(self, tells_sleep: bool = clock.TELLS_SLEEP) -> None:
        self._tells_sleep = tells_sleep
        self._before: Reading | None = None
        self._anchor: Reading | None = None  # what the wall is compared with

    def look(self, now: Reading) -> tuple[Event, ...]:
        """Return what has happened since the last look."""
        before, self._before = self._before, now
        if before is None or self._anchor is None:
            self._anchor = now
            return ()
        found = []
        awake, passed = now.awake_s - before.awake_s, now.passed_s - before.passed_s
        if passed - awake > LEAST_S:
            found.append(Event("slept", passed))
        elif awake > STOOD_S:
            found.append(Event("stood", awake))
        moved = clock.elapsed(self._anchor.wall, now.wall)
        by = moved - (now.passed_s - self._anchor.passed_s)
        if abs(by) > LEAST_S:
            self._anchor = now
            found.append(Event("set" if self._tells_sleep or by < 0 else "unsure", by))
        return tuple(found)


class Watcher:
    """Looks at the machine's clocks for a session, keeps its clock right, and says what was."""

    def __init__(self, session: Session, read: Callable[[], Reading], watch: Watch | None = None):
        self._session, self._read = session, read
        self._watch = watch or Watch()

    def look(self) -> None:
        """Look once; whoever counts calls this at every tick, before anything is shown."""
        session = self._session
        for event in self._watch.look(self._read()):
            wall = session.wall
            if isinstance(wall, AnchoredClock):
                if event.what == "unsure":
                    wall.skip(event.seconds)
                elif event.what == "set" and (session.run is None or session.rehearsal):
                    wall.anchor()
            if session.day is not None and not session.rehearsal:
                on = session.run is not None and not session.done
                hours = session.day.display.clock
                said = event_words(event, session.local_now(), hours, on)
                session.tell(f"{session.message}\n{said}".strip())


def event_words(event: Event, now: datetime, hours: int, running: bool) -> str:
    """Say what happened to the machine or its clock, and what that means for what is shown."""
    if event.what == "unsure" or (event.what in ("slept", "stood") and running):
        due = " What came due meanwhile shows as overdue; nothing is counted shorter."
    else:
        due = ""
    to = clock.show_time(now, hours)
    since = clock.show_time(clock.at(now, -abs(event.seconds)), hours)
    span = clock.show_span(abs(event.seconds))
    if event.what == "slept":
        return f"The machine slept from {since} to {to}, {span}.{due}"
    if event.what == "stood":
        return (
            f"Nothing moved here from {since} to {to}, {span}: the terminal was frozen, or the "
            f"machine was too busy.{due}"
        )
    if event.what == "unsure":
        return f"The clock went on by {span} by itself: the machine slept, or somebody set it.{due}"
    way = "forward" if event.seconds > 0 else "back"
    said = f"The machine's clock was set {way} by {span}."
    if not running:
        return f"{said} It is {to} by it now."
    side = "behind" if event.seconds > 0 else "ahead of"
    return (
        f"{said} Countdowns go by the time that really passes and are right; clock times shown "
        f"here stay {span} {side} it until the run is put away."
    )
