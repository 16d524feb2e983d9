"""How much of the mat a plan needs: Little's law, on published cases and on every plan."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from days import days
from small import BASE, OVEN, PAN, RECIPE, day, order, planned

from benchplan.errors import BenchplanError
from benchplan.model import Cooling, Day, Order, Plan, QueuedTray, Times
from benchplan.model.lanes import levels
from benchplan.model.mat_need import in_process, mat_need, mat_words
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved

TWO_HOURS = 7200


def test_a_published_case_of_littles_law() -> None:
    # Hopp and Spearman, Factory Physics, the HAL case: 47,600 panels in process, 1,400 a day, so
    # each is 34.0 days under way (looked up).
    assert in_process(1400, 34.0) == 47600


def stations(trays: int) -> Day:
    """Return the day whose four stations, scale, oven, stand and mat, each take two hours a tin."""
    recipe = replace(RECIPE, bake_for_s=TWO_HOURS, rest_for_s=TWO_HOURS, cool_for_s=TWO_HOURS)
    return replace(
        BASE,
        orders=(Order("A", "standard", trays),),
        queue=tuple(QueuedTray(("A",), "standard") for _ in range(trays)),
        recipes={"standard": recipe},
        pans={"small": replace(PAN, count=9, tins={"low 72": 1})},
        ovens={"countertop": replace(OVEN, preheat_s=0, recover_s=0)},
        cooling=Cooling(stand=1, mat_tins=1),
        times=Times(TWO_HOURS, 0, 0, 0, 0, 0, 0, 0, 0),
        people=2,
    )


def test_penny_fab_one() -> None:
    # Hopp and Spearman, Factory Physics, Penny Fab One: four stations of two hours. Rate 0.5 an
    # hour, raw time 8 h, critical work in process 4 (looked up).
    limits = {each.what: each for each in planned(stations(8)).limits.resources}
    for station in ("scale", "oven", "stand", "mat"):
        assert limits[station].s_per_tray == TWO_HOURS
        assert limits[station].tins_per_hour == 0.5
    assert min(each.tins_per_hour for each in limits.values()) == 0.5
    raw = planned(stations(1)).finish_s
    assert raw == 8 * 3600
    assert in_process(0.5, raw / 3600) == 4
    # At that rate the plan ends one tin every two hours, and has at most four under way.
    plan = planned(stations(8))
    assert plan.finish_s == raw + 7 * TWO_HOURS
    need = mat_need(stations(8), plan)
    assert need is not None
    assert (need.tins_per_s * 3600, need.on_mat_s, need.tins) == (0.5, TWO_HOURS, 1)


@settings(max_examples=100)
@given(days())
def test_the_law_holds_on_every_plan_from_its_first_tin_on_the_mat_to_its_last(day_: Day) -> None:
    try:
        plan = plan_day(day_, Iterations(4))
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    day_ = resolved(day_)
    need = mat_need(day_, plan)
    assert (need is None) == day_.on_pan
    if need is None:
        assert mat_words(day_, plan) == ""
        return
    found = levels(day_, plan)
    area = sum(one.tins * (two.start_s - one.start_s) for one, two in pairwise(found))
    lasts = found[-1].start_s - found[1].start_s
    tins = sum(tray.tins for tray in plan.trays)
    if lasts:
        assert in_process(tins / lasts, need.on_mat_s) == pytest.approx(area / lasts)
    assert 0 <= need.tins <= need.most <= (need.room or tins)
    assert (need.tins > 0) == (need.on_mat_s > 0)
    assert need.share <= max(level.share for level in found) + 1e-9


@pytest.mark.parametrize("kinds", [1, 2])
def test_tins_that_spend_no_time_on_the_mat_need_none_of_it(kinds: int) -> None:
    cold = {
        name: replace(RECIPE, name=name, tin=name, cool_for_s=0) for name in ("low 72", "other")
    }
    day_ = replace(
        BASE,
        orders=tuple(Order("A", name, 1) for name in list(cold)[:kinds]),
        recipes=cold,
        tins={name: replace(BASE.tins["low 72"], name=name) for name in cold},
        cooling=Cooling(stand=1, mat_mm=(750.0, 430.0)),
        times=replace(BASE.times, transfer_s=0, pack_s=0),
    )
    need = mat_need(day_, planned(day_))
    assert need is not None
    assert (need.tins, need.share) == (0, 0)


def test_what_is_needed_against_the_room_there_is() -> None:
    # Trays of 4 go out 540 s apart (15 + 420 + 15 + 90), and lie 24 + 1800 + 68 = 1892 s each:
    # 4 · 1892 / 540 = 14.01 tins.
    day_ = day(orders=order(40), stand=2)
    plan = planned(day_)
    need = mat_need(day_, plan)
    assert need is not None
    assert need.tins_per_s == pytest.approx(4 / 540)
    assert need.on_mat_s == 1892
    assert need.tins == pytest.approx(4 * 1892 / 540)
    assert (need.most, need.room) == (16, 24)
    assert mat_words(day_, plan) == (
        "At this pace 14 tins are on the mat at a time; there is room for 24."
    )


def test_one_load_alone_is_all_there_is() -> None:
    assert mat_words(BASE, planned(BASE)) == (
        "At this pace 4 tins are on the mat at a time; there is room for 24."
    )
    one = day(orders=order(1))
    assert mat_words(one, planned(one)).startswith("At this pace 1 tin is on the mat")


def test_several_kinds_of_tin_are_said_as_a_share() -> None:
    tall = replace(RECIPE, name="tall", tin="tall")
    day_ = replace(
        BASE,
        orders=(*order(4), Order("A", "tall", 4)),
        recipes={"standard": RECIPE, "tall": tall},
        tins={**BASE.tins, "tall": replace(BASE.tins["low 72"], name="tall", diameter_mm=50.0)},
        cooling=Cooling(mat_mm=(750.0, 430.0)),
    )
    plan = planned(day_)
    assert mat_words(day_, plan).endswith("% of it.")
