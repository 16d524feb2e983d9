"""What else there is to say of a plan: the latest start, one more, in time, by what chance."""

from __future__ import annotations

from benchplan import clock
from benchplan.model.day import Day
from benchplan.model.plan import Plan
from benchplan.model.words import at_clock, list_words

_WORTH_SAYING_S = 60  # of what one more would win


def start_words(day: Day, plan: Plan) -> str:
    """Say when to start at the latest; "" where that was not asked for or is not known."""
    if plan.start_by_s is None or day.finish_by_s is None:
        return ""
    by = at_clock(day, day.finish_by_s)
    start = at_clock(day, plan.start_by_s)
    return f"To be ready by {by}, start at {start} at the latest."


def one_more_words(day: Day, plan: Plan) -> list[str]:
    """Say what one more of each thing would win, and in one sentence what would win nothing."""
    said, idle = [], []
    for more in plan.one_more:
        name = {
            "pan": f"{more.kind} pan",
            "shelf": f"shelf in {more.kind}",
            "oven": f"oven like {more.kind}",
        }.get(more.what, more.what)
        saved = plan.finish_s - more.finish_s
        if saved < _WORTH_SAYING_S:
            idle.append(name)
            continue
        ends = at_clock(day, more.finish_s)
        said.append(f"One more {name}: finish {ends}, {clock.show_minutes(saved)} earlier.")
    if idle:
        said.append(f"No minute is won by one more of these alone: {list_words(idle)}.")
    return said
