"""Simulated days: the plan's own without variation, days by hand, and the rules of a day."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path

import pytest
import small
from days import days
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_days import EXACT, STEPS, carried_out, sample_days, steps_of
from simulated_rules import faults

from benchplan.chance import blame, chance, simulated
from benchplan.chance.order import fixed_order
from benchplan.chance.records import CLOSE, FLOW, OPEN
from benchplan.errors import BenchplanError
from benchplan.model import Break, Day, Plan
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))

from flow_days import KINDS, day_of

# -- without variation: the plan itself -----------------------------------------------------


def test_a_sample_day_without_variation_ends_with_its_plan() -> None:
    for day, plan in sample_days():
        found = chance(day, plan, days=2, cv=EXACT)
        assert found.half_s == found.nineteen_s == plan.finish_s
        assert found.on_time == float(plan.finish_s <= (day.finish_by_s or 0))
        assert (found.late_step, found.late_tray, found.late_share) == ("", None, 0.0)


def planned_days(day: Day) -> Iterator[tuple[Day, Plan]]:
    """Yield a random day and a longer one like it, with their plans."""
    longer = tuple(replace(each, tins=each.tins * 3, filled=each.filled * 3) for each in day.orders)
    for each in (day, replace(day, orders=longer, queue=())):
        try:
            plan = plan_day(each, Iterations(3))
        except BenchplanError:
            continue
        if isinstance(plan, Plan):
            yield resolved(each), plan


@settings(max_examples=80)
@given(days())
def test_a_day_without_variation_never_ends_after_its_plan(day: Day) -> None:
    for each, plan in planned_days(day):
        done = next(simulated(each, plan, cv=EXACT))
        assert plan.bound_s <= done.finish_s <= plan.finish_s
        assert list(faults(each, plan, done)) == []


@settings(max_examples=80)
@given(days(), st.sampled_from([0.1, 0.3, 1.0]))
def test_a_simulated_day_obeys_the_rules(day: Day, varies: float) -> None:
    for each, plan in planned_days(day):
        for done in islice(simulated(each, plan, 1, dict.fromkeys(STEPS, varies)), 4):
            assert list(faults(each, plan, done)) == []
            assert done.finish_s >= 0
            blame(done)


@pytest.mark.parametrize("kind", KINDS)
def test_a_simulated_realistic_day_obeys_the_rules(kind: str) -> None:
    for trays, seed in ((4, 0), (8, 3), (13, 2)):
        day = resolved(day_of(kind, seed, trays))
        plan = plan_day(day, Iterations(10))
        assert isinstance(plan, Plan)
        assert plan.bound_s <= next(simulated(day, plan, cv=EXACT)).finish_s <= plan.finish_s
        for varies in (0.3, 1.0):
            for done in islice(simulated(day, plan, 1, dict.fromkeys(STEPS, varies)), 12):
                assert list(faults(day, plan, done)) == []


# -- days by hand ---------------------------------------------------------------------------

TWO = small.day(orders=small.order(8))  # as small.BASE, two trays of four on one stand place


def test_what_is_late_is_carried_to_the_end() -> None:
    """Loading tray 2 takes 75 s, not 15 s: from 1200 to 1275, out 1695 to 1710, moved 1830 to
    1854, packed 3654 to 3722: a minute after the plan, 3662."""
    done = carried_out(TWO, load_2=75)
    at = steps_of(TWO, done)
    assert (at[2, "load"], at[2, "unload"]) == ((1200, 1275), (1695, 1710))
    assert done.finish_s == 3722
    blamed = blame(done)
    assert blamed is not None
    assert (blamed.step, blamed.tray) == ("load", 2)


def test_what_has_time_is_made_up() -> None:
    """Tray 2 is filled and set by 184, and is not loaded before 1200: 400 s more do no harm."""
    assert carried_out(TWO, fill_2=480).finish_s == 3662


def test_quick_hands_end_the_day_earlier() -> None:
    """The oven is back at heat at 1200; moving and packing tray 2 take half their time."""
    assert carried_out(TWO, transfer_2=12, pack_2=34).finish_s == 3662 - 12 - 34


def test_a_load_waits_for_a_place_to_land() -> None:
    """Baked for 30 s, tray 1 is out at 720 and leaves the only place at 864. The oven is back at
    heat at 810 and tray 2 long set, but it would be out at 855: it goes in at 819."""
    day = small.day(TWO, bake_for_s=30)
    done = carried_out(day, fill_2=40, set_2=6)
    at = steps_of(day, done)
    assert at[1, "unload"] == (705, 720)
    assert at[1, "transfer"] == (840, 864)
    assert at[2, "load"] == (819, 834)
    assert at[2, "unload"] == (864, 879)


LONG_FILL = small.day(TWO, fill_s=100)


def test_work_is_put_down_between_tins_for_a_load() -> None:
    """Tray 2 is filled from 412; at 150 s a tin the second one ends at 712, and then tray 1 goes
    in, 52 s late: so is all that follows."""
    done = carried_out(LONG_FILL, fill_2=600)
    at = steps_of(LONG_FILL, done)
    assert at[1, "load"] == (712, 727)
    assert at[2, "fill"] == (412, 1027)
    assert done.finish_s == 3662 + 52


def test_the_ovens_exit_is_never_kept_waiting_by_a_tin() -> None:
    """At 220 s a tin: two tins until 852, load until 867, one tin until 1087. The next would end
    at 1307 and the bake ends at 1287: out until 1302, then the tin until 1522, set until 1534, load
    until 1549, out 1969 to 1984, moved 2104 to 2128, packed 3928 to 3996."""
    done = carried_out(LONG_FILL, fill_2=880)
    at = steps_of(LONG_FILL, done)
    assert at[1, "unload"] == (1287, 1302)
    assert at[2, "fill"] == (412, 1522)
    assert at[2, "load"] == (1534, 1549)
    assert done.finish_s == 3996


def test_begun_work_goes_on_while_the_next_is_not_there_yet() -> None:
    """At 50 s a tin tray 2 is full at 612: it is not put down for the load, which is at 660, and
    is set before it too."""
    at = steps_of(LONG_FILL, carried_out(LONG_FILL, fill_2=200))
    assert at[2, "fill"] == (412, 612)
    assert at[2, "set"] == (612, 624)


def test_begun_work_goes_on_before_what_the_plan_puts_it_down_for() -> None:
    """By the plan one tin of tray 3 is filled from 897, the rest when tray 1 is moved, at 1254."""
    day = small.day(TWO, orders=small.order(12), count=3, fill_s=105)
    at = steps_of(day, carried_out(day, fill_3=160))
    assert at[3, "fill"] == (897, 897 + 160)


SCENTS = small.day(orders=small.order(4, 4, 4, scents="ABC"), change_scent_s=400, count=3)


def test_an_exit_that_hands_are_late_for_is_late() -> None:
    """The second change of scent, from 675, fits before the exit at 1095 by the plan. It takes 600
    s, so tray 1 is out from 1275 to 1290, and tray 3 filled by 1370 and set by 1382: only then, 2 s
    after the oven, tray 2 goes in. From there on all is 182 s late."""
    done = carried_out(SCENTS, change_scent_3=600)
    at = steps_of(SCENTS, done)
    assert at[1, "unload"] == (1275, 1290)
    assert at[1, "transfer"] == (1410, 1434)
    assert at[2, "load"] == (1382, 1397)
    assert done.finish_s == 4202 + 182
    blamed = blame(done)
    assert blamed is not None
    assert (blamed.step, blamed.tray) == ("change_scent", 3)


def test_work_in_one_piece_that_does_not_fit_before_an_exit_comes_after_it() -> None:
    """The second change is from 675 to 975; at 28 s a tin tray 3 is full at 1087. Setting it takes
    12 s and the bake ends at 1095: tray 1 goes first, from 1095 to 1110."""
    day = small.day(SCENTS, change_scent_s=300)
    done = carried_out(day, fill_3=112)
    at = steps_of(day, done)
    assert at[3, "fill"] == (975, 1087)
    assert at[1, "unload"] == (1095, 1110)
    assert at[3, "set"] == (1110, 1122)
    assert steps_of(day, carried_out(day, fill_3=108))[3, "set"] == (1083, 1095)


def test_before_an_exit_that_is_settled_only_what_fits_is_begun() -> None:
    """Tray 3 is full at 1077 and by the plan set after the exit. In 12 s it would be set before
    1095 as well; in 20 s it would not."""
    day = small.day(SCENTS, change_scent_s=330)
    assert steps_of(day, carried_out(day, fill_3=72))[3, "set"] == (1077, 1089)
    assert steps_of(day, carried_out(day, fill_3=72, set_3=20))[3, "set"] == (1110, 1130)


def test_a_tin_that_would_run_into_an_exit_is_not_begun() -> None:
    """From 1075 there are 20 s until the exit; a tin takes 30 s."""
    assert steps_of(SCENTS, carried_out(SCENTS, fill_3=120))[3, "fill"] == (1075, 1110 + 120)


def test_hands_are_ready_before_an_exit() -> None:
    """Ready 60 s before 1095, from 1035: what does not fit before it comes after 1110. By the plan
    that is one tin of tray 3, or none."""
    day = small.day(SCENTS, change_scent_s=300, ready_s=60)
    assert steps_of(day, carried_out(day, fill_3=100))[3, "fill"] == (975, 1110 + 50)
    day = small.day(SCENTS, change_scent_s=280, ready_s=60)
    assert steps_of(day, carried_out(day, fill_3=100))[3, "fill"] == (955, 1110 + 25)


def test_an_exit_waits_for_its_place() -> None:
    """Tray 2 goes in at 819, to be out at 864, by somebody else. Tray 1 is moved until 1040."""
    day = small.day(TWO, people=2, bake_for_s=30)
    plan = small.planned(day)
    steps = tuple(
        replace(step, person=2) if (step.tray, step.step) == (2, "unload") else step
        for step in plan.steps
    )
    done = carried_out(day, replace(plan, steps=steps), transfer_1=200)
    assert steps_of(day, done)[2, "unload"] == (1040, 1055)


OVENS = {name: replace(small.OVEN, name=name, preheat_s=0) for name in ("countertop", "deep")}


def test_a_load_in_another_oven_waits_for_a_place_that_is_still_to_be_taken() -> None:
    """Both hot at once. Tray 1 is out of the one at 542 and off its place at 686: tray 2, set at
    184, goes into the other at 686 − 435."""
    day = small.day(TWO, ovens=OVENS)
    at = steps_of(day, carried_out(day, fill_2=40))
    assert at[1, "unload"] == (527, 542)
    assert (at[2, "load"], at[2, "unload"]) == ((251, 266), (686, 701))


def test_an_exit_comes_before_a_load_in_another_oven() -> None:
    """Tray 2 is set at 515; loading takes 15 s, and tray 1 has to come out at 527."""
    day = small.day(TWO, ovens=OVENS, stand=2)
    at = steps_of(day, carried_out(day, set_2=328, unload_1=25))
    assert at[2, "set"] == (187, 515)
    assert at[1, "unload"] == (527, 552)
    assert at[2, "load"] == (552, 567)


TEA = small.day(TWO, breaks=(Break(1650, 600),))  # tray 2 is out just as the break begins


@pytest.mark.parametrize(
    ("unload_1", "load_2", "finish"),
    [
        (15, 1200, 4142),  # by the plan: moved after the break, 2250 to 2274
        (35, 1220, 4142),  # out until 1670: the break waits for it
        (315, 1500, 4142),  # out until 1950, as late as a break waits
        (415, 2910, 5372),  # the oven preheats again after the break, from 2250
    ],
)
def test_a_break_waits_a_little_for_a_late_bake(unload_1: float, load_2: int, finish: int) -> None:
    done = carried_out(TEA, unload_1=unload_1)
    at = steps_of(TEA, done)
    assert at[2, "load"] == (load_2, load_2 + 15)
    assert at[2, "unload"][0] == load_2 + 15 + 420
    assert done.finish_s == finish


def test_the_oven_comes_before_a_break_even_where_other_work_is_late() -> None:
    """Moving tray 1 takes 150 s a tin from 1235. Two are moved by 1535; tray 2 is out from 1655 to
    1670, then comes the break until 2250, then the other two."""
    day = small.day(TEA, stand=2)
    at = steps_of(day, carried_out(day, load_2=35, transfer_1=600))
    assert at[2, "unload"] == (1655, 1670)
    assert at[1, "transfer"] == (1235, 2550)


def test_between_which_starts_breaks_leave_no_way() -> None:
    """Loading 15 s, bake 420 s, unloading 15 s, hands ready 60 s before: out 450 s after the start.
    The one who loads and unloads is away from 900 to 1200. An exit at 825 + 435 = 1260 has its 60 s
    after the break; one that the plan has before a break may put it off by half of it, 150 s."""
    day = resolved(small.day(TWO, people=2, ready_s=60, breaks=(Break(900, 300, 1),)))
    plan = small.planned(day)

    def closed(begin: int) -> list[tuple[tuple[int, int], ...]]:
        other = [
            replace(each, person=1, parts=((begin, begin + 300),)) if each.what == "break" else each
            for each in plan.other
        ]
        return [bake.closed for bake in fixed_order(day, replace(plan, other=tuple(other))).bakes]

    assert closed(900) == [((450, 825), (885, 1200))] * 2
    assert closed(1110) == [((810, 1035), (1095, 1410)), ((660, 1035), (1095, 1410))]


def test_a_break_is_not_begun_later_for_a_bake_that_was_planned_after_it() -> None:
    day = small.day(TWO, breaks=(Break(1640, 600),))
    assert carried_out(day).finish_s == small.planned(day).finish_s > 5000


def test_work_in_a_break_goes_on_after_it() -> None:
    """Of four tins of 40 s from 3594 two are packed before 3700. A step in one piece goes on where
    it was: tray 2, set from 172, has 228 s before the break at 400 and 72 s after it."""
    day = small.day(TWO, breaks=(Break(3700, 600),))
    assert carried_out(day).finish_s == 3662
    assert carried_out(day, pack_2=160).finish_s == 4300 + 2 * 40
    early = small.day(TWO, breaks=(Break(400, 100),))
    assert steps_of(early, carried_out(early, set_2=300))[2, "set"] == (172, 572)


def test_each_scent_of_a_mixed_tray_is_work_of_its_own() -> None:
    day = small.day(orders=small.order(2, 2, scents="AB"), mix_scents=True)
    order = fixed_order(resolved(day), small.planned(day))
    fills = [node for node in order.nodes if node.kind in (FLOW, OPEN, CLOSE) and node.whole == 4]
    assert [(node.kind, node.tins) for node in fills][:2] == [(FLOW, 2), (FLOW, 2)]
    done = carried_out(day, change_scent_1=300)
    assert steps_of(day, done)[1, "set"] == (380, 392)


def test_no_wait_is_longer_than_in_the_plan() -> None:
    """What really happened may have been quicker than the rules ask for."""
    plan = small.planned(TWO)
    strict = small.day(TWO, rest_for_s=300, cool_for_s=2400, recover_s=200, pan_for_s=60)
    assert next(simulated(strict, plan, cv=EXACT)).finish_s == plan.finish_s
