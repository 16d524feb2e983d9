"""Every page that shows a plan, on days that trays have left: they keep their lines, not times."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from benchplan import live, planner
from benchplan.files import read_plan
from benchplan.model import Action, Day, Mark, Plan
from benchplan.views import flow, limits, look, orders
from benchplan.views.lanes import lanes, levels
from benchplan.views.rows import plain

SAMPLES = Path(__file__).parents[2] / "sample_runs"
SIZE = (78, 21)
OVEN_OUT = Mark("oven out", 0, 0, Action("preheat", (), "countertop"))
STOP = Mark("stop", 0, 0)


@pytest.fixture(scope="module")
def planned() -> tuple[Day, Plan]:
    day = read_plan(SAMPLES / "first_tray.toml").day
    plan = planner.plan_day(day, planner.quick_stop(day))
    assert isinstance(plan, Plan)
    return day, plan


def after(day: Day, plan: Plan, done: int, *then: Mark) -> tuple[Plan, int]:
    """Return the plan that follows so many actions done in time and other marks, and the time."""
    begun = live.actions(plan)[:done]
    now_s = begun[-1].end_s if begun else 0
    marks = [Mark("done", each.end_s, each.end_s, each.action) for each in begun]
    marks += [replace(mark, happened_s=now_s, entered_s=now_s) for mark in then]
    numbered = tuple(replace(mark, number=number) for number, mark in enumerate(marks, 1))
    return planner.replan(day, plan, numbered, now_s), now_s


@pytest.mark.parametrize("mark", [OVEN_OUT, STOP], ids=["oven out", "stop"])
@pytest.mark.parametrize("done", [0, 1, 4, 8])
def test_pages_of_a_plan_that_trays_have_left(
    planned: tuple[Day, Plan], done: int, mark: Mark
) -> None:
    day, first = planned
    plan, now_s = after(day, first, done, mark)
    kept = {number for load in plan.loads for number in load.trays}
    gone = [tray for tray in plan.trays if tray.number not in kept]
    assert gone
    queue = plain(orders.page(day, plan, False, orders.Look("queue", 0, 0), *SIZE))
    assert queue.count(" left") == len(gone)
    assert plain(limits.page(day, plan, 0, *SIZE, planned_s=now_s))
    found, full = lanes(day, plan), levels(day, plan)
    for lane, each in enumerate(found):
        for bar in range(len(each.bars)):
            here = look.Look(lane=lane, bar=bar)
            assert plain(flow.page(day, plan, found, full, here, now_s, *SIZE, False, now_s))
