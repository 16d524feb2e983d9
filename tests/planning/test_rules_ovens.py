"""Rules of loads, ovens and breaks: each pair of days differs in one rule, computed by hand.

Two pans at once on the small day (two shelves, two stand places): loaded 660 to 690, baked until
1110, out 1125 and 1140, moved 1245 to 1269 and 1269 to 1293, packed 3069 to 3137 and 3137 to 3205.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import BASE, OVEN, PAN, RECIPE, day, finish, order, other, planned, step, steps

from benchplan.model import Break, Order

ONE, TWO, TOGETHER = 3122, 3662, 3205
DEEP = {"orders": order(8), "shelves": 2, "stand": 2}


def second_recipe(**changes) -> dict:
    """Return two orders of four, the second of a recipe that differs as told."""
    other_recipe = replace(RECIPE, name="other", **changes)
    return {
        "recipes": {"standard": RECIPE, "other": other_recipe},
        "orders": (Order("A", "standard", 4), Order("A", "other", 4)),
        "shelves": 2,
        "stand": 2,
    }


def test_a_load_is_as_many_pans_as_the_shelves_take() -> None:
    assert finish(**{**DEEP, "shelves": 1}) == TWO
    assert finish(**DEEP) == TOGETHER
    assert [load.trays for load in planned(day(**DEEP)).loads] == [(1, 2)]
    # Two pans stand side by side on a wider shelf.
    assert finish(**{**DEEP, "shelves": 1, "shelf_mm": (669.0, 292.0)}) == TOGETHER
    assert finish(**{**DEEP, "shelves": 1, "shelf_mm": (668.0, 292.0)}) == TWO


def test_a_load_holds_at_most_most_tins() -> None:
    assert finish(**DEEP, most_tins=8) == TOGETHER
    plan = planned(day(**DEEP, most_tins=7))
    assert plan.finish_s > TOGETHER
    assert all(sum(plan.tray(number).tins for number in load.trays) <= 7 for load in plan.loads)


def test_a_load_has_a_stand_place_for_each_pan() -> None:
    assert finish(**{**DEEP, "stand": 1}) == TWO
    assert finish(**DEEP) == TOGETHER


@pytest.mark.parametrize(
    ("changes", "ends"),
    [
        ({}, TOGETHER),
        # Other waits than the bake's may differ: the load is moved at 1245 and, after 180 s, 1320.
        ({"rest_for_s": 180, "cool_for_s": 1776}, TOGETHER),
        ({"bake_for_s": 421}, TWO + 1),
        # 1140 + 90 ... two loads, and 10 K at 6 s between them.
        ({"bake_at_c": 168.0}, TWO + 60),
    ],
    ids=str,
)
def test_a_load_has_one_bake_at_and_bake_for(changes, ends: int) -> None:
    assert finish(**second_recipe(**changes)) == ends


def test_a_load_may_hold_any_scents() -> None:
    apart = {**DEEP, "orders": order(4, 4, scents="AB")}
    assert finish(**apart) == TOGETHER


def test_a_load_is_on_one_kind_of_pan() -> None:
    one = replace(PAN, count=1)
    kinds = {"small": one, "flat": replace(one, name="flat")}
    assert finish(**DEEP) == TOGETHER
    assert finish(**{**DEEP, "pans": kinds}) == TWO


def test_no_tray_of_a_load_is_unloaded_too_late() -> None:
    # The second tray of a load is unloaded 15 s after the bake ends.
    assert finish(**DEEP, bake_late_s=15) == TOGETHER
    assert finish(**DEEP, bake_late_s=14) == TWO
    # Its own recipe decides: the impatient one comes out first.
    hasty = second_recipe(bake_late_s=0)
    plan = planned(day(**hasty))
    assert plan.finish_s == TOGETHER
    recipes = [plan.tray(each.tray).recipe for each in steps(plan, "unload")]
    assert recipes == ["other", "standard"]


def test_loads_and_unloads_follow_each_other_without_a_gap() -> None:
    plan = planned(day(**DEEP))
    assert [each.parts for each in steps(plan, "load")] == [((660, 675),), ((675, 690),)]
    assert [each.parts for each in steps(plan, "bake")] == [((690, 1110),)] * 2
    assert [each.parts for each in steps(plan, "unload")] == [((1110, 1125),), ((1125, 1140),)]


def test_an_oven_recovers_between_loads() -> None:
    assert finish(orders=order(8), recover_s=0) == TWO - 90
    assert finish(orders=order(8), recover_s=200) == TWO + 110


@pytest.mark.parametrize(
    ("kelvin", "per_kelvin", "more"),
    [(10.0, 6.0, 60), (10.0, 0.0, 0), (10.5, 6.1, 65), (-10.0, 6.0, 60), (0.25, 0.1, 1)],
)
def test_an_oven_changes_its_temperature(kelvin: float, per_kelvin: float, more: int) -> None:
    # 10.5 K at 6.1 s are 64.05 s: 65 s; 0.25 K at 0.1 s are 0.025 s: 1 s.
    days = second_recipe(bake_at_c=158.0 + kelvin)
    assert finish(**days, per_kelvin_s=per_kelvin) == TWO + more


def test_a_difference_in_fahrenheit_is_not_rounded_up_by_a_float_s_last_digit() -> None:
    # 317 degF and 254 degF differ by 35 K: 210 s at 6 s, although 158.33... - 123.33... is more.
    fahrenheit = [(degrees - 32) * 5 / 9 for degrees in (317, 254)]
    days = second_recipe(bake_at_c=fahrenheit[1])
    days["recipes"]["standard"] = replace(RECIPE, bake_at_c=fahrenheit[0])
    assert finish(**days) == TWO + 210


def test_an_oven_preheats_before_its_first_load_as_late_as_possible() -> None:
    # Set by 92 or 812: loaded then or when the oven is hot, whichever is later.
    assert other(planned(day()), "preheat") == [(0, 660)]
    assert other(planned(day(fill_s=200)), "preheat") == [(152, 812)]
    assert finish(preheat_s=0) == ONE - 660 + 92
    assert finish(preheat_s=92) == ONE - 660 + 92
    assert finish(preheat_s=93) == ONE - 660 + 93


def test_no_oven_is_hot_while_everyone_is_away() -> None:
    # Away 1000 to 1600: the bake would end in it, so the oven heats from 1600, 4722. One of two
    # people away: nothing changes. Both of two, by one number or none: as with one person.
    away = Break(1000, 600)
    assert finish(breaks=()) == ONE
    assert finish(breaks=(away,)) == ONE + 1600
    assert finish(breaks=(replace(away, away=1),), people=2) == ONE
    assert finish(breaks=(replace(away, away=2),), people=2) == ONE + 1600
    assert finish(breaks=(away,), people=2) == ONE + 1600


def test_the_last_unload_ends_before_everyone_leaves() -> None:
    # Out by 1110. Tongs at 1600: 1624, 3424, 3492. Away one second earlier, and all waits.
    assert finish(breaks=(Break(1110, 490),)) == 3492
    assert finish(breaks=(Break(1109, 491),)) == ONE + 1600


def test_an_oven_preheats_again_after_a_break_of_everyone() -> None:
    # Tray 2 is loaded at 2260, out 2710, 2830, 2854, 4654, 4722.
    away = {"orders": order(8), "breaks": (Break(1110, 490),)}
    plan = planned(day(**away))
    assert plan.finish_s == 4722
    assert other(plan, "preheat") == [(0, 660), (1600, 2260)]
    assert other(planned(day(**away, people=2)), "preheat") == [(0, 660), (1600, 2260)]
    # With somebody there the oven stays hot: tray 2 is loaded at 1200 as ever.
    some = {**away, "breaks": (Break(1110, 490, 1),)}
    plan = planned(day(**some, people=2))
    assert (plan.finish_s, other(plan, "preheat")) == (TWO, [(0, 660)])


def test_recovery_holds_across_a_break() -> None:
    # Preheat 5 s. Tray 1 is loaded 92 to 107 and out by 542; everyone is away until 552. Tray 2 is
    # loaded at 557, or 90 s after 542 at 632: 647, 1067, 1082, 1202, 1226, 3026, 3094.
    quick = {"orders": order(8), "preheat_s": 5, "breaks": (Break(542, 10),)}
    assert finish(**quick, recover_s=0) == 3019
    assert finish(**quick, recover_s=90) == 3094
    assert other(planned(day(**quick, recover_s=90)), "preheat") == [(87, 92), (627, 632)]


def test_who_is_away_does_nothing() -> None:
    # Two people; one is away for the whole day, so tray 2 is filled as by one person. Tongs take no
    # time here; compare the rule of pauses in the steps' own file.
    apart = {"fill_s": 200, "transfer_s": 0, "orders": order(4, 4), "scales": 2, "people": 2}
    assert finish(**apart, breaks=()) == TWO + 152 - 24
    assert finish(**apart, breaks=(Break(0, 9000, 1),)) == 4112


def test_overlapping_breaks_add_up() -> None:
    # One away 1000 to 1600, one 1300 to 1700: together nobody from 1300 to 1600, and the tray is
    # out and moved by 1254. From 1050: nobody is there when it should come out.
    first = Break(1000, 600, 1)
    assert finish(people=2, breaks=(first, Break(1300, 400, 1))) == ONE
    assert finish(people=2, breaks=(first, Break(1050, 650, 1))) == ONE + 1600
    assert finish(people=3, breaks=(first, Break(1050, 650, 1))) == ONE


def test_the_same_people_are_away_for_all_of_a_break() -> None:
    plan = planned(day(people=3, breaks=(Break(1000, 600, 1), Break(1300, 600))))
    rows = [each for each in plan.other if each.what == "break"]
    assert sorted(each.parts for each in rows) == [((1000, 1600),), *[((1300, 1900),)] * 2]
    assert {each.person for each in rows} == {1, 2, 3}


def test_hands_wait_for_the_end_of_a_break() -> None:
    # Tins may cool with nobody there; the lids wait, and the plan says so.
    plan = planned(day(breaks=(Break(3000, 600),)))
    assert plan.finish_s == 3600 + 68
    assert any("nobody" in warning for warning in plan.warnings)
    assert step(plan, 1, "cool").parts == ((1254, 3600),)
    assert not planned(day()).warnings


def test_pans_and_tins_must_clear_the_headroom() -> None:
    low = {"countertop": replace(OVEN, headroom_mm=20.0), "second": replace(OVEN, name="second")}
    tall = {"small": replace(PAN, height_mm=21.0)}
    assert {load.oven for load in planned(day(ovens=low)).loads} <= {"countertop", "second"}
    assert {load.oven for load in planned(day(ovens=low, pans=tall)).loads} == {"second"}
    tins = {"low 72": replace(BASE.tins["low 72"], height_mm=21.0)}
    assert {load.oven for load in planned(day(ovens=low, tins=tins)).loads} == {"second"}
