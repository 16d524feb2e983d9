"""The one kind of alarm: an oven's exit, which cannot wait. It always says what to do."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.live.state import Hot, State
from benchplan.model.words import tray_words

STAGES = ("soon", "now", "overdue")


@dataclass(frozen=True, slots=True)
class Alarm:
    """One oven's exit. ``stage`` is one of ``STAGES``; ``words`` say what to do."""

    stage: str
    oven: str
    trays: tuple[int, ...]
    due_s: int
    words: str


def alarms(state: State) -> tuple[Alarm, ...]:
    """Return every oven's exit that is near, the most urgent first.

    "soon" begins 60 s (or the day's ready time, if longer) before a bake ends, "now" when it
    ends, "overdue" when the recipe's bake_late has passed as well: then it is over-baked. One exit
    is one alarm, and there is none for what nobody has to do something about.
    """
    if state.ending == "abort":
        return ()  # the ovens are off
    near = [hot for hot in state.hot if hot.kind == "oven" and hot.soon_s <= state.now_s]
    near.sort(key=lambda hot: (hot.late_s, hot.until_s, hot.place))
    return tuple(_alarm(hot, state.now_s) for hot in near)


def alarm(state: State) -> Alarm | None:
    """Return the most urgent exit, or None while none is near."""
    return next(iter(alarms(state)), None)


def _alarm(hot: Hot, now_s: int) -> Alarm:
    trays = tray_words(hot.trays)
    if now_s < hot.until_s:
        stage, words = "soon", f"Mitts on: {trays} will come out of {hot.place}"
    elif now_s <= hot.late_s:
        stage, words = "now", f"Take {trays} out of {hot.place} now"
    else:
        stage = "overdue"
        words = f"Over-baked: take {trays} out of {hot.place}"
    return Alarm(stage, hot.place, hot.trays, hot.until_s, words)
