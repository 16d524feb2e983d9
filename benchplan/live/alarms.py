"""Alarms: what cannot wait. Each says what to do."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from benchplan.live.state import Hot, State
from benchplan.model.words import tray_words


class Stage(StrEnum):
    """How far an alarm has come, or of which other kind it is."""

    SOON = "soon"
    NOW = "now"
    OVERDUE = "overdue"
    TOO_HOT = "too hot"
    SHUT_IN = "shut in"


EXITS = (Stage.SOON, Stage.NOW, Stage.OVERDUE)
"""The stages of an oven's exit, in their order."""


@dataclass(frozen=True, slots=True)
class Alarm:
    """One oven's alarm: its exit, its heat, or that its door must stay shut.

    ``words`` say what to do; ``due_s`` is when it was due, or began.
    """

    stage: Stage
    oven: str
    trays: tuple[int, ...]
    due_s: int
    words: str

    @property
    def counts(self) -> bool:
        """Whether there is a moment that it counts to."""
        return self.stage in EXITS


def alarms(state: State) -> tuple[Alarm, ...]:
    """Return every alarm, the most urgent first: exits, then what is shut in, then what is too hot.

    An exit is "soon" from 60 s (or the day's ready time, if longer) before a bake ends, "now" when
    it ends, "overdue" when the recipe's bake_late has passed as well: then it is over-baked. One
    exit is one alarm, and there is none for what nobody has to do something about.
    """
    shut = [hot for hot in state.hot if hot.kind == "shut in"]
    if state.ending == "abort":  # the ovens are off, and a door that must stay shut stays shut
        return tuple(_shut_in(hot) for hot in shut)
    near = [hot for hot in state.hot if hot.kind == "oven" and hot.soon_s <= state.now_s]
    near.sort(key=lambda hot: (hot.late_s, hot.until_s, hot.place))
    off = {hot.place for hot in shut}
    return (
        *(_exit(hot, state.now_s) for hot in near),
        *(_shut_in(hot) for hot in shut),
        *(_too_hot(oven, state) for oven in state.too_hot if oven not in off),
    )


def alarm(state: State) -> Alarm | None:
    """Return the most urgent alarm, or None while there is none."""
    return next(iter(alarms(state)), None)


def _exit(hot: Hot, now_s: int) -> Alarm:
    trays = tray_words(hot.trays)
    if now_s < hot.until_s:
        stage, words = Stage.SOON, f"Mitts on: {trays} will come out of {hot.place}"
    elif now_s <= hot.late_s:
        stage, words = Stage.NOW, f"Take {trays} out of {hot.place} now"
    else:
        stage = Stage.OVERDUE
        words = f"Over-baked: take {trays} out of {hot.place}"
    return Alarm(stage, hot.place, hot.trays, hot.until_s, words)


def _too_hot(oven: str, state: State) -> Alarm:
    words = (
        f"{oven} is too hot. Turn it down, or switch it off. Wait, then read its thermometer "
        "again and enter what it shows"
    )
    return Alarm(Stage.TOO_HOT, oven, (), state.now_s, words)


def _shut_in(hot: Hot) -> Alarm:
    trays = tray_words(hot.trays)
    words = (
        f"Wet beads in {hot.place}. Switch it off. Keep its door shut. Ventilate to the outside. "
        f"Leave {trays} in it until it is cool. Usual caution: the data sheet and the oven's "
        "manual decide"
    )
    return Alarm(Stage.SHUT_IN, hot.place, hot.trays, hot.until_s, words)
