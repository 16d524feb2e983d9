"""The clock times of a day: when it starts, its breaks, when it must be done."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Any

from benchplan import clock
from benchplan.errors import BenchplanError
from benchplan.files.lines import Path
from benchplan.files.notes import Note
from benchplan.files.values import BAD
from benchplan.model import Break

FARTHEST_S = 7 * 86400


@dataclass(frozen=True, slots=True)
class Moments:
    """The start as an aware local time, all else in whole seconds from it."""

    start: datetime
    finish_by_s: int | None
    breaks: tuple[Break, ...]


def read_moments(day: dict[str, Any], note: Note) -> Moments | None:
    """Turn the clock times under ``[day]`` into seconds; None when that cannot be."""
    values = {key: value for key, value in day.items() if value is not BAD}
    if "date" not in values or "start" not in values or day.get("zone") is BAD:
        return None
    zone = values.get("zone") or clock.machine_zone()
    start = _start(values["date"], values["start"], zone, note)
    if start is None:
        return None
    finish = None
    if "finish_by" in values:
        finish = _after(start, values["finish_by"], ("day", "finish_by"), note)
    breaks = []
    for place, each in enumerate(values.get("breaks", ())):
        if each is BAD or BAD in (each.get("at", BAD), each.get("for", BAD), each.get("away")):
            continue
        at_s = _after(start, each["at"], ("day", "breaks", place, "at"), note)
        if at_s is not None:
            breaks.append((place, Break(at_s, each["for"], each.get("away"))))
    if day.get("people") is not BAD:
        _too_many_away(breaks, day.get("people", 1), start, note, "people" in day)
    return Moments(start, finish, tuple(pause for _, pause in breaks))


def seconds_after(start: datetime, at: time | datetime) -> int:
    """Return the seconds from ``start`` to a time of day, the next day's where it is earlier.

    ``at`` may also be a date and time of its own. Raises ``BenchplanError`` for a local time that
    the clocks leap over that day.
    """
    day = start.date()
    if isinstance(at, time) and at < start.time().replace(tzinfo=None):
        day += timedelta(days=1)
    return round(clock.elapsed(start, _instant(day, at, start.tzinfo or UTC)))


def _instant(day: date, at: time | datetime, zone: tzinfo) -> datetime:
    if not isinstance(at, datetime):
        return clock.local_instant(day, at, zone)
    if at.tzinfo is not None:
        return at.astimezone(zone)
    return clock.local_instant(at.date(), at.time(), zone)


def _start(day: date, at: time | datetime, zone: tzinfo, note: Note) -> datetime | None:
    path: Path = ("day", "start")
    try:
        start = _instant(day, at, zone)
    except BenchplanError as error:
        note(path, error.problems[0].what, error.problems[0].cure)
        return None
    if start.date() != day:
        note(path, f"start is on {start.date()}, but date is {day}.", "Let both be the same day.")
        return None
    return start


def _after(start: datetime, at: time | datetime, path: Path, note: Note) -> int | None:
    try:
        seconds = seconds_after(start, at)
    except BenchplanError as error:
        note(path, error.problems[0].what, error.problems[0].cure)
        return None
    if 0 <= seconds <= FARTHEST_S:
        return seconds
    when = "before the day starts" if seconds < 0 else "more than a week after the day starts"
    note(path, f"{path[-1]} is {at.isoformat()}, {when}.", "Write a time of day: 15:30:00.")
    return None


def _too_many_away(
    breaks: list[tuple[int, Break]], people: int, start: datetime, note: Note, said: bool
) -> None:
    """Note explicit breaks that together take more people away than there are."""
    numbered = [replace(pause, away=pause.away or 0) for _, pause in breaks]
    for place, pause in breaks:
        covering = [each for each in numbered if each.at_s <= pause.at_s < each.end_s]
        away = sum(each.away or 0 for each in covering)
        if pause.away is not None and away > people:
            when = clock.show_time(clock.at(start, pause.at_s))
            there = f"day.people is {people}" + ("" if said else ", as it is not set")
            note(
                ("day", "breaks", place, "away"),
                f"At {when} {away} people would be away, but {there}.",
                "Lower away, or leave it out: then everyone not already away is.",
            )
