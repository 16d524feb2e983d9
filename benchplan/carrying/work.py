"""What a run needs worked out beside the bench: its plan when it begins, and after every mark.

Each function takes a stop rule last, so that whoever runs it beside the bench can call it off: what
would take long then raises ``Stopped``. The rooms that do the work are imported here, where it is
done: a first screen does not wait for them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from benchplan.files import PlanFile
    from benchplan.fitting import KnownFits
    from benchplan.model import Cannot, Day, Mark, Plan, Run
    from benchplan.model.stop import Stop


def plan(day: Day, fits: KnownFits, stop: Stop) -> Plan | Cannot:
    """Plan a day as the shell does: the same numbers everywhere."""
    from benchplan import planner
    from benchplan.model.stop import go_on

    enough = planner.default_stop(day)

    def called_off_or_enough() -> bool:
        go_on(stop)
        return enough()

    return planner.plan_day(day, called_off_or_enough, known_fits=fits)


def begun(
    plan_file: PlanFile, day: Day, begun: Day, known: Plan, fits: KnownFits, stop: Stop
) -> tuple[Plan | Cannot, str, str]:
    """Return the plan of a day that begins now, and the texts of both for the book.

    Only breaks tie a plan to the clock: without a change in them the known plan still holds.
    """
    import json
    from dataclasses import replace

    from benchplan import files
    from benchplan.model import Cannot
    from benchplan.papers import plan_json

    answer = known if begun.breaks == day.breaks else plan(begun, fits, stop)
    if isinstance(answer, Cannot):
        return answer, "", ""
    answer = replace(answer, start_by_s=None)  # it has begun
    text = json.dumps(plan_json.plan_to_dict(begun, answer))
    return answer, files.snapshot(plan_file, begun), text


def taken_up(run: Run, stop: Stop) -> tuple[Day, Plan]:
    """Return the day of a run in the book and the plan it began with."""
    from benchplan.carrying.recorded import day_and_plan

    return day_and_plan(run)


def replan(day: Day, shown: Plan, marks: tuple[Mark, ...], now_s: int, stop: Stop) -> Plan:
    """Return the plan that follows the marks, going on from the one that is shown."""
    from benchplan import planner

    return planner.replan(day, shown, marks, now_s, stop)


def followed(
    day: Day,
    base: Plan,
    marks: tuple[Mark, ...],
    now_s: int,
    trail: Mapping[tuple[int, ...], Plan],
    stop: Stop,
) -> tuple[Plan, Plan]:
    """Return the plan that follows the marks that stand, as if no other were made, and the forecast
    of it at ``now_s``: the same plan where the last of them was entered at that second.

    ``trail`` holds plans of this run that are known, as ``planner.follow`` takes them.
    """
    from benchplan import planner
    from benchplan.model import standing
    from benchplan.model.run import NOTED

    kept = standing(marks)
    found = planner.follow(day, base, kept, trail, stop)
    last_s = max((mark.entered_s for mark in kept if mark.what not in NOTED), default=0)
    return found, found if last_s == now_s else planner.replan(day, found, marks, now_s, stop)
