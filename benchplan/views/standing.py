"""What stands over the whole bench: that it is held, and what then goes wrong, or is ending."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.model import Day
from benchplan.model.words import list_words, tray_words
from benchplan.views.words import at_clock

if TYPE_CHECKING:
    from benchplan.live.state import Hot, State


def standing_lines(day: Day, state: State, key: Callable[[str], str]) -> list[str]:
    """Return what everybody at the bench must know now, a sentence or two a line; often nothing.

    ``key`` says what to press, or to type, for an action.
    """
    return [*ending_lines(state, key), *held_lines(day, state, key)]


def ending_lines(state: State, key: Callable[[str], str]) -> list[str]:
    """Say that the run is stopping or aborted, and what is still to do."""
    end, back = key("end_run"), key("take_back")
    if state.ending == "abort":
        said = "Aborted. Switch every oven off now, and stay until it is cool."
        return [f"{said} {end} ends the run, {back} undoes it."]
    if state.ending == "stop":
        said = "Stopping for today: only what is hot is finished."
        if not any(hot.kind in ("oven", "preheat") for hot in state.hot):
            said += " Nothing bakes any more: switch every oven off."
        return [f"{said} Then {end} ends the run, {back} undoes it."]
    return []


def still_hot(state: State) -> str:
    """List what is hot and where, tins before ovens; empty when nothing is hot."""
    where = {"oven": "in {}", "shut in": "shut in {}", "mat": "on the mat", "aside": "set aside"}
    tins = [
        f"{tray_words(hot.trays)} {where.get(hot.kind, 'on {}').format(hot.place)}"
        for hot in state.hot
        if hot.trays
    ]
    full = {hot.place for hot in state.hot if hot.trays}
    ovens = [hot.place for hot in state.hot if hot.place not in full]
    return list_words([*tins, *ovens])


def left_hot(state: State | None) -> str:
    """Say what is put away with a run while it may be hot; often nothing."""
    unchecked = state is not None and any(hot.trays for hot in state.hot)
    hot = still_hot(state) if state is not None and unchecked else ""
    return f" Not checked yet: {hot}. Nothing counts down for it then." if hot else ""


def held_lines(day: Day, state: State, key: Callable[[str], str]) -> list[str]:
    """Say since when hands are held, and what goes wrong first if they stay so, and when."""
    if state.held_s is None:
        return []
    since = at_clock(day, state.held_s)
    said = f"Held since {since}: hands stop, the oven does not. {key('hold')} resumes."
    first = _first(day, state)
    return [said, first] if first else [said]


def _first(day: Day, state: State) -> str:
    """Say what goes wrong first while nobody does anything; what has gone wrong is an alarm."""
    baking = [hot for hot in state.hot if hot.kind == "oven"]
    coming = [hot for hot in baking if state.now_s <= hot.late_s]
    if coming:
        return _exit(day, state, min(coming, key=lambda hot: (hot.late_s, hot.place)))
    if baking:
        return ""
    on = [hot.place for hot in state.hot if hot.kind == "preheat"]
    if on:
        are = "is" if len(on) == 1 else "are"
        return f"Nothing bakes, but {list_words(on)} {are} on: stay with it."
    return "Nothing is in an oven: nothing spoils, the day only ends later."


def _exit(day: Day, state: State, hot: Hot) -> str:
    trays, out, late = tray_words(hot.trays), hot.until_s, hot.late_s
    if state.now_s >= out:
        left = clock.show_span(late - state.now_s)
        return f"Most urgent: take {trays} out of {hot.place} now; over-baked in {left}."
    left = clock.show_span(out - state.now_s)
    return (
        f"Most urgent: take {trays} out of {hot.place} at {_at(day, out)}, in {left}; "
        f"over-baked from {_at(day, late)}."
    )


def _at(day: Day, seconds: int) -> str:
    return at_clock(day, seconds, with_seconds=True)
