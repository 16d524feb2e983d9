"""A search that begins from the plan of a day like it, and when it does not."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from days import days
from hypothesis import example, given, settings
from small import BASE, OVEN, PAN, RECIPE, day, order, planned

from benchplan.errors import BenchplanError
from benchplan.fitting import fit_day
from benchplan.model import Break, Cooling, Day, Order, Plan, QueuedTray, Times
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved, shop_of
from benchplan.scheduling.again import begun_from
from benchplan.scheduling.check import check_plan


def draft(of: Day, plan: Plan):
    return begun_from(shop_of(resolved(of), fit_day(of)), plan)


INNER = replace(
    BASE,
    orders=(
        Order("A", "brief", 1, filled=1), Order("A", "standard", 2, filled=1),
        Order("A", "standard", 7), Order("A", "brief", 1),
    ),
    recipes={
        "standard": replace(RECIPE, bake_for_s=300, rest_for_s=0),
        "brief": replace(RECIPE, name="brief", bake_for_s=0, rest_for_s=0, cool_for_s=0),
    },
    pans={"small": replace(PAN, count=4, tins={"low 72": 1})},
    ovens={
        "one": replace(OVEN, name="one", recover_s=0),
        "two": replace(OVEN, name="two", preheat_s=0, recover_s=90),
    },
    cooling=Cooling(stand=1, mat_mm=(750.0, 430.0)),
    times=Times(unload_s=0, transfer_s=11),
    queue=(QueuedTray(("A",), "standard", "small"),),
    breaks=(Break(2897, 1, away=0), Break(4577, 3600, away=0)),
    pack="later",
)  # fmt: skip
"""A day in which what bakes in no time lands on the one stand place before what went in earlier."""


@settings(max_examples=40)
@example(INNER)
@given(days())
def test_the_same_day_is_never_later_begun_from_its_own_plan(of: Day) -> None:
    try:
        plan = plan_day(of, Iterations(60))
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    again = plan_day(of, Iterations(1), like=plan)
    assert isinstance(again, Plan)
    assert check_plan(resolved(of), again) == []
    if not of.keep_order:
        # A wait put in on purpose is not kept: it can win some seconds.
        assert again.finish_s <= plan.finish_s + 60, (again.finish_s, plan.finish_s)


def test_a_richer_day_begins_where_the_plan_without_ends() -> None:
    of = day(orders=order(4, 4, 4, 4, scents="ABAB"), mat_tins=6)
    plan = planned(of)
    for richer in (day(of, people=2), day(of, mat_tins=30), day(of, stand=2), day(of, scales=2)):
        more = plan_day(richer, Iterations(1), like=plan)
        assert isinstance(more, Plan)
        assert more.finish_s <= plan.finish_s


def test_a_plan_of_other_orders_or_that_does_not_fit_is_not_begun_from() -> None:
    plan = planned(BASE)
    assert draft(BASE, plan) is not None
    assert draft(day(orders=order(3)), plan) is None
    assert draft(day(mat_tins=3), plan) is None
    assert draft(day(keep_order=True), plan) is None
    assert (
        draft(replace(BASE, pans={"other": replace(BASE.pans["small"], name="other")}), plan)
        is None
    )
    halves = replace(BASE, queue=(QueuedTray(("A",) * 2, "standard"),) * 2)
    assert draft(halves, plan) is None


def test_trays_of_the_makers_queue_stay_as_they_are() -> None:
    queued = replace(
        BASE, orders=order(7), queue=(QueuedTray(("A",) * 3, "standard"),), name="queued"
    )
    found = draft(queued, planned(queued))
    assert found is not None
    assert sorted((job.tins, job.asked) for job in found.way.jobs)[0] == (3, True)
    assert sum(job.asked for job in found.way.jobs) == 1


def test_a_tray_that_the_queue_wants_on_a_pan_is_not_begun_from_on_another() -> None:
    plan = planned(BASE)
    pans = {**BASE.pans, "other": replace(BASE.pans["small"], name="other")}
    queued = QueuedTray(("A",) * 4, "standard")
    assert draft(replace(BASE, pans=pans, queue=(queued,)), plan) is not None
    assert draft(replace(BASE, pans=pans, queue=(replace(queued, pan="other"),)), plan) is None
    own = replace(BASE.recipes["standard"], pan="other")
    assert draft(replace(BASE, pans=pans, recipes={"standard": own}), plan) is None
