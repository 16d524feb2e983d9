"""The latest start with which a day is still ready in time. No input, no output."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from benchplan.fitting import KnownFits
from benchplan.model import Day, Plan
from benchplan.model.stop import Stop
from benchplan.planner import plan_day, quick_stop

_STEP_S = 300
_MOST_TRIED = 12


def start_by(
    day: Day,
    plan: Plan,
    stop_for: Callable[[Day], Stop] | None = None,
    seed: int = 0,
    known_fits: KnownFits | None = None,
    cancelled: Stop = lambda: False,
) -> int | None:
    """Return the latest start found, in seconds after the day's own start (negative: earlier).

    None for a day without finish_by, or where none was found. Without breaks a plan moves with its
    start, so the slack says it. Breaks and finish_by keep their clock times: then starts are tried
    from the latest that a day without breaks allows, some minutes apart, and the one that is
    returned was planned and is in time.
    """
    if day.finish_by_s is None:
        return None
    slack = day.finish_by_s - plan.finish_s
    if not day.breaks:
        return slack
    rule = stop_for or quick_stop
    free = plan_day(replace(day, breaks=()), rule(day), seed, known_fits, plan)
    lasts = free.finish_s if isinstance(free, Plan) else plan.finish_s
    latest = (day.finish_by_s - min(lasts, plan.finish_s)) // _STEP_S * _STEP_S
    earliest = min(slack, latest) - sum(pause.for_s for pause in day.breaks)
    step = max(_STEP_S, math.ceil((latest - earliest) / _MOST_TRIED / _STEP_S) * _STEP_S)
    for start in range(latest, earliest - step, -step):
        if cancelled():
            return None
        moved = day.begun_later(start)
        answer = plan_day(moved, rule(moved), seed, known_fits, plan)
        late = moved.finish_by_s or 0
        if isinstance(answer, Plan) and answer.finish_s <= late:
            return start
    return None
