"""What a person types to correct the record of a run becomes a correction, or a sentence."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from benchplan import clock, units
from benchplan.errors import BenchplanError, Problem
from benchplan.model.ids import MarkKind
from benchplan.model.record import CORRECTABLE, NAME, UNENDED, Correction, Entry, Record
from benchplan.model.run import AMOUNTS
from benchplan.model.words import count_words, either_words, whole_number

WITH_REASON = (MarkKind.SCRAPPED, MarkKind.LEAVES, MarkKind.PASS_OVER)
LONGEST = 500
MOST_PEOPLE = 99

_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?\s*(am|pm)?", re.IGNORECASE)


def correction(
    record: Record, mark: int, field: str, text: str, why: str, now: datetime
) -> Correction:
    """Return the correction of one field of a mark to what ``text`` says.

    Raises ``BenchplanError`` with what would do: for a run that is still on, for a mark or a field
    that is not there, for a value that says nothing or nothing new, and without a reason.
    """
    if record.state in UNENDED:
        raise _refused(
            f"Run {record.run} is not over.",
            "Take the mark back at the bench and mark what is right: the plan follows it there.",
        )
    entry = next((each for each in record.entries if each.mark.number == mark), None)
    if entry is None:
        count = len(record.entries)
        held = f"Its marks are 1 to {count}." if count else "Nothing was marked in it."
        raise _refused(f"Run {record.run} has no mark {mark}.", held)
    if field not in CORRECTABLE:
        raise _refused(
            f'"{field}" is nothing that a mark has.', f"Say {either_words(list(CORRECTABLE))}."
        )
    if not why.strip():
        raise _refused("A correction needs its reason.", "Say it after --why.")
    old, new = _values(record, entry, field, text.strip())
    if old == new:
        raise _refused(f"The {field} of mark {mark} is that already.", "Nothing was changed.")
    return Correction(mark, field, old, new, _plain(why, "reason"), now)


def naming(record: Record, person: int, name: str, now: datetime) -> Correction:
    """Return what gives a person of a run a name; a run that is on can be given names too."""
    if person not in record.people:
        known = either_words([str(each) for each in record.people])
        raise _refused(f"Nobody in run {record.run} is person {person}.", f"Say {known}.")
    given = _plain(name, "name")
    if not given:
        raise _refused("A name has at least one letter.", f"For example: --name {person} Ines.")
    old = record.names.get(person, "")
    if old == given:
        raise _refused(f"Person {person} is {given} already.", "Nothing was changed.")
    return Correction(0, NAME, str(person), given, "", now)


def _values(record: Record, entry: Entry, field: str, text: str) -> tuple[str, str]:
    """Return a field's value as it counts now, and the one that the text says."""
    mark = entry.mark
    if field == "time":
        return str(mark.happened_s), str(_seconds(record, mark.happened_s, text))
    if field == "person":
        return str(mark.person), str(_person(record, text))
    if field == "amount":
        return f"{mark.amount:g}", f"{_amount(record, entry, text):g}"
    if field == "note":
        if mark.what in WITH_REASON and not text:
            raise _refused(f"Mark {mark.number} needs its reason.", "Type another one.")
        return mark.note, _plain(text, "note")
    if text.lower() not in ("yes", "no"):
        raise _refused(
            f'"{text}" does not say whether mark {mark.number} counts.', "Say yes or no."
        )
    return ("no" if entry.struck else "yes"), text.lower()


def _seconds(record: Record, old_s: int, text: str) -> int:
    """Return the second of the run that a clock time means: the one nearest to what stood there."""
    found = _TIME.fullmatch(text)
    hour, minute, second = (int(each or 0) for each in found.groups()[:3]) if found else (99, 0, 0)
    half = (found[4] or "").lower() if found else ""
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0) if 1 <= hour <= 12 else 99
    if hour > 23 or minute > 59 or second > 59:
        raise _refused(f'"{text}" is no time of day.', "Write it like 9:42, 14:05:30 or 2:05 pm.")
    old = clock.at(record.start, old_s)
    moments = []
    for days in (-1, 0, 1):
        date = (old + timedelta(days=days)).date()
        local = datetime(date.year, date.month, date.day, hour, minute, second)
        for fold in (0, 1):  # an hour that clocks show twice
            moment = local.replace(tzinfo=record.start.tzinfo, fold=fold)
            moments.append(round(clock.elapsed(record.start, moment)))
    best = min(moments, key=lambda each: (abs(each - old_s), each))
    if best < 0:
        began = clock.show_time(record.start, record.clock)
        raise _refused(f"The run had not begun at {text}.", f"It began at {began}.")
    ended = max([record.finished_s or 0, *(each.mark.entered_s for each in record.entries)])
    if best > ended:
        at = clock.show_time(clock.at(record.start, ended), record.clock, True)
        raise _refused(f"The run was over by {text}.", f"It ended at {at}.")
    return best


def _person(record: Record, text: str) -> int:
    for number, name in record.names.items():
        if name.lower() == text.lower():
            return number
    person = whole_number(text)
    if person is None or not 1 <= person <= MOST_PEOPLE:
        known = either_words([str(each) for each in record.people])
        raise _refused(f'"{text}" is nobody in run {record.run}.', f"Say {known}, or a name.")
    return person


def _amount(record: Record, entry: Entry, text: str) -> float:
    """Return an amount: a bare number is in tins, in minutes, or in the degrees that are shown."""
    mark = entry.mark
    kind = AMOUNTS.get(mark.what)
    if kind is None:
        raise _refused(
            f'Mark {mark.number} is a "{mark.what}": it counts nothing.',
            "Correct its time, person or note, or say that it does not stand.",
        )
    bare = text.replace(".", "", 1).isdecimal()
    if kind == "tins":
        trays = mark.action.trays if mark.action else ()
        most = sum(tray.tins for tray in record.trays if tray.number in trays)
        least = 1 if mark.what == MarkKind.SCRAPPED else 0
        count = whole_number(text)
        if count is None or not least <= count <= most:
            raise _refused(
                f'"{text}" is not how many tins it can have been.',
                f"The tray holds {count_words(most, 'tin')}; for none of them, say stands no.",
            )
        return count
    unit = "min" if kind == "duration" else "F" if record.units == "us" else "C"
    try:
        found = units.parse(f"{text} {unit}" if bare else text, kind)
    except units.UnitProblem as error:
        raise _refused(error.what, error.cure) from None
    return round(found) if kind == "duration" else round(found, 2)


def _plain(text: str, what: str) -> str:
    """Return a text that stays on its line."""
    said = " ".join(text.split())
    if len(said) > LONGEST or not said.isprintable():
        raise _refused(
            f"This {what} cannot be kept.", f"Use letters only, and at most {LONGEST} of them."
        )
    return said


def _refused(what: str, cure: str) -> BenchplanError:
    return BenchplanError(Problem(what, cure))
