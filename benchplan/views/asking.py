"""What is asked about something that is marked before its time, and what may be answered."""

from __future__ import annotations

from benchplan import clock, units
from benchplan.live import REASONS, Unready
from benchplan.model import Day, NotYet, Reason
from benchplan.model.run_words import REASONS as SAID
from benchplan.model.run_words import upper_first
from benchplan.model.words import tray_words
from benchplan.views.words import at_clock

MARK_NOTHING = "Mark nothing: it has not been done yet"


def unready_words(day: Day, found: Unready, now_s: int) -> str:
    """Say what is not so yet: "countertop is still heating, until 9:11 (4 min more)"."""
    due = "" if found.due_s is None else f", until {at_clock(day, found.due_s)}"
    over = found.due_s is not None and found.due_s <= now_s  # it is told of a moment before
    if found.due_s is not None and found.due_s > now_s:
        due += f" ({clock.show_span(found.due_s - now_s)} more)"
    trays = tray_words(found.trays)
    match found.what:
        case NotYet.OVEN_OFF:
            return f"{found.place} has not been switched on, as far as the marks say."
        case NotYet.OVEN_HEATING:
            return f"{found.place} {'was' if over else 'is'} still heating{due}."
        case NotYet.OVEN_TOLD_OFF:
            return f"{found.place} may be off: no more bakes were planned for it."
        case NotYet.OVEN_TOO_HOT:
            shown = units.show_temperature(found.shown_c, day.display.units)
            return f"{found.place} is too hot: its thermometer showed {shown}. Read it again."
        case NotYet.BAKING:
            ends = "" if found.due_s is None else f" to end at {at_clock(day, found.due_s)}"
            return f"The bake of {trays} was planned{ends}."
        case NotYet.RESTING:
            return f"{upper_first(trays)} {'had to' if over else 'should'} still rest{due}."
        case NotYet.COOLING:
            return f"{upper_first(trays)} may still be hot: cooling{due}. Check before touching."


def reasons_of(found: Unready) -> tuple[tuple[str, Reason], ...]:
    """Return the reasons why it may have happened all the same, as they are picked from a list."""
    return tuple((upper_first(SAID[reason]), reason) for reason in REASONS[found.what])
