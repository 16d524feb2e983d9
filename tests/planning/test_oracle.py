"""Tiny days against a constraint model that states every rule once more.

The model's best plan must pass the checker, which knows nothing of it; no bound of the planner may
be later than it; and where the planner calls its own plan the best, it is.
"""

from __future__ import annotations

from dataclasses import replace

from days import days
from hypothesis import given, settings
from oracle import best

from benchplan.errors import BenchplanError
from benchplan.model import Cannot, Day
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan


def tiny(day: Day) -> Day:
    """Return the day with at most three orders of at most four tins, in no order of the maker's."""
    orders = tuple(
        replace(each, tins=min(each.tins, 4), filled=min(each.filled, each.tins, 4))
        for each in day.orders[:3]
    )
    return replace(day, orders=orders, queue=(), keep_order=False, finish_by_s=None)


@settings(max_examples=40)
@given(days().map(tiny))
def test_no_bound_is_later_than_the_best_plan(day: Day) -> None:
    try:
        plan = plan_day(day, Iterations(20))
    except BenchplanError:
        return
    if isinstance(plan, Cannot) or len(plan.trays) > 4:
        return
    found, _ = best(resolved(day), plan, effort=0.5)
    assert check_plan(resolved(day), found) == []
    assert plan.bound_s <= found.finish_s <= plan.finish_s
