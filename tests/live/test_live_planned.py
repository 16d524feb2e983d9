"""A run of days as the planner makes them, the rest of the day planned anew after each mark."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from live_days import Bench, make_day

from benchplan import planner
from benchplan.live import actions, possible, state
from benchplan.model import Break, Cooling, Day, Order, Plan, Times
from benchplan.model.stop import Iterations

KINDS: dict[str, dict[str, object]] = {
    "one person": {},
    "two people, two scales": {"people": 2, "scales": 2},
    "a break for everyone": {"breaks": (Break(3600, 1800),)},
    "a helper's break": {"people": 2, "breaks": (Break(3600, 1800, 1),)},
    "cooling on the pan": {"cooling": Cooling(where="pan", stand=2)},
}


def planned(name: str) -> tuple[Day, Plan]:
    pan = replace(make_day().pans["small"], tins={"round": 8})
    day = make_day(
        orders=(
            Order("Sea fennel", "standard", 24),
            Order("Cedar", "standard", 16, filled=8),
            Order("Fig", "standard", 12),
        ),
        pans={"small": pan},
        cooling=Cooling(stand=2, mat_tins=40, pan_for_s=120),
        times=Times(ready_s=30),
    )
    day = planner.resolved(replace(day, **KINDS[name]))  # type: ignore[arg-type]
    plan = planner.plan_day(day, Iterations(40))
    assert isinstance(plan, Plan)
    return day, plan


@pytest.mark.parametrize("name", KINDS)
def test_doing_what_the_cards_say_when_they_say_it_is_the_plan(name: str) -> None:
    day, plan = planned(name)
    bench = Bench(day, plan)
    bench.follow()
    ends = {mark.action: mark.happened_s for mark in bench.marks}
    assert ends == {each.action: each.end_s for each in actions(plan)}
    assert bench.state.finish_s == plan.finish_s


@pytest.mark.parametrize("name", KINDS)
def test_a_day_that_is_on_time_stays_on_time_when_it_is_planned_anew(name: str) -> None:
    day, plan = planned(name)
    bench = Bench(day, plan)

    def again(bench: Bench) -> None:
        bench.plan = planner.replan(day, bench.plan, bench.marks, bench.now)
        assert bench.plan.finish_s <= plan.finish_s

    bench.follow(again)
    assert bench.state.finish_s <= plan.finish_s


@pytest.mark.parametrize("seed", range(5))
def test_a_day_that_goes_its_own_way_still_comes_to_its_end(seed: int) -> None:
    chance = random.Random(seed)
    day, plan = planned(list(KINDS)[seed])
    bench = Bench(day, plan)

    def late_or_something_else(bench: Bench) -> None:
        bench.now += chance.randrange(0, 90)
        if chance.random() < 0.2:
            offered = possible(day, bench.plan, bench.marks)
            if offered:
                bench.mark(chance.choice(offered), person=chance.randint(1, day.people))
        bench.plan = planner.replan(day, bench.plan, bench.marks, bench.now)

    bench.follow(late_or_something_else)
    assert bench.state.complete


def test_taking_everything_back_returns_to_the_plan() -> None:
    day, plan = planned("one person")
    fresh = state(day, planner.replan(day, plan, (), 0), (), 0)
    bench = Bench(day, plan)
    bench.follow()
    for mark in reversed(bench.marks):
        bench.take_back(mark.number)
    assert state(day, planner.replan(day, plan, bench.marks, 0), bench.marks, 0) == fresh
