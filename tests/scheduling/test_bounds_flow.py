"""The flow of trays: nothing it leaves out of its search matters, and no plan beats it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from shops import shop, small_day

from benchplan.model import Break, Cooling, Day, Order, Oven, Pan, QueuedTray, Recipe, Times
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved
from benchplan.scheduling import Job, Schedule, Shop, given, scheduled
from benchplan.scheduling.bounds.flow import Flow
from benchplan.scheduling.bounds.order import Order as Placed
from benchplan.scheduling.bounds.order import first

sys.path[:0] = [str(Path(__file__).parents[1] / name) for name in ("planning", "bench")]

from flow_days import KINDS, day_of  # noqa: E402
from flow_known import known  # noqa: E402

MANY = 10**9


def every_end(flow: Flow) -> int:
    """Return the earliest end of all orders, each followed to its end: none is left out.

    With several ovens what lies ahead is known better before a load than after it, and counts.
    """

    def ends(order: Placed, least: int) -> Iterator[int]:
        whole = order.moved == sum(flow.kinds.counts)
        if order.moved and (whole or flow.ovens.count > 1):
            least = max(least, flow.ahead.least(order))
        if whole:
            yield least
        for child in flow._children(order):
            child.least = 0
            yield from ends(child, least)

    return min(ends(first(flow.kinds.counts, len(flow.kinds.pans), flow.ovens.count), 0))


@st.composite
def shops(draw: st.DrawFn) -> tuple[Shop, tuple[Job, ...]]:
    """Return a day of a few trays of two recipes, and these trays."""

    def some(*values: int) -> int:
        return draw(st.sampled_from(values))

    sizes = draw(st.lists(st.tuples(st.integers(1, 8), st.booleans()), min_size=2, max_size=4))
    jobs = tuple(
        Job(("Fennel",) * size, (), "hot" if hot else "standard", "small") for size, hot in sizes
    )
    ovens = {
        str(number): Oven(
            str(number),
            (362, 292),
            preheat_s=some(0, 300, 660),
            recover_s=some(0, 90),
            per_kelvin_s=some(0, 6),
        )
        for number in range(some(1, 1, 2))
    }
    recipes = {
        name: Recipe(
            name, "low 72", 31, heat, some(60, 420), 60, some(0, 120), some(0, 60, 900, 1980)
        )
        for name, heat in (("standard", 158.0), ("hot", 173.0))
    }
    day = small_day(
        orders=tuple(Order("Fennel", job.recipe, job.tins, job.tins) for job in jobs),
        recipes=recipes,
        ovens=ovens,
        pans={"small": Pan("small", (282, 206), (297, 221), count=some(1, 2, 3))},
        cooling=Cooling((some(0, 1) and "pan") or "mat", some(1, 2, 3), None, 11),
        times=Times(some(0, 20), some(0, 3), some(0, 30), 15, some(0, 15), some(0, 6), some(0, 17)),
        people=some(1, 1, 2),
        breaks=(Break(some(300, 1000, 1700), 600),) if some(0, 0, 1) else (),
    )
    return shop(day, on_shelf=some(1, 1, 2), on_mat=some(8, 11, 16)), jobs


@st.composite
def tight_shops(draw: st.DrawFn) -> tuple[Shop, tuple[Job, ...]]:
    """Return a day whose mat is always full, and its trays of a few sizes."""

    def some(*values: int) -> int:
        return draw(st.sampled_from(values))

    sizes = draw(st.lists(st.sampled_from((2, 3, 5, 6)), min_size=4, max_size=6))
    jobs = tuple(Job(("Fennel",) * size, (), "standard", "small") for size in sizes)
    oven = Oven("oven", (362, 292), recover_s=some(0, 90))
    bake, cool = some(120, 420), some(900, 1300, 1980)
    day = small_day(
        orders=tuple(Order("Fennel", "standard", job.tins, job.tins) for job in jobs),
        recipes={"standard": Recipe("standard", "low 72", 31, 158, bake, 60, 120, cool)},
        ovens={"oven": oven},
        pans={"small": Pan("small", (282, 206), (297, 221), count=some(1, 2))},
        cooling=Cooling(stand=some(1, 2), mat_tins=11),
        times=Times(0, 3, some(0, 30), 15, 15, some(6, 20), some(17, 40)),
        people=some(1, 2),
    )
    return shop(day, on_mat=some(7, 8, 11)), jobs


@settings(max_examples=240)
@drawn(st.one_of(shops(), tight_shops()), st.booleans())
def test_no_order_that_is_left_out_ends_earlier(
    found: tuple[Shop, tuple[Job, ...]], closely: bool
) -> None:
    flow = Flow(*found, closely=closely)
    assert flow.bound(MANY) == every_end(Flow(*found, closely=closely))


@pytest.mark.parametrize("kind", KINDS)
def test_no_plan_is_earlier_with_whatever_trays(kind: str) -> None:
    for seed, looks in ((7, 1), (8, 30), (9, 100)):
        day = resolved(day_of(kind, seed, 5))
        plan = plan_day(day, Iterations(looks), seed)
        least = plan.bound_any_s
        small = QueuedTray(plan.trays[0].scents[:2], plan.trays[0].recipe, plan.trays[0].pan)
        other = plan_day(replace(day, queue=(small,)), Iterations(looks), seed)
        for each in (plan, other):
            assert least == each.bound_any_s <= each.bound_s <= each.finish_s, (kind, seed)


def test_most_of_what_cp_sat_proves_is_proven_here_too() -> None:
    missed, count = [], 0
    for fact in known().values():
        if fact.proven and fact.size <= 5:
            plan = plan_day(fact.day(), Iterations(1))
            count += 1
            assert plan.bound_s <= fact.best_s
            if plan.bound_s < fact.best_s:
                missed.append((fact.best_s / plan.bound_s - 1, fact.line))
    assert count > 100
    assert len(missed) < 0.12 * count
    assert sum(gap for gap, _ in missed) < 0.001 * count, missed


def planned(day: Day, jobs: tuple[Job, ...], **room: int) -> tuple[int, int]:
    """Return a finish with just these trays, and the bound for them."""
    queue = tuple(QueuedTray(job.scents, job.recipe, job.pan) for job in jobs)
    made = shop(replace(day, queue=queue), **room)
    found = scheduled(made, Iterations(300), 0)
    assert isinstance(found, Schedule)
    return found.finish_s, given(made, tuple(Job.of(tray) for tray in found.trays))


def test_a_tray_is_set_while_another_of_its_load_is_put_in() -> None:
    # Nothing takes time but load, unload and waiting, so the fourth tray, on the pan that cools
    # until then, is set at the very moment at which it is loaded: so CP-SAT ends at 3390.
    jobs = tuple(Job(("Fennel",) * size, (), "standard", "small") for size in (3, 1, 3, 1))
    day = small_day(
        orders=tuple(Order("Fennel", "standard", job.tins, job.tins) for job in jobs),
        pans={"small": Pan("small", (282, 206), (297, 221), count=3)},
        ovens={"oven": Oven("oven", (362, 292), preheat_s=0, recover_s=200)},
        cooling=Cooling(stand=2, mat_tins=40, pan_for_s=240),
        times=Times(14, 0, 60, 15, 15, 0, 0),
        breaks=(Break(1860, 600),),
    )
    finish, bound = planned(day, jobs, on_shelf=4)
    assert bound <= 3390 <= finish


def test_unloads_in_two_ovens_may_wait_for_each_other_in_any_order() -> None:
    jobs = tuple(Job(("Fennel",) * size, (), "standard", "small") for size in (4, 4, 3, 3, 3, 3))
    day = small_day(
        orders=tuple(Order("Fennel", "standard", job.tins, job.tins) for job in jobs),
        recipes={"standard": Recipe("standard", "low 72", 31, 143, 60, cool_for_s=0)},
        pans={"small": Pan("small", (282, 206), (297, 221), count=4)},
        ovens={
            "one": Oven("one", (362, 292), preheat_s=300, recover_s=0, most_tins=4),
            "two": Oven("two", (362, 292), preheat_s=660, recover_s=90),
        },
        cooling=Cooling(stand=2, mat_tins=12, pan_for_s=45),
        times=Times(7, 3, 30, 15, 15, 0, 17),
        breaks=(Break(540, 60),),
    )
    finish, bound = planned(day, jobs, on_shelf=2, on_mat=12)
    assert bound <= finish <= 1447
