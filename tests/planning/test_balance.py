"""Bake rate against cooling room: never later with more, and the knee where the rules put it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
import small
from days import days
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan import balance as room
from benchplan import planner
from benchplan.balance import Balance, Point, balance, knee
from benchplan.errors import BenchplanError
from benchplan.model import Cannot, Day, Plan, QueuedTray, Tin
from benchplan.model.stop import Iterations, Stop
from benchplan.planner import resolved
from benchplan.scheduling.check import check_plan

FOUR_TRAYS = small.day(orders=small.order(16), count=4, stand=2)


def quick(_: Day) -> Stop:
    return Iterations(20)


@pytest.fixture
def planned_days(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Day, Plan]]:
    """Every day that was planned for a balance, with its plan."""
    found: list[tuple[Day, Plan]] = []

    def spied(day: Day, *args: object) -> Plan | Cannot:
        answer = planner.plan_day(day, *args)  # type: ignore[arg-type]
        if isinstance(answer, Plan):
            found.append((day, answer))
        return answer

    monkeypatch.setattr(room, "plan_day", spied)
    return found


def swept(day: Day, **options: object) -> Balance:
    return balance(day, small.planned(day), stop_for=quick, **options)  # type: ignore[arg-type]


def points(*finishes: int) -> tuple[Point, ...]:
    return tuple(
        Point(room, finish, 40.0, 5.0)
        for room, finish in zip(range(4, 99, 4), finishes, strict=False)
    )


@pytest.mark.parametrize(
    ("finishes", "wanted"),
    [
        ((9000, 8000, 7000, 7000, 7000), 12),
        ((9000, 8000, 7059, 7030, 7000), 12),  # 59 s are no minute
        ((9000, 8000, 7060, 7030, 7000), 16),
        ((9000, 8900, 8800, 8700, 8600), 20),
        ((9000, 9000, 9000), 4),
        ((9000,), 4),
    ],
)
def test_the_knee_is_where_all_the_more_room_wins_less_than_a_minute(
    finishes: tuple[int, ...], wanted: int
) -> None:
    assert knee(points(*finishes)) == wanted


def test_without_a_point_there_is_no_knee() -> None:
    assert knee(()) is None


def test_on_a_mat_for_one_tray_the_next_waits_until_it_is_packed() -> None:
    """By hand: two trays of four, each with a pan of its own. The second is loaded at 1200, out at
    1650 and at 1770 it has rested. With room for both it is moved at once and packed by
    1770 + 24 + 1800 + 68 = 3662. On a mat of four it waits for the first, which is packed by 3122,
    and is packed itself by 3122 + 24 + 1800 + 68 = 5014."""
    day = small.day(orders=small.order(8), stand=2)
    found = swept(day)
    assert (found.what, found.own, found.knee) == ("mat", 24, 8)
    assert found.at(4).finish_s == 5014
    assert found.at(8).finish_s == found.at(24).finish_s == 3662
    assert found.at(4).tins_per_hour == pytest.approx(8 / ((1650 - 660) / 3600))
    assert found.at(4).trays_per_hour == pytest.approx(2 / ((1650 - 660) / 3600))
    assert found.at(8).cooling == 8.0


def test_the_sweep_goes_from_one_tray_to_what_is_never_full_and_to_the_tin_at_the_knee(
    planned_days: list[tuple[Day, Plan]],
) -> None:
    day = small.day(orders=small.order(64), count=4, stand=2, cool_for_s=9000)
    found = swept(day)
    rooms = [point.room for point in found.points]
    assert rooms[-1] > 5 * room.MOST_POINTS  # several tins between two points, but at the knee
    assert rooms == sorted(set(rooms))
    assert rooms[0] == 4
    assert day.cooling.mat_tins in rooms
    at = rooms.index(found.knee)  # type: ignore[arg-type]
    assert rooms[at] - rooms[at - 1] == 1
    assert len(rooms) <= room.MOST_POINTS + 1 + 3
    assert found.done
    assert found.planned == found.wanted <= len(rooms)


def test_every_rooms_plan_obeys_every_rule_of_a_day_with_that_room(
    planned_days: list[tuple[Day, Plan]],
) -> None:
    found = swept(FOUR_TRAYS)
    assert len(planned_days) >= 6
    for day, plan in planned_days:
        assert check_plan(resolved(day), plan) == []
        tins = day.cooling.mat_tins
        better = [point for point in found.points if tins is not None and point.room >= tins]
        assert all(point.finish_s <= plan.finish_s for point in better)


@settings(max_examples=12)
@given(days(), st.integers(0, 3))
def test_more_room_is_never_later_on_any_day(day: Day, seed: int) -> None:
    try:
        plan = planner.plan_day(day, Iterations(2), seed)
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    found = balance(day, plan, None, lambda _: Iterations(1), seed)
    finishes = [point.finish_s for point in found.points]
    assert finishes == sorted(finishes, reverse=True)
    assert found.at(found.own).finish_s == plan.finish_s or found.own > found.points[0].room
    assert found.at(found.own).finish_s <= plan.finish_s
    assert found.done
    assert found.knee in [point.room for point in found.points]
    assert all(point.room > 0 for point in found.points)
    assert all(point.tins_per_hour > 0 and point.trays_per_hour > 0 for point in found.points)
    assert (found.what == "mat") == (not day.on_pan)


def test_the_days_own_plan_counts_for_the_days_own_room() -> None:
    """A luckier plan with less room may not contradict what every other page says."""
    day, plan = FOUR_TRAYS, small.planned(FOUR_TRAYS)
    worse = replace(plan, finish_s=plan.finish_s + 4000)
    found = balance(day, worse, stop_for=quick)
    assert found.at(found.own).finish_s == worse.finish_s
    assert all(p.finish_s >= worse.finish_s for p in found.points if p.room < found.own)
    best = replace(plan, finish_s=1)
    found = balance(day, best, stop_for=quick)
    assert all(point.finish_s == 1 for point in found.points if point.room >= found.own)


def test_tins_on_their_pans_are_held_up_by_the_stand_or_the_pans() -> None:
    day = small.day(orders=small.order(16), where="pan", count=3, stand=2)
    found = swept(day)
    assert (found.what, found.kind, found.own) == ("stand place", None, 2)
    assert [point.room for point in found.points] == [1, 2, 3, 4]
    assert found.at(1).finish_s > found.at(2).finish_s > found.at(4).finish_s
    day = small.day(orders=small.order(16), where="pan", count=2, stand=2)
    found = swept(day)
    assert (found.what, found.kind, found.own) == ("pan", "small", 2)
    assert [point.room for point in found.points] == [1, 2, 3, 4]
    assert all(point.cooling == 0 for point in found.points)


def test_a_tray_of_the_makers_own_is_never_asked_onto_a_mat_too_small_for_it() -> None:
    queue = (QueuedTray(("A",) * 3, "standard"), QueuedTray(("A",) * 2, "standard"))
    day = replace(FOUR_TRAYS, queue=queue, keep_order=True)
    assert swept(day).points[0].room == 3


def test_a_day_of_one_tray_is_tried_on_less_than_its_tray() -> None:
    found = swept(small.day(mat_tins=4))
    assert [point.room for point in found.points] == [1, 2, 3, 4]
    assert found.knee == 4


@pytest.mark.parametrize("wide", [330.0, 74.0])
def test_a_mat_for_tins_of_several_kinds_grows_by_its_length(
    wide: float, planned_days: list[tuple[Day, Plan]]
) -> None:
    tins = {"low 72": small.TIN, "round 30": Tin("round 30", 40.0, 15.0)}
    recipes = {
        "standard": small.RECIPE,
        "tiny": replace(small.RECIPE, name="tiny", tin="round 30"),
    }
    orders = (*small.order(16), replace(small.order(4)[0], recipe="tiny"))
    pans = {"small": replace(small.PAN, tins={"low 72": 4, "round 30": 4}, count=3)}
    day = small.day(orders=orders, recipes=recipes, tins=tins, pans=pans, stand=2)
    day = replace(day, cooling=replace(day.cooling, mat_tins=None, mat_mm=(372.0, wide)))
    found = swept(day)
    assert found.by_size
    assert found.kind == "low 72"
    finishes = [point.finish_s for point in found.points]
    assert finishes == sorted(finishes, reverse=True)
    for each, plan in planned_days:
        assert check_plan(resolved(each), plan) == []
        assert each.cooling.mat_mm is not None
        assert each.cooling.mat_mm[1] == wide

    def count(each: Day) -> int:
        of = ("tins on mat", "low 72")
        return next(fit.count for fit in planner.fit_day(each) if (fit.what, fit.tin) == of)

    assert found.own == count(day)
    if found.own < day.tins_wanted:  # what is never full is looked for with room for all
        assert count(planned_days[0][0]) >= day.tins_wanted


def test_what_is_found_is_told_as_it_comes_and_the_last_is_what_is_returned() -> None:
    told: list[Balance] = []
    found = swept(FOUR_TRAYS, tell=told.append)
    assert [each.planned for each in told] == list(range(1, found.planned + 1))
    assert not any(each.done or each.knee for each in told)
    assert told[-1].planned == found.planned
    assert set(told[-1].points) <= set(found.points)
    assert all(set(_rooms(one)) < set(_rooms(two)) for one, two in pairwise(told))


def _rooms(each: Balance) -> list[int]:
    return [point.room for point in each.points]


def test_it_ends_between_two_plans_and_within_one() -> None:
    told: list[Balance] = []
    found = swept(FOUR_TRAYS, tell=told.append, cancelled=lambda: len(told) >= 3)
    assert found.planned == 3
    assert not found.done
    assert found.knee is None
    asked = 0

    def later() -> bool:
        nonlocal asked
        asked += 1
        return asked > 10  # in the midst of a plan: what it has come to by then is not kept

    found = balance(
        FOUR_TRAYS, small.planned(FOUR_TRAYS), stop_for=lambda _: Iterations(10**9), cancelled=later
    )
    assert not found.done
    assert found.planned < 3


def test_the_same_seed_gives_the_same() -> None:
    assert swept(FOUR_TRAYS, seed=3) == swept(FOUR_TRAYS, seed=3)


def test_no_room_is_planned_between_two_that_end_together(
    planned_days: list[tuple[Day, Plan]],
) -> None:
    """With two trays of four as the queue has them, only room for the second tells: 8."""
    queue = (QueuedTray(("A",) * 4, "standard"),) * 2
    found = swept(
        small.day(orders=small.order(8), stand=2, queue=queue, keep_order=True, mat_tins=8)
    )
    assert [point.room for point in found.points] == [4, 5, 6, 7, 8]
    assert [day.cooling.mat_tins for day, _ in planned_days] == [4, 6, 7]
    assert {point.finish_s for point in found.points[:-1]} == {5014}
    assert found.points[-1].finish_s == 3662
    assert found.planned == found.wanted == 4


def test_where_most_is_to_be_known_is_planned_first() -> None:
    told: list[Balance] = []
    swept(small.day(orders=small.order(64), count=4, stand=2), tell=told.append)
    third = told[2]
    drops = [a.finish_s - b.finish_s for a, b in pairwise(third.points)]
    at = drops.index(max(drops))
    (new,) = set(_rooms(told[3])) - set(_rooms(third))
    low, high = third.points[at].room, third.points[at + 1].room
    assert low < new < high
    assert abs(new - (low + high) / 2) <= (high - low) / 8
