"""What a record's marks, corrections and outcomes are in words."""

from __future__ import annotations

from collections.abc import Sequence

from benchplan import clock, units
from benchplan.model import Action, Mark
from benchplan.model.ids import MarkKind
from benchplan.model.record import NAME, UNENDED, Correction, Entry, Record, TrayRecord
from benchplan.model.run import AMOUNTS
from benchplan.model.run_words import item_words, why_words
from benchplan.model.words import action_words, count_words, list_words, tray_words

STATES = {
    "running": "still running",
    "held": "held, and not gone on with yet",
    "stopped": "stopped before its end",
    "aborted": "aborted",
    "complete": "complete",
}


def when(record: Record, seconds: float, exact: bool = True) -> str:
    """Return a clock time of the run's zone, with its date where that is not the run's first."""
    moment = clock.at(record.start, seconds)
    said = clock.show_time(moment, record.clock, exact)
    if moment.date() == record.start.date():
        return said
    return f"{moment:%a} {moment.day} {moment:%b} {said}"


def who(record: Record, person: int) -> str:
    """Return a person's name, or else "person 2"."""
    return record.names.get(person, f"person {person}")


def _whose(record: Record, person: int) -> str:
    return record.names.get(person, f"Person {person}")


def amount_words(record: Record, mark: Mark, amount: float) -> str:
    """Say what a mark's amount counts: "2 tins", "1 min", "158 °C"."""
    kind = AMOUNTS.get(mark.what)
    if kind == "temperature":
        return units.show_temperature(amount, record.units)
    if kind == "duration":
        return clock.show_span(amount)
    return count_words(round(amount), "tin") if kind == "tins" else f"{amount:g}"


def mark_words(record: Record, mark: Mark) -> str:
    """Say what a mark says has happened."""
    about, amount = _about(record, mark.action), amount_words(record, mark, mark.amount)
    trays = tray_words(mark.action.trays) if mark.action and mark.action.trays else "a tray"
    place = mark.action.place if mark.action else ""
    why = f", because: {words}" if (words := why_words(mark)) else ""
    item = item_words(mark.item)
    comer = f": {mark.note}" if mark.note else ""
    said = {
        MarkKind.DONE: f"Done: {about}" + (f" (early: {why_words(mark)})" if mark.reason else ""),
        MarkKind.TICK: f"Ticked: {item}" + (f" ({about})" if about else ""),
        MarkKind.PASS_OVER: f"Passed over: {item}" + (f" ({about})" if about else "") + why,
        MarkKind.TAKE_BACK: f"Mark {mark.takes_back} taken back",
        MarkKind.FILLED: f"{amount} of {trays} filled so far",
        MarkKind.LONGER: f"{amount} longer: {about}",
        MarkKind.BACK_IN: f"Back in for {amount}: {trays}{why}",
        MarkKind.SCRAPPED: f"Scrapped: {amount} of {trays}{why}",
        MarkKind.WET: f"Not dry: {mark.item.scent}"
        + (f"; removed from the day: {trays}" if mark.action else ""),
        MarkKind.EARLY: f"Out early: {about}{why}",
        MarkKind.CHECKED: f"Checked, not hot: {trays}",
        MarkKind.JUDGED: f"Judged after the oven was cool: {amount} of {trays} good",
        MarkKind.LEAVES: f"Left the day: {trays}{why}",
        MarkKind.HOLD: f"Held{why}",
        MarkKind.GO_ON: "Gone on with",
        MarkKind.LATE: f"{_whose(record, mark.person)} away for {amount}{why}",
        MarkKind.PERSON_COMES: f"One more person came{comer}",
        MarkKind.PERSON_GOES: f"{_whose(record, mark.person)} left{why}",
        MarkKind.OVEN_OUT: f"{place} out of the day{why}",
        MarkKind.READING: f"{place} showed {amount}",
        MarkKind.STOP: f"Stopping: what is hot is finished{why}",
        MarkKind.ABORT: f"Aborted: ovens off{why}",
    }
    return said[mark.what]


def _about(record: Record, action: Action | None) -> str:
    """Say the action that a mark is about; an empty text where there is none to say."""
    if action is None or not action.what:
        return ""
    scents = {tray.number: tray.scents[0] for tray in record.trays if tray.scents}
    scent = scents.get(action.trays[0], "") if action.trays else ""
    try:
        return action_words(action, scent)
    except KeyError:
        return action.what


def entry_words(record: Record, entry: Entry) -> str:
    """Say one line of the record; what does not count any more says so."""
    said = mark_words(record, entry.mark)
    late = entry.mark.entered_s - entry.mark.happened_s
    if late >= 60:
        said += f" (entered {when(record, entry.mark.entered_s)})"
    if entry.taken_back:
        said += f" [taken back by mark {entry.taken_back}]"
    if entry.struck:
        said += " [does not count: corrected]"
    return said


def correction_words(record: Record, correction: Correction, mark: Mark | None = None) -> str:
    """Say a correction with both values: "time: 9:42:10, corrected to 9:43:10"."""
    noted = correction.entered.astimezone(record.start.tzinfo)
    at = f"{noted:%a} {noted.day} {noted:%b %Y} {clock.show_time(noted, record.clock)}"
    why = f", because: {correction.why}" if correction.why else ""
    if correction.field == NAME:
        return f"{at}: person {correction.old} is {correction.new}{why}"
    old, new = (_value(record, correction.field, text, mark) for text in (
        correction.old, correction.new
    ))  # fmt: skip
    return f"{at}: {correction.field} {old}, corrected to {new}{why}"


def _value(record: Record, field: str, text: str, mark: Mark | None) -> str:
    if field == "time":
        return when(record, int(text))
    if field == "person":
        return who(record, int(text))
    if field == "amount" and mark is not None:
        return amount_words(record, mark, float(text))
    return f'"{text}"' if field == "note" else text


def totals_words(record: Record) -> str:
    """Say what became of the tins: "18 tins planned: 16 packed, 2 scrapped, none left over"."""
    totals = record.totals
    said = (
        (totals.packed, packed_words(record)),
        (totals.scrapped, "scrapped"),
        (totals.left_over, left_words(record)),
    )
    became = ", ".join(f"{count or 'none'} {what}" for count, what in said)
    return f"{count_words(totals.planned, 'tin')} planned: {became}"


def late_words(late: Sequence[TrayRecord]) -> str:
    """Say which trays came out of an oven too late, and which of them baked longest."""
    longest = max(late, key=lambda tray: tray.baked_s or 0)
    trays = [f"tray {tray.number} by {clock.show_span(tray.over_baked_s)}" for tray in late]
    return (
        f"Late exits, over-baked: {list_words(trays)}. "
        f"Longest bake: tray {longest.number}, {clock.show_span(longest.baked_s or 0)}."
    )


def packed_words(record: Record) -> str:
    """Say what is done with a tin that is ready."""
    return "packed" if record.pack == "today" else "cleared"


def left_words(record: Record) -> str:
    """Say what is neither ready nor scrapped; a run that is on may still pack it."""
    return f"not {packed_words(record)} yet" if record.state in UNENDED else "left over"


def end_words(record: Record) -> str:
    """Say how a run ended, and how that stands to its plan."""
    planned = when(record, record.planned_finish_s, exact=False)
    if record.finished_s is None:
        return f"{STATES[record.state]}, planned to end at {planned}"
    ended = when(record, record.finished_s, exact=False)
    return f"{STATES[record.state]} at {ended}, planned to end at {planned}"
