"""A random day on which everything is done just when the plan says stays as planned."""

from __future__ import annotations

import re
from dataclasses import replace

import small
from days import days
from hypothesis import given, settings

from benchplan.errors import BenchplanError
from benchplan.live import actions, past
from benchplan.model import Day, Mark, Plan, Times
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, replan, resolved
from benchplan.scheduling.check import check_plan

HOLDS = {"pan": "set", "stand": "unload", "scale": "fill", "mat": "transfer"}


def plain(day: Day) -> Day:
    """Return the day, short, with its hand work taking time and one scent a tray."""
    orders = tuple(
        replace(each, tins=min(each.tins, 5), filled=min(each.filled, each.tins, 5))
        for each in day.orders[:3]
    )
    times = Times(ready_s=min(day.times.ready_s, 60), change_scent_s=day.times.change_scent_s)
    return replace(day, orders=orders, times=times, queue=(), mix_scents=False)


def to_come(plan: Plan, now: int, fault: str) -> bool:
    """Whether a fault speaks of something that has not begun; what is past is as it was."""
    rule = fault.partition(":")[0]
    if rule in ("preheat", "finish"):
        return False
    named = re.findall(r"the (\w+) of tray (\d+)", fault)
    trays = [(HOLDS[rule], number) for number in re.findall(r"tray (\d+)", fault) if rule in HOLDS]
    for load in plan.loads:
        if rule == "load" and f"load {load.number} of {load.oven}" in fault:
            named += [("unload", str(number)) for number in load.trays]
    if rule == "load":
        trays += [("unload", number) for number in re.findall(r"tray (\d+)", fault)]
    begun = [plan.step(int(number), name) for name, number in named + trays]
    return not begun or any(step is None or step.start_s >= now for step in begun)


@settings(max_examples=40)
@given(days().map(plain))
def test_a_day_on_time_stays_as_planned(day: Day) -> None:
    try:
        plan = plan_day(day, Iterations(4))
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    finish, marks = plan.finish_s, ()
    for number in range(1, len(actions(plan)) + 1):
        done = {mark.action for mark in marks}
        left = [each for each in actions(plan) if each.action not in done]
        if not left:
            break
        next_one = min(left, key=lambda each: (each.end_s, each.begin_s, each.action))
        now = next_one.begin_s if next_one.action.what == "preheat" else next_one.end_s
        person = next_one.person
        marks = (*marks, Mark("done", now, now, next_one.action, person=person, number=number))
        plan = replan(day, plan, marks, now)
        faults = check_plan(resolved(day), plan)
        assert [fault for fault in faults if to_come(plan, now, fault)] == []
        assert plan.finish_s <= finish


def test_a_load_that_waited_for_a_place_began_when_the_plan_had_it() -> None:
    """The oven is hot again and hands are idle long before a place on the stand is free."""
    day = small.day(orders=small.order(4, 4, 4), where="pan", stand=2, count=3)
    plan = small.planned(day)
    load = small.step(plan, 3, "load")
    hot = small.step(plan, 2, "unload").end_s + 90
    assert load.start_s > hot + 600
    begun = [each for each in actions(plan) if each.end_s <= load.end_s]
    marks = tuple(
        Mark("done", each.end_s, each.end_s, each.action, person=each.person, number=number)
        for number, each in enumerate(sorted(begun, key=lambda each: each.end_s), 1)
    )
    done = past(day, plan, marks, load.end_s).done
    (span,) = [
        (each.start_s, each.end_s)
        for each in done
        if each.action.what == "load" and 3 in each.action.trays
    ]
    assert span == (load.start_s, load.end_s)
    assert small.step(replan(day, plan, marks, load.end_s), 3, "load").parts == load.parts
