"""A day carried out exactly by its plan, second by second while an alarm is on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchplan import live
from benchplan.live.alarms import Alarm
from benchplan.live.state import State
from benchplan.model import Day, Mark, Plan


@dataclass(frozen=True)
class Rung:
    """One ring: when, for which alarm, and all that the Bench showed then."""

    at_s: int
    alarm: Alarm
    state: State


def by_plan(day: Day, plan: Plan) -> Iterator[Rung]:
    """Yield every ring of a day on which each action is marked when the plan has it end."""
    left = sorted(live.actions(plan), key=lambda each: each.end_s)
    marks: tuple[Mark, ...] = ()
    ringing, now_s = live.Ringing(), 0
    while left:
        while left and left[0].end_s <= now_s:
            done = left.pop(0)
            marks += (
                Mark("done", now_s, now_s, done.action, person=done.person, number=len(marks) + 1),
            )
        state = live.state(day, plan, marks, now_s)
        found = ringing.rings(state, float(now_s))
        if found is not None:
            yield Rung(now_s, found, state)
        if live.alarms(state):
            now_s += 1
        else:
            soon = [hot.soon_s for hot in state.hot if hot.kind == "oven"]
            now_s = min([each.end_s for each in left] + soon, default=now_s)
