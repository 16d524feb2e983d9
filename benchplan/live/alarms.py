"""The one alarm: an oven's exit, which cannot wait. It always says what to do."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.live.state import Hot, State
from benchplan.model.words import tray_words


@dataclass(frozen=True, slots=True)
class Alarm:
    """The most urgent exit. ``stage`` is "soon", "now" or "overdue"; ``words`` say what to do."""

    stage: str
    oven: str
    trays: tuple[int, ...]
    due_s: int
    words: str


def alarm(state: State) -> Alarm | None:
    """Return the most urgent oven exit, or None while none is near.

    "soon" begins 60 s (or the day's ready time, if longer) before a bake ends, "now" when it
    ends, "overdue" when the recipe's bake_late has passed as well. One alarm at a time, and only
    for what someone has to do something about.
    """
    near = [hot for hot in state.hot if hot.kind == "oven" and hot.soon_s <= state.now_s]
    if not near:
        return None
    worst = min(near, key=lambda hot: (hot.late_s, hot.until_s, hot.place))
    return _alarm(worst, state.now_s)


def _alarm(hot: Hot, now_s: int) -> Alarm:
    trays = tray_words(hot.trays)
    if now_s < hot.until_s:
        stage, words = "soon", f"Mitts on: {trays} will come out of {hot.place}"
    elif now_s <= hot.late_s:
        stage, words = "now", f"Take {trays} out of {hot.place} now"
    else:
        stage = "overdue"
        words = f"Overdue: take {trays} out of {hot.place}, then look how they baked"
    return Alarm(stage, hot.place, hot.trays, hot.until_s, words)
