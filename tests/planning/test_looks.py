"""How often a day is looked at follows from its size alone, and a large day takes no longer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import OVEN, PAN, day

from benchplan.model import Day, Order, Plan, QueuedTray
from benchplan.model.stop import Iterations
from benchplan.planner import LEAST_LOOKS, about_trays, default_stop, plan_day, quick_stop, resolved
from benchplan.scheduling.check import check_plan

# The tests of rooms search only for a moment: these ask the rules themselves.
RULES = pytest.mark.parametrize("rule", [default_stop, quick_stop])


def orders(count: int, tins: int) -> Day:
    """Return a day of so many scents, each of so many tins; a tray holds four."""
    return day(orders=tuple(Order(f"S{number}", "standard", tins) for number in range(count)))


def test_trays_are_counted_by_what_may_stand_together() -> None:
    assert about_trays(orders(3, 1)) == 3
    assert about_trays(replace(orders(3, 1), mix_scents=True)) == 1
    assert about_trays(orders(3, 9)) == 9
    queued = QueuedTray(("S0",), "standard")
    assert about_trays(replace(orders(1, 9), queue=(queued,))) == 3
    assert about_trays(replace(orders(1, 9), queue=(queued, queued))) == 4


def test_the_roomiest_pan_the_ovens_limit_and_the_recipes_own_pan_count() -> None:
    wide = replace(PAN, name="wide", inside_mm=(520.0, 190.0), tins={})
    two = {"small": PAN, "wide": wide}
    nine = orders(1, 9)
    assert about_trays(day(nine, pans=two)) == 1
    assert about_trays(day(nine, pans=two, most_tins=5)) == 2
    own = replace(nine.recipes["standard"], pan="small")
    assert about_trays(day(nine, pans=two, recipes={"standard": own})) == 3
    free = {"countertop": replace(OVEN, most_tins=5), "second": replace(OVEN, name="second")}
    assert about_trays(day(nine, pans=two, ovens=free)) == 1


def test_a_few_trays_get_few_looks() -> None:
    looks = [default_stop(orders(count, 4)).most for count in range(1, 13)]
    assert looks[:5] == [38, 304, 1026, 2432, 4750]
    assert looks == sorted(looks)
    assert looks[-1] == 6000


@RULES
@pytest.mark.parametrize("tins", [1, 4, 20])
def test_all_looks_at_a_large_day_cost_no_more_than_those_at_a_smaller_one(rule, tins) -> None:
    """Until there are so many trays that each day has the least number of looks."""
    costs = [1 << 60]
    for count in (25, 50, 100, 200, 400):
        large = orders(count, tins)
        trays = about_trays(large)
        cost = rule(large).most * trays
        assert cost <= max(costs[-1], LEAST_LOOKS * trays)
        costs.append(cost)


def test_four_hundred_orders_are_planned_and_obey_every_rule() -> None:
    large = resolved(orders(400, 1))
    stop = default_stop(large)
    assert 50 <= stop.most <= 100
    plan = plan_day(large, Iterations(8))
    assert isinstance(plan, Plan)
    assert len(plan.trays) == 400
    assert check_plan(large, plan) == []
