"""The time of day: the only room that asks what time it is or turns seconds into clock times.

A plan counts whole elapsed seconds from ``day.start``; a run stores instants in UTC. The zone of
an aware ``start`` decides how either is shown.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, tzinfo
from datetime import time as time_of_day
from typing import Protocol
from zoneinfo import ZoneInfo

from benchplan.errors import BenchplanError, Problem


class Clock(Protocol):
    """Whatever a run takes its time from."""

    @property
    def speed(self) -> float:
        """How many of the clock's seconds pass in one real second."""

    def now(self) -> datetime:
        """Return the present instant, in UTC."""


@dataclass(frozen=True, slots=True)
class RealClock:
    """The machine's own clock."""

    speed: float = 1.0

    def now(self) -> datetime:
        return datetime.now(UTC)


def _wall() -> datetime:
    return datetime.now(UTC)


def boottime() -> float:
    """Return seconds that only ever grow and that count while the machine sleeps, if it tells.

    Linux has a clock of that name. From memory: macOS counts sleep in its CLOCK_MONOTONIC, which
    is not what ``time.monotonic`` reads there, and Windows in ``time.monotonic`` itself.
    """
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()


TELLS_SLEEP = hasattr(time, "CLOCK_BOOTTIME") or sys.platform in ("darwin", "win32")
"""Whether ``boottime`` counts on while this machine sleeps."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What the machine's clocks say at one moment: the wall, time awake, and time with sleep."""

    wall: datetime
    awake_s: float
    passed_s: float


def reading() -> Reading:
    """Read every clock of the machine."""
    return Reading(_wall(), time.monotonic(), boottime())


@dataclass(slots=True)
class AnchoredClock:
    """The machine's clock as it was when it was anchored, and the time that has passed since.

    Nobody who sets the machine's clock moves this one: a countdown goes by the time that really
    passes, sleep included.
    """

    speed: float = 1.0
    _at: datetime = field(default_factory=_wall)
    _since: float = field(default_factory=boottime)

    def now(self) -> datetime:
        return self._at + timedelta(seconds=boottime() - self._since)

    def anchor(self) -> None:
        """Go by the machine's clock as it is now."""
        self._at, self._since = _wall(), boottime()

    def skip(self, seconds: float) -> None:
        """Count time that passed while no clock could tell."""
        self._at += timedelta(seconds=seconds)


@dataclass(frozen=True, slots=True)
class FastClock:
    """A clock that began at ``start`` when it was made and runs ``speed`` times as fast."""

    start: datetime
    speed: float
    _made: float = field(default_factory=time.monotonic)

    def now(self) -> datetime:
        passed = (time.monotonic() - self._made) * self.speed
        return self.start.astimezone(UTC) + timedelta(seconds=passed)


@dataclass(slots=True)
class ManualClock:
    """A clock that stands still until it is moved; tests use it."""

    instant: datetime
    speed: float = 1.0

    def now(self) -> datetime:
        return self.instant.astimezone(UTC)

    def move(self, seconds: float) -> None:
        """Let ``seconds`` pass."""
        self.instant += timedelta(seconds=seconds)


def monotonic() -> float:
    """Return seconds that only ever grow, for stop rules that are bounded by time."""
    return time.monotonic()


def zone_named(name: str | None) -> tzinfo:
    """Return the IANA zone ``name``, or this machine's zone for ``None``.

    Raises ``BenchplanError`` when the name is not a zone.
    """
    if name is None:
        return machine_zone()
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise BenchplanError(
            Problem(
                f'"{name}" is not a time zone.',
                'Write an IANA name such as "Europe/Lisbon", or leave zone out.',
                key="day.zone",
            )
        ) from None


def machine_zone() -> tzinfo:
    """Return this machine's zone with its daylight-saving rules where they can be known."""
    import os
    from pathlib import Path

    named = os.environ.get("TZ", "").lstrip(":")
    if not named:
        target = str(Path("/etc/localtime").resolve())
        named = target.partition("zoneinfo/")[2]
    try:
        if named:
            return ZoneInfo(named)
    except (KeyError, ValueError, OSError):
        pass
    return MACHINE


class _MachineZone(tzinfo):
    """This machine's zone by the system's own rules, where its IANA name cannot be known.

    Each moment has the offset of its own date: a zone fixed at today's would be an hour out for
    half of the year.
    """

    def utcoffset(self, moment: datetime | None, /) -> timedelta | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().utcoffset()

    def tzname(self, moment: datetime | None, /) -> str | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().tzname()

    def dst(self, moment: datetime | None, /) -> timedelta | None:
        return None

    def fromutc(self, moment: datetime, /) -> datetime:
        there = moment.replace(tzinfo=UTC).astimezone()
        found = there.replace(tzinfo=self)
        return found if found.utcoffset() == there.utcoffset() else found.replace(fold=1)


MACHINE = _MachineZone()


def local_instant(day: date, at: time_of_day, zone: tzinfo) -> datetime:
    """Return the aware instant of a local date and time; of two, the first.

    Raises ``BenchplanError`` for a local time that does not exist on that day (clocks forward).
    """
    found = datetime.combine(day, at.replace(tzinfo=None, fold=0), tzinfo=zone)
    back = found.astimezone(UTC).astimezone(zone)
    if back.replace(tzinfo=None) != found.replace(tzinfo=None):
        raise BenchplanError(
            Problem(
                f"{at:%H:%M} does not exist on {day.isoformat()}: the clocks go forward then.",
                f"{back:%H:%M} would do.",
            )
        )
    return found


def at(start: datetime, seconds: float) -> datetime:
    """Return the instant ``seconds`` elapsed seconds after ``start``, in the zone of ``start``."""
    return (start.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(start.tzinfo)


def elapsed(start: datetime, instant: datetime) -> float:
    """Return the elapsed seconds from ``start`` to ``instant`` (negative before it)."""
    return (instant.astimezone(UTC) - start.astimezone(UTC)).total_seconds()


def told_twice(instant: datetime) -> bool:
    """Say whether the clocks of its zone show a time twice that night, because they go back."""
    other = instant.replace(fold=1 - instant.fold)
    return other.utcoffset() != instant.utcoffset()


def show_time(instant: datetime, hours: int = 24, seconds: bool = False) -> str:
    """Return a clock time: ``14:05`` or ``2:05 pm``, with ``:07`` for seconds when asked.

    A time that is told twice that night has its zone: ``1:30 am CEST``, an hour later ``1:30 am
    CET``.
    """
    tail = f":{instant:%S}" if seconds else ""
    which = f" {instant:%Z}" if told_twice(instant) else ""
    if hours == 12:
        half = "am" if instant.hour < 12 else "pm"
        return f"{instant.hour % 12 or 12}:{instant:%M}{tail} {half}{which}"
    return f"{instant:%H:%M}{tail}{which}"


def show_span(seconds: float) -> str:
    """Return a span in words: ``35 s``, ``7 min``, ``7 min 30 s``, ``1 h 05 min``."""
    whole = round(abs(seconds))
    sign = "-" if seconds < 0 and whole else ""
    minutes, rest = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{sign}{hours} h {minutes:02d} min"
    if minutes and rest:
        return f"{sign}{minutes} min {rest:02d} s"
    return f"{sign}{minutes} min" if minutes else f"{sign}{rest} s"


def show_minutes(seconds: float) -> str:
    """Return a span as ``show_span`` does, without the seconds over a minute: ``7 min``."""
    whole = round(seconds)
    return show_span(whole - whole % 60 if whole >= 60 else whole)


def show_countdown(seconds: float) -> str:
    """Return what a countdown shows: ``4:05``, ``1:02:09``; past due it counts up with ``+``."""
    whole = int(-(-seconds // 1)) if seconds > 0 else -int(-seconds // 1)
    sign = "+" if whole < 0 else ""
    minutes, rest = divmod(abs(whole), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{sign}{hours}:{minutes:02d}:{rest:02d}" if hours else f"{sign}{minutes}:{rest:02d}"
