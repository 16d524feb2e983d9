"""What one more of anything buys: never less than nothing, and a known gain where there is one."""

from __future__ import annotations

from dataclasses import replace

import pytest
import small
from days import days
from hypothesis import given, settings

from benchplan import planner
from benchplan.errors import BenchplanError
from benchplan.model import Day, OneMore, Plan
from benchplan.model.more_words import one_more_words
from benchplan.model.stop import Iterations
from benchplan.one_more import one_more, richer_days
from benchplan.scheduling.check import check_plan


def won(day: Day) -> dict[tuple[str, str | None], int]:
    plan = small.planned(day)
    found = one_more(day, plan, lambda _: Iterations(30))
    assert [more.finish_s for more in found] == sorted(more.finish_s for more in found)
    return {(more.what, more.kind): plan.finish_s - more.finish_s for more in found}


def test_a_second_pan_saves_what_the_day_waits_for_its_only_one() -> None:
    """By hand: two trays on one pan. The pan is free for the second when the first is on the mat,
    at 1254; with a pan of its own the second is set before and loaded as soon as the oven is back
    at heat, 90 s after 1110. Setting takes 12 s, so 1266 becomes 1200."""
    day = small.day(orders=(replace(small.BASE.orders[0], tins=8),), count=1)
    gains = won(day)
    assert gains["pan", "small"] == 66
    assert gains["scale", None] == 0
    assert gains["tray's worth of mat", None] == 0


def test_everything_that_the_day_uses_is_tried() -> None:
    plan = small.planned(small.BASE)
    assert [(what, kind) for what, kind, _ in richer_days(small.BASE, plan)] == [
        ("pan", "small"), ("stand place", None), ("tray's worth of mat", None), ("person", None),
        ("scale", None), ("shelf", "countertop"), ("oven", "countertop"),
    ]  # fmt: skip
    on_pan = small.day(where="pan")
    tried = {what for what, _, _ in richer_days(on_pan, small.planned(on_pan))}
    assert "tray's worth of mat" not in tried


@pytest.mark.parametrize("mat", [{"mat_tins": 24}, {"mat_tins": None, "mat_mm": (400.0, 330.0)}])
def test_a_trays_worth_of_mat_takes_the_fullest_tray(mat: dict[str, object]) -> None:
    day = small.day(**mat)
    richer = {what: each for what, _, each in richer_days(day, small.planned(day))}
    room = [
        next(fit.count for fit in planner.fit_day(each) if fit.what == "tins on mat")
        for each in (day, richer["tray's worth of mat"])
    ]
    assert room[1] >= room[0] + 4


def test_a_mat_on_which_no_more_tins_are_counted_grows_no_further() -> None:
    day = small.day(mat_tins=None, mat_mm=(9000.0, 9000.0))
    plan = small.planned(day)
    richer = {what: each for what, _, each in richer_days(day, plan)}
    grown = richer["tray's worth of mat"].cooling.mat_mm
    assert grown is not None
    assert 9000.0 < grown[0] < 9500.0


@settings(max_examples=25)
@given(days())
def test_the_plan_without_is_a_plan_with(day: Day) -> None:
    """So "never later" holds by construction: what is there need not be used."""
    day = planner.resolved(day)
    try:
        plan = planner.plan_day(day, Iterations(1))
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    for what, _, richer in richer_days(day, plan):
        fits = planner.fit_day(richer)
        used = tuple(
            fit
            for fit in fits
            if fit.tin is None or any(fit.tin == other.tin for other in plan.fits)
        )
        kept = replace(plan, fits=used, bound_s=0, bound_any_s=0)
        if what == "person" and day.breaks:
            continue  # one more takes a break too, or stays with an oven that then stays hot
        faults = [each for each in check_plan(richer, kept) if not each.startswith("limits")]
        assert faults == [], (what, faults)


def test_what_a_search_makes_worse_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = small.planned(small.BASE)
    later = replace(plan, finish_s=plan.finish_s + 600)
    monkeypatch.setattr("benchplan.one_more.plan_day", lambda *_: later)
    found = one_more(small.BASE, plan)
    assert len(found) == 7
    assert {more.finish_s for more in found} == {plan.finish_s}


def test_it_ends_when_it_is_cancelled() -> None:
    plan = small.planned(small.BASE)
    assert one_more(small.BASE, plan, cancelled=lambda: True) == ()
    assert len(one_more(small.BASE, plan, lambda _: Iterations(1), cancelled=Iterations(2))) == 2


def test_words_name_what_wins_and_sum_up_what_does_not() -> None:
    plan = replace(
        small.planned(small.BASE),
        one_more=(OneMore("oven", "countertop", 2000), OneMore("pan", "small", 3122),
                  OneMore("person", None, 3100)),
    )  # fmt: skip
    assert plan.finish_s == 3122
    assert one_more_words(small.BASE, plan) == [
        "One more oven like countertop: finish 09:33, 18 min earlier.",
        "No minute is won by one more of these alone: small pan and person.",
    ]
