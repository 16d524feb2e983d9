"""What a mark says, in words: on the band, in a typed answer, and when it is taken back."""

from __future__ import annotations

from benchplan import clock, units
from benchplan.model import Day, Mark
from benchplan.model.ids import MarkKind
from benchplan.model.run_words import item_words, why_words
from benchplan.model.words import count_words, tray_words
from benchplan.views.bench import action_said

EXACT_S = 600  # below this a span is said with its seconds


def span(seconds: int) -> str:
    """Say a span: near ones to the second."""
    return clock.show_span(seconds) if seconds < EXACT_S else clock.show_minutes(seconds)


def mark_words(day: Day, plan: object, mark: Mark) -> str:
    """Say a mark that was made."""
    action = action_said(plan, mark.action)
    if mark.what == MarkKind.DONE:
        late = mark.entered_s - mark.happened_s
        early = f" Early: {why_words(mark)}." if mark.reason else ""
        return f"Done{f' {span(late)} ago' if late else ''}: {action}.{early}"
    if mark.what == MarkKind.TICK:
        return f"Ticked: {item_words(mark.item)}."
    trays = tray_words(mark.action.trays) if mark.action and mark.action.trays else ""
    place = mark.action.place if mark.action else ""
    minutes, number = span(round(mark.amount)), round(mark.amount)
    why = f", because: {said}" if (said := why_words(mark)) else ""
    shown = units.show_temperature(mark.amount, day.display.units)
    comer = f": {mark.note}" if mark.note else ""
    return {
        MarkKind.LONGER: f"{minutes} more before: {action}.",
        MarkKind.BACK_IN: f"Back in for {minutes}: {trays}{why}.",
        MarkKind.FILLED: f"{count_words(number, 'tin')} of {trays} filled so far.",
        MarkKind.SCRAPPED: f"Scrapped: {count_words(number, 'tin')} of {trays}{why}.",
        MarkKind.PASS_OVER: f"Passed over: {item_words(mark.item)}{why}.",
        MarkKind.WET: f"Not dry: {mark.item.scent}."
        + (f" Removed from today: {trays}." if trays else ""),
        MarkKind.EARLY: f"Early because {why_words(mark)}.",
        MarkKind.CHECKED: f"Checked: {trays} is not hot.",
        MarkKind.JUDGED: f"Judged: {count_words(number, 'tin')} of {trays} good.",
        MarkKind.LEAVES: f"Leaves the day: {trays}{why}.",
        MarkKind.READING: f"{place} shows {shown}.",
        MarkKind.LATE: f"Person {mark.person} is away for {minutes}.",
        MarkKind.PERSON_COMES: f"One more person is here{comer}.",
        MarkKind.PERSON_GOES: f"Person {mark.person} is gone for the day.",
        MarkKind.OVEN_OUT: f"{place} is out of the day.",
        MarkKind.HOLD: "Held: hands stop, the oven does not.",
        MarkKind.GO_ON: "Going on.",
        MarkKind.TAKE_BACK: "Taking the last mark back.",
        MarkKind.STOP: "Stopping: what is hot is finished first.",
        MarkKind.ABORT: "Aborted: switch every oven off now.",
    }[mark.what]


def back_words(day: Day, plan: object, mark: Mark) -> str:
    """Say a mark that was taken back: what was ticked or done, or all that the mark said."""
    if mark.what in (MarkKind.TICK, MarkKind.DONE):
        return item_words(mark.item) or action_said(plan, mark.action)
    return mark_words(day, plan, mark).rstrip(".")
