"""Every plan of every random day obeys every rule, and every refusal has its reason."""

from __future__ import annotations

from dataclasses import replace

from days import days
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan.errors import BenchplanError
from benchplan.model import Cannot, Day, Plan, QueuedTray, Recipe
from benchplan.model.stop import Iterations
from benchplan.planner import fit_day, plan_day, resolved
from benchplan.scheduling.check import check_plan

FEW = settings(max_examples=100)


def answer(day: Day, steps: int = 8, seed: int = 0) -> Plan | Cannot | None:
    """Return the plan or the reasons, or None where the maker asked for a tray that cannot be."""
    try:
        return plan_day(day, Iterations(steps), seed)
    except BenchplanError as error:
        problems = error.problems
    assert problems
    for problem in problems:
        assert problem.key.startswith("trays")
        assert problem.cure
    return None


def bakes(day: Day, recipe: Recipe) -> bool:
    """Whether at least one tin of a recipe has a pan, an oven, a place to cool, and hands.

    Breaks end, so they never make a bake impossible. Hands that load may be those that must be
    ready before the bake ends, unless one of the two takes no time.
    """
    fits = {(fit.what, fit.tin, fit.pan, fit.oven): fit.count for fit in fit_day(day)}
    alone = day.people == 1 and day.times.load_s > 0 and day.times.unload_s > 0
    if alone and day.times.ready_s > recipe.bake_for_s:
        return False
    if not day.on_pan and not fits["tins on mat", recipe.tin, None, None]:
        return False
    tall = day.tins[recipe.tin].height_mm
    return any(
        fits["tins on pan", recipe.tin, pan.name, None]
        and fits["pans on shelf", None, pan.name, oven.name]
        and max(pan.height_mm, tall) <= oven.headroom_mm
        for pan in day.pans.values()
        for oven in day.ovens.values()
        if recipe.pan in (None, pan.name)
    )


@FEW
@given(days())
def test_a_plan_obeys_every_rule_and_a_refusal_has_a_reason(day: Day) -> None:
    found = answer(day)
    possible = all(bakes(day, day.recipes[order.recipe]) for order in day.orders)
    if isinstance(found, Plan):
        assert check_plan(resolved(day), found) == []
        assert found.bound_any_s <= found.bound_s <= found.finish_s
    elif isinstance(found, Cannot):
        assert not possible
        assert found.reasons
        for reason in found.reasons:
            assert reason.endswith(".")


@settings(max_examples=60)
@given(days())
def test_a_longer_day_obeys_every_rule(day: Day) -> None:
    more = tuple(
        replace(order, tins=order.tins * 6, filled=order.filled * 3) for order in day.orders
    )
    long = replace(day, orders=more, queue=())
    found = answer(long, steps=4)
    if isinstance(found, Plan):
        assert check_plan(resolved(long), found) == []


@FEW
@given(days(), st.randoms(use_true_random=False))
def test_the_order_of_orders_breaks_nothing(day: Day, random) -> None:
    first = answer(day)
    orders = list(day.orders)
    random.shuffle(orders)
    second = answer(replace(day, orders=tuple(orders)))
    assert type(first) is type(second)
    if isinstance(first, Plan) and isinstance(second, Plan):
        assert check_plan(resolved(replace(day, orders=tuple(orders))), second) == []
        assert first.bound_any_s == second.bound_any_s


@FEW
@given(days())
def test_the_same_day_stop_and_seed_give_the_same_plan(day: Day) -> None:
    assert answer(day, seed=3) == answer(day, seed=3)


@FEW
@given(days(), st.integers(0, 3))
def test_no_plan_of_the_same_trays_finishes_before_the_bound(day: Day, seed: int) -> None:
    """The trays of one plan, queued, are planned again; its queue allows no others."""
    first = answer(day)
    if not isinstance(first, Plan):
        return
    queue = tuple(QueuedTray(tray.scents, tray.recipe, tray.pan) for tray in first.trays)
    again = answer(replace(day, queue=queue, keep_order=False), steps=20, seed=seed)
    assert isinstance(again, Plan)
    assert again.finish_s >= first.bound_any_s
    if not any(order.filled for order in day.orders):  # else the filled tins may lie elsewhere
        assert again.finish_s >= first.bound_s
