"""What a mark says, in words: on the band, in a typed answer, and when it is taken back."""

from __future__ import annotations

from benchplan import clock, units
from benchplan.model import Day, Mark
from benchplan.model.words import count_words, tray_words
from benchplan.views.bench import action_said

EXACT_S = 600  # below this a span is said with its seconds


def span(seconds: int) -> str:
    """Say a span: near ones to the second."""
    return clock.show_span(seconds) if seconds < EXACT_S else clock.show_minutes(seconds)


def mark_words(day: Day, plan: object, mark: Mark) -> str:
    """Say a mark that was made."""
    action = action_said(plan, mark.action)
    if mark.what == "done":
        late = mark.entered_s - mark.happened_s
        return f"Done{f' {span(late)} ago' if late else ''}: {action}."
    if mark.what == "tick":
        return f"Ticked: {mark.item}."
    trays = tray_words(mark.action.trays) if mark.action and mark.action.trays else ""
    place = mark.action.place if mark.action else ""
    minutes, number = span(round(mark.amount)), round(mark.amount)
    why = f", because: {mark.note}" if mark.note else ""
    return {
        "longer": f"{minutes} more before: {action}.",
        "back in": f"Back in for {minutes}: {trays}.",
        "filled": f"{count_words(number, 'tin')} of {trays} filled so far.",
        "scrapped": f"Scrapped: {count_words(number, 'tin')} of {trays}{why}.",
        "pass over": f"Passed over: {mark.item}{why}.",
        "leaves": f"Leaves the day: {trays}{why}.",
        "reading": f"{place} shows {units.show_temperature(mark.amount, day.display.units)}.",
        "late": f"Person {mark.person} is away for {minutes}.",
        "person comes": "One more person is here" + (f": {mark.note}." if mark.note else "."),
        "person goes": f"Person {mark.person} is gone for the day.",
        "oven out": f"{place} is out of the day.",
        "hold": "Held: hands stop, the oven does not.",
        "go on": "Going on.",
        "take back": "Taking the last mark back.",
        "stop": "Stopping: what is hot is finished first.",
        "abort": "Aborted: switch every oven off now.",
    }[mark.what]


def back_words(day: Day, plan: object, mark: Mark) -> str:
    """Say a mark that was taken back: what was ticked or done, or all that the mark said."""
    if mark.what in ("tick", "done"):
        return mark.item or action_said(plan, mark.action)
    return mark_words(day, plan, mark).rstrip(".")
