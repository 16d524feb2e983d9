"""A load on a promised stand place, waits before a load, and breaks in turns: by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from small import day, order, planned, step

from benchplan.fitting import fit_day
from benchplan.model import Break, Day, Plan, QueuedTray
from benchplan.planner import resolved, shop_of
from benchplan.scheduling.builder import Building, Op, build
from benchplan.scheduling.problem import Job, Shop

TWO = day(orders=order(4, 4), recover_s=120)
FIRST: list[Op] = [("fill", 0), ("fill", 1), ("load", 0)]
LAST: list[Op] = [("transfer", 1), ("pack", 0), ("pack", 1)]


def shop(of: Day) -> Shop:
    return shop_of(resolved(of), fit_day(of))


def built(of: Day, ops: list[Op], waits: tuple[int, ...] = (0, 0)) -> Building:
    """Return the schedule of two trays of four tins, a load each."""
    job = Job(("A",) * 4, (("A", 4),), "standard", "small")
    room = shop(of)
    return build(room, replace(room.way((job, job), ((0,), (1,))), waits=waits), ops)


def test_a_load_goes_in_before_the_place_it_lands_on_is_free() -> None:
    """Tray 1 rests until 1230, and the oven is ready then: whoever moves it first loads 24 s later.

    Tray 2 then lies on the mat at 1824, cools until 3624 and is packed by 3692.
    """
    without = built(TWO, [*FIRST, ("transfer", 0), ("load", 1), *LAST])
    assert without.times[1].load == ((1254, 1269),)
    assert without.finish == 3716
    found = built(TWO, [*FIRST, ("load", 1), ("transfer", 0), *LAST])
    assert found.times[1].load == ((1230, 1245),)
    assert found.times[0].transfer == ((1245, 1269),)
    assert found.finish == 3692
    plan = planned(TWO)
    assert (step(plan, 2, "load").start_s, plan.finish_s) == (1230, 3692)


def test_a_promise_that_cannot_be_kept_is_not_given() -> None:
    """A bake of 20 s is over at 1265: the tray before must be off its place first, by 1254."""
    quick = day(TWO, bake_for_s=20)
    found = built(quick, [*FIRST, ("load", 1), ("transfer", 0), *LAST])
    first, second = found.times
    assert first.out == 710
    assert second.unload[0][0] >= first.transfer[-1][1]


def test_a_load_waits_where_its_place_would_be_free_too_late() -> None:
    """Tray 1 may be moved from 840 on, 300 s long, and a bake takes 30 s. Loaded at 840, tray 2
    would be out at 885, and tray 1 off its place at 1200, after that; so it is loaded 315 s later.
    """
    slow = day(TWO, bake_for_s=30, transfer_s=75)
    found = built(slow, [*FIRST, ("load", 1), ("transfer", 0), *LAST])
    first, second = found.times
    assert first.transfer == ((840, 1140),)
    assert second.load == ((1155, 1170),)
    assert found.taken.stand == [second.transfer[-1][1]]


def test_a_load_waits_as_long_as_it_is_told_to() -> None:
    ops = [*FIRST, ("load", 1), ("transfer", 0), *LAST]
    assert built(TWO, ops, (0, 7)).times[1].load == ((1237, 1252),)
    assert built(TWO, ops, (5, 0)).times[0].load == ((665, 680),)


def test_lunch_is_taken_in_turns() -> None:
    """common practice, no source: one after the other, not one person twice."""
    lunches = (Break(3600, 1800, 1), Break(5400, 1800, 1))
    both = day(TWO, people=2, breaks=lunches)
    assert shop(both).away == ((1, (3600, 5400)), (0, (5400, 7200)))
    three = day(TWO, people=3, breaks=(Break(3600, 1800, 2), Break(4000, 100, 1)))
    assert {person for person, (begin, _) in shop(three).away if begin == 4000} == {0}
    long = day(
        TWO, people=2, breaks=(Break(3600, 100, 1), Break(5000, 3600, 1), Break(6000, 60, 1))
    )
    assert [person for person, _ in shop(long).away] == [1, 0, 1]


def test_in_a_kept_order_fills_stay_in_it_even_where_pans_are_free_in_another() -> None:
    queue = (QueuedTray(("A",) * 4, "standard"),) * 8
    eight = day(orders=order(32), queue=queue, keep_order=True, mat_tins=8, stand=2)
    plan = planned(eight)
    assert isinstance(plan, Plan)
    fills = [step(plan, tray, "fill").start_s for tray in range(1, 9)]
    assert fills == sorted(fills)
