"""Rules of a tray's steps: each pair of days differs in one rule, the finish computed by hand.

The small day's one tray ends at 3122 s (see ``small``). Two trays share one oven: the second is
loaded 90 s after the first is out, 1200 to 1215, out 1635 to 1650, moved 1770 to 1794 and packed
3594 to 3662.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import BASE, OVEN, PAN, RECIPE, day, finish, order, other, planned, step, steps

from benchplan.model import Break, Order, QueuedTray

ONE, TWO = 3122, 3662
APART = {"orders": order(4, 4), "stand": 2}


def test_the_small_day_as_computed_by_hand() -> None:
    assert finish() == ONE
    assert finish(orders=order(8)) == TWO


@pytest.mark.parametrize(
    ("changes", "ends"),
    [
        # 4 tins at 200 s are filled by 800 and set by 812, 152 s after the oven could be hot.
        ({"fill_s": 200}, ONE + 152),
        # ... unless they are filled already, or all but one, which is filled by 200.
        ({"fill_s": 200, "orders": (Order("A", "standard", 4, filled=4),)}, ONE),
        ({"fill_s": 200, "orders": (Order("A", "standard", 4, filled=3),)}, ONE),
        ({"fill_s": 0}, ONE),
        # 4 tins at 150 s are set by 80 + 600, 20 s after the oven could be hot.
        ({"set_s": 150}, ONE + 20),
        ({"load_s": 45}, ONE + 30),
        ({"bake_for_s": 300}, ONE - 120),
        ({"unload_s": 25}, ONE + 10),
        ({"rest_for_s": 180}, ONE + 60),
        ({"transfer_s": 10}, ONE + 4 * 4),
        ({"cool_for_s": 1860}, ONE + 60),
        ({"pack_s": 20}, ONE + 4 * 3),
        # Lids another day: 4 tins at 3 s instead of 17 s.
        ({"pack": "later"}, ONE - 4 * 14),
        # Tins stay on their pan: no rest, no tongs; 1110 + 1800 + 68.
        ({"where": "pan", "mat_tins": None}, 2978),
        ({"preheat_s": 900}, ONE + 240),
    ],
    ids=str,
)
def test_how_long_a_step_lasts(changes, ends: int) -> None:
    assert finish(**changes) == ends


def test_steps_of_no_time_need_nobody() -> None:
    # Everyone is away from 2000 to 4000, while the tins cool until 3054.
    away = (Break(2000, 2000),)
    assert finish(breaks=away, pack_s=1) == 4004
    assert finish(breaks=away, pack_s=0) == 3054
    packed = step(planned(day(breaks=away, pack_s=0)), 1, "pack")
    assert (packed.person, packed.parts) == (None, ((3054, 3054),))


def test_a_fill_of_no_time_needs_no_scale() -> None:
    fill = step(planned(day(orders=(Order("A", "standard", 4, filled=4),))), 1, "fill")
    assert fill.person is None
    assert fill.start_s == fill.end_s


def test_a_fill_pauses_between_tins_only() -> None:
    # One person; tins of 200 s. Tray 1 is filled by 800, loaded 812 to 827 and must come out at
    # 1247: tray 2's third tin would end at 1427, so the spoon waits from 1227 to 1262 and tray 2
    # is filled by 1662. 1674 set, 1689 loaded, 2109 baked, 2124, 2244 (tongs take no time here),
    # 4044, 4112. Could the spoon be put down within a tin, it would be 20 s earlier.
    assert finish(fill_s=200, transfer_s=0, orders=order(4, 4)) == 4112


def test_one_step_is_done_by_one_person() -> None:
    # Two people do not fill one tray faster; 812 + 2462 = 3274.
    assert finish(fill_s=200) == finish(fill_s=200, people=2, scales=2) == 3274


def test_one_person_does_one_thing_and_a_scale_holds_one_tray_at_a_time() -> None:
    # Two people, one scale: tray 2 is filled from 800 to 1600; 1612, 1627, 2047, 2062, ... 4074.
    assert finish(fill_s=200, orders=order(4, 4), people=2) == 4074
    # Two scales: both are filled by 800 and only the oven makes tray 2 wait: TWO + 152.
    assert finish(fill_s=200, orders=order(4, 4), people=2, scales=2) == TWO + 152
    # Two scales and one person are no better than one scale.
    one = finish(fill_s=200, orders=order(4, 4))
    assert finish(fill_s=200, orders=order(4, 4), scales=2) == one > 4074


def test_different_people_may_do_different_steps() -> None:
    plan = planned(day(fill_s=200, orders=order(4, 4), people=2))
    assert len({each.person for each in plan.steps if each.person}) == 2


def test_hands_are_ready_before_a_bake_ends() -> None:
    # Bake 100 s, no preheat, no recovery: tray 1 is loaded 92 to 107 and comes out at 207; tray 2
    # is filled 107 to 187, set by 199, loaded 222 to 237, out 337 to 352, rests, is moved 472 to
    # 496 and packed 2296 to 2364. With 30 s of ready there is no work from 177 to 207: the last
    # tin is filled 222 to 242, the tray set by 254 and all else is 32 s later.
    quick = {"preheat_s": 0, "recover_s": 0, "bake_for_s": 100, **APART}
    assert finish(**quick) == 2364
    assert finish(**quick, ready_s=30) == 2364 + 32


def test_whoever_is_ready_is_not_on_a_break() -> None:
    # One of two people is away 1000 to 1090; the other unloads at 1095 and is free from 1065.
    plan = planned(day(people=2, ready_s=30, breaks=(Break(1000, 90, 1),)))
    (away,) = (each.person for each in plan.other if each.what == "break")
    assert plan.finish_s == ONE
    assert step(plan, 1, "unload").person not in (None, away)


def test_a_scale_is_cleaned_between_scents() -> None:
    # Two people, a change of 1200 s: the scale is clean at 1280, tray 2 filled by 1360, set 1372,
    # loaded 1387, baked 1807, out 1822, 1942, 1966, 3766, 3834.
    slow = {"people": 2, "change_scent_s": 1200}
    assert finish(orders=order(4, 4), **slow) == TWO
    assert finish(orders=order(4, 4, scents="AB"), **slow) == 3834
    assert other(planned(day(orders=order(4, 4, scents="AB"), **slow)), "change_scent") == [
        (80, 1280)
    ]
    # Every scale starts clean, and a fill of 0 s needs no change.
    assert finish(orders=order(4, 4, scents="AB"), scales=2, **slow) == TWO
    filled = (Order("A", "standard", 4), Order("B", "standard", 4, filled=4))
    assert finish(orders=filled, **slow) == TWO


def test_a_change_of_scent_has_no_pause() -> None:
    # One person, a change of 400 s, and no preheat or recovery: tray 1 is loaded 92 to 107 and
    # baked until 507; cleaning fits from 107 to 507. One second longer and it does not.
    quick = {"preheat_s": 0, "recover_s": 0, "bake_for_s": 400, "orders": order(4, 4, scents="AB")}
    assert other(planned(day(**quick, change_scent_s=400)), "change_scent") == [(107, 507)]
    # Filled 522 to 602, set 614, loaded 629, baked 1029, out 1044, 1164, 1188, 2988, 3056.
    assert finish(**quick, change_scent_s=400) == 3056


def test_a_mixed_tray_only_if_allowed() -> None:
    # Two trays of two: the second is moved 1770 to 1782 and packed 3582 to 3616. One tray of four
    # is filled 0 to 40 and, after 240 s of cleaning, 280 to 320, long before the oven is hot.
    two = order(2, 2, scents="AB")
    assert finish(orders=two) == 3616
    assert finish(orders=two, mix_scents=True) == ONE


def test_tins_of_one_scent_in_a_mixed_tray_are_filled_together() -> None:
    # A B A B is cleaned for once: 40 + 1200 + 40 filled by 1280, set 1292; 632 s after 660.
    mixed = {
        "orders": order(2, 2, scents="AB"),
        "mix_scents": True,
        "queue": (QueuedTray(tuple("ABAB"), "standard"),),
        "change_scent_s": 1200,
    }
    plan = planned(day(**mixed))
    assert plan.finish_s == ONE + 632
    assert step(plan, 1, "fill").parts == ((0, 40), (1240, 1280))
    assert plan.trays[0].scents == tuple("ABAB")


def test_a_pan_is_taken_until_it_is_empty_and_cool() -> None:
    # Two pans: TWO. One: tray 2 is set when tray 1 is on the mat, 1254 to 1266, loaded 1281,
    # baked 1701, out 1716, 1836, 1860, 3660, 3728. It cools for pan_for first.
    eight = order(8)
    assert finish(orders=eight, count=2) == TWO
    assert finish(orders=eight, count=1) == 3728
    assert finish(orders=eight, count=1, pan_for_s=240) == 3728 + 240
    assert finish(orders=eight, count=2, pan_for_s=240) == TWO


def test_each_kind_of_pan_has_its_own_count() -> None:
    big = replace(PAN, name="big", count=1)
    one = replace(PAN, count=1)
    assert finish(orders=order(8), pans={"small": one}) == 3728
    assert finish(orders=order(8), pans={"small": one, "big": big}) == TWO


def test_a_stand_place_is_taken_until_the_tins_are_moved() -> None:
    # Rest 600 s: tray 1 leaves the stand at 1734. One place: tray 2 comes out then, 1749, rests
    # until 2349, 2373, 4173, 4241. Two: out 1650, 2250, 2274, 4074, 4142.
    assert finish(orders=order(8), rest_for_s=600, stand=1) == 4241
    assert finish(orders=order(8), rest_for_s=600, stand=2) == 4142


def test_tins_that_cool_on_their_pan_hold_it_and_the_stand_place() -> None:
    # Tray 1 is packed by 2978. With two places and two pans tray 2 is out by 1650 and cool at
    # 3450, packed by 3518. One place: out from 2978, 2993, 4793, 4861. One pan: set from 2978,
    # 2990, 3005, 3425, 3440, 5240, 5308; pan_for later with pan_for.
    there = {"where": "pan", "mat_tins": None, "orders": order(8)}
    assert finish(**there, stand=2) == 3518
    assert finish(**there, stand=1) == 4861
    assert finish(**there, stand=2, count=1) == 5308
    assert finish(**there, stand=2, count=1, pan_for_s=100) == 5408
    names = {each.step for each in planned(day(**there, stand=2)).steps}
    assert not names & {"rest", "transfer"}
    assert {each.place for each in steps(planned(day(**there, stand=1)), "cool")} == {"stand 1"}


def test_the_mat_has_room_for_so_many_tins() -> None:
    # Tray 2 goes onto the mat when tray 1 is packed, at 3122: 3146, 4946, 5014.
    fours = (QueuedTray(("A",) * 4, "standard"),) * 2
    assert finish(orders=order(8), queue=fours, mat_tins=8) == TWO
    assert finish(orders=order(8), queue=fours, mat_tins=7) == 5014
    # Four and two tins on a mat for six: 1770, 1782, 3582, 3616. For five they do not go.
    queue = (QueuedTray(("A",) * 4, "standard"), QueuedTray(("A",) * 2, "standard"))
    assert finish(orders=order(6), queue=queue, mat_tins=6) == 3616
    assert finish(orders=order(6), queue=queue, mat_tins=5) == 4968


def test_kinds_of_tin_share_the_mat() -> None:
    # On 400 x 100 mm, 10 mm apart, five round tins of 72 mm go, or three of 100 mm. Three round
    # ones take 3/5 of it and one large one 1/3: it goes. Two large ones take 2/3: too much.
    large = replace(BASE.tins["low 72"], name="large", diameter_mm=100.0)
    kit = {
        "tins": {**BASE.tins, "large": large},
        "recipes": {"standard": RECIPE, "big": replace(RECIPE, name="big", tin="large")},
        "pans": {"small": replace(PAN, tins={"low 72": 4, "large": 2})},
        "mat_tins": None,
        "mat_mm": (400.0, 100.0),
    }
    # The round ones first; the large one is out at 1650, moved 1770 to 1776, packed 3576 to 3593.
    both = (Order("A", "standard", 3), Order("A", "big", 1))
    assert finish(orders=both, **kit) == 3593
    # The round ones are packed by 3099: 3111, 4911, 4945; the large ones first give the same.
    both = (Order("A", "standard", 3), Order("A", "big", 2))
    queue = (QueuedTray(("A",) * 3, "standard"), QueuedTray(("A",) * 2, "big"))
    assert finish(orders=both, queue=queue, **kit) == 4945


def test_two_ovens_bake_at_once() -> None:
    # Two places: loaded 660 and 675, out 1095 and 1110, moved 1230 to 1278, packed 3054 to 3190.
    ovens = {"countertop": OVEN, "second": replace(OVEN, name="second")}
    assert finish(**APART) == TWO
    assert finish(**APART, ovens=ovens) == 3190
