"""What is said of a run, a line each: pure, from a state to sentences."""

from __future__ import annotations

from datetime import datetime

from benchplan import clock, live
from benchplan.live.alarms import Alarm
from benchplan.live.state import Card, Hot, State
from benchplan.model import Day, Mark, Plan, Run, standing
from benchplan.model.ids import MarkKind
from benchplan.model.run_words import item_words
from benchplan.model.words import count_words, tray_words
from benchplan.views.bench import OVENS_OFF, about_line, action_said, count_of, oven_wanted
from benchplan.views.marks import span
from benchplan.views.standing import still_hot
from benchplan.views.words import at_clock, finish_words, slack_words

LATE_S = 60  # so long after its time an action is called overdue
NEXT_MOST = 3


def card_line(day: Day, plan: Plan, state: State, card: Card) -> str:
    """Say one person's next thing, with the clock time it goes by and what is left to tick."""
    who = f"Person {card.person}: " if len(state.cards) > 1 else ""
    if card.action is None:
        until = card.end_s - state.now_s
        if until <= 0:
            return f"{who}{card.words}."
        later = f"Until {at_clock(day, card.end_s)}, {span(until)}"
        return f"{who}{later}: {card.words[:1].lower()}{card.words[1:]}."
    _, seconds = count_of(state, card)
    at = at_clock(day, state.now_s + seconds)
    about = about_line(day, plan, card)
    said = card.words + (f": {about}" if about else "")
    if state.now_s >= card.end_s + LATE_S:
        found = f"Overdue since {at}, by {span(-seconds)}: {said}."
    elif state.now_s < card.begin_s:
        found = f"Next, at {at}, in {span(seconds)}: {said}."
    elif card.action.what == "unload":
        found = f"Now: {said}. It is due since {at}." if seconds < 0 else f"Now: {said}."
    else:
        found = f"Now: {said}." + (f" Until {at}, {span(seconds)}." if seconds > 0 else "")
    left = [item_words(each.item) for each in card.checklist if not each.seen]
    return who + found + (f" To tick: {'; '.join(left)}." if left else "")


def alarm_line(alarm: Alarm, now_s: int) -> str:
    """Say an alarm; it begins with that word, so that it is heard among other lines."""
    left = alarm.due_s - now_s if alarm.counts else 0
    if left > 0:
        return f"Alarm. {alarm.words} in {span(left)}."
    return f"Alarm. {alarm.words}." + (f" {span(-left)} late." if left < 0 else "")


def hot_lines(day: Day, state: State) -> list[str]:
    """Say everything hot, soonest first, each with its own countdown in words."""
    off = [] if oven_wanted(state) else [OVENS_OFF]
    return [*(_hot_line(day, state, hot) for hot in state.hot), *off] or ["Nothing is hot."]


def _hot_line(day: Day, state: State, hot: Hot) -> str:
    if hot.kind == "idle":
        return f"{hot.place}: not needed. Switch it off: it stays hot for long."
    what = f"{_place(hot)}: {tray_words(hot.trays)} {hot.state}" if hot.trays else ""
    what = what or f"{hot.place}: {hot.state}"
    left = hot.until_s - state.now_s
    if left > 0:
        return f"{what}, {span(left)} more, until {at_clock(day, hot.until_s)}."
    if hot.state == "out now" and left < 0:
        return f"{what}, {span(-left)} late."
    return f"{what}."


def _place(hot: Hot) -> str:
    return {"mat": "the mat", "aside": "set aside"}.get(hot.kind, hot.place)


def _where(hot: Hot) -> str:
    return _place(hot) if hot.kind == "aside" else f"on {_place(hot)}"


def hot_news(hot: Hot) -> str:
    """Say what has come about by time alone; an empty text for what an alarm says."""
    trays = tray_words(hot.trays).capitalize() if hot.trays else ""
    return {
        "at heat": f"{hot.place} is at heat.",
        "off?": f"{hot.place} is not needed for now. Switch it off.",
        "rested": f"{trays} on {hot.place}: rested.",
        "check": f"{trays}, {_where(hot)}: cooling time is over. Check before you touch.",
    }.get(hot.state, "")


def next_lines(day: Day, plan: Plan, state: State) -> list[str]:
    """Say what comes after the cards, and when the day is expected to end."""
    several = len(state.cards) > 1
    found = [
        f"{at_clock(day, max(each.begin_s, state.now_s))}: {action_said(plan, each.action)}"
        + (f" (person {each.person})." if several else ".")
        for each in state.coming[:NEXT_MOST]
    ]
    done = f"{state.done} of {count_words(state.total, 'action')} done."
    return [*(found or ["Nothing comes after that."]), f"{finish_words(day, plan)}. {done}"]


def before_line(day: Day, plan: Plan) -> str:
    """Say the day that can be begun."""
    slack = slack_words(day, plan.finish_s)
    return (
        f"{day.name}: {count_words(day.tins_wanted, 'tin')} on "
        f"{count_words(len(plan.trays), 'tray')}, planned from {at_clock(day, 0)} to "
        f"{at_clock(day, plan.finish_s)}{f', {slack}' if slack else ''}."
    )


def offer_line(day: Day, run: Run, marks: tuple[Mark, ...]) -> str:
    """Say that a run of this day was begun and has not ended."""
    done = sum(mark.what == MarkKind.DONE for mark in standing(marks))
    start: datetime = run.start.astimezone(day.start.tzinfo)
    kind = "A rehearsal" if run.rehearsal else "A run"
    return (
        f"{kind} of this day, begun on {start:%a} {start.day} {start:%b} at "
        f"{clock.show_time(start, day.display.clock)}, has not ended: "
        f"{count_words(done, 'action')} marked done."
    )


def over_lines(day: Day, state: State, marks: tuple[Mark, ...]) -> list[str]:
    """Say how a run is over; after an abort comes first what to do about it."""
    done = count_words(sum(mark.what == MarkKind.DONE for mark in standing(marks)), "action")
    at, off = at_clock(day, state.finish_s), "Switch every oven off, and stay until it is cool."
    if state.ending == "abort":
        trays = [tray for hot in state.hot for tray in hot.trays if hot.kind != "shut in"]
        check = f" Check each: checked {trays[0]} says tray {trays[0]} is not hot." if trays else ""
        hot = f"Hot at that moment: {still_hot(state)}.{check}"
        said = [f"Aborted at {at}: switch every oven off now.", *([hot] if state.hot else [])]
        return [
            *said,
            *(alarm_line(each, state.now_s) for each in live.alarms(state)),
            f"{done} marked done.",
        ]
    if state.ending == "stop":
        return [f"Stopped at {at}: what was hot is finished. {done} marked done.", off]
    slack = slack_words(day, state.finish_s)
    return [f"The day is done at {at}{f', {slack}' if slack else ''}. {done} marked done.", off]
