"""Lower bounds by hand: each closes a day whose best finish is plain to see.

The times are those of ``small_day``: a tin takes 20 s to fill, 3 to set, 6 to transfer and 17 to
pack; load and unload 15, preheat 660, bake 420, recover 90, rest 120, cool 1980.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from shops import shop, small_day

from benchplan.model import Break, Cooling, Day, Order, Oven, Pan, QueuedTray, Recipe, Tin
from benchplan.model.stop import Iterations
from benchplan.scheduling import Job, Schedule, Shop, any_trays, given, scheduled
from benchplan.scheduling.bounds import named
from benchplan.scheduling.bounds.hours import Hours

OUT = 660 + 15 + 420 + 15  # the first tray is on the stand; its 8 tins are filled and set by then
MOVED = OUT + 120 + 8 * 6
AFTER = 1980 + 8 * 17  # cool and pack


def trays(*sizes: int, recipe: str = "standard", filled: bool = False) -> tuple[Job, ...]:
    """Return trays of one scent on small pans."""
    return tuple(
        Job(("Fennel",) * size, () if filled else (("Fennel", size),), recipe, "small")
        for size in sizes
    )


def day_for(jobs: tuple[Job, ...], **changes: object) -> Day:
    """Return a day with plenty of everything on which there are just these trays."""
    wide = {
        "queue": tuple(QueuedTray(job.scents, job.recipe, job.pan) for job in jobs),
        "orders": tuple(Order("Fennel", job.recipe, job.tins) for job in jobs),
        "pans": {"small": Pan("small", (282, 206), (297, 221), count=len(jobs))},
        "cooling": Cooling(stand=len(jobs), mat_tins=400),
    }
    return small_day(**(wide | changes))


def finish(shop: Shop) -> int:
    """Return the finish of a plan: no bound may be later."""
    found = scheduled(shop, Iterations(400), 0)
    assert isinstance(found, Schedule)
    return found.finish_s


def test_one_oven_bakes_one_load_after_another() -> None:
    jobs = trays(8, 8, 8)
    day = shop(day_for(jobs), on_mat=400)
    assert given(day, jobs) == MOVED + 2 * (15 + 420 + 15 + 90) + AFTER == finish(day)


@pytest.mark.parametrize("people", [1, 2])
def test_one_pan_goes_round(people: int) -> None:
    jobs = trays(8, 8, 8)
    pan = {"small": Pan("small", (282, 206), (297, 221), count=1)}
    day = shop(day_for(jobs, pans=pan, people=people), on_mat=400)
    round_trip = 8 * 3 + 15 + 420 + 15 + 120 + 8 * 6
    assert given(day, jobs) == MOVED + 2 * round_trip + AFTER == finish(day)


def test_a_pan_that_cools_goes_round_more_slowly() -> None:
    jobs = trays(8, 8)
    pan = {"small": Pan("small", (282, 206), (297, 221), count=1)}
    cooling = Cooling(stand=2, mat_tins=400, pan_for_s=300)
    day = shop(day_for(jobs, pans=pan, cooling=cooling), on_mat=400)
    round_trip = 300 + 8 * 3 + 15 + 420 + 15 + 120 + 8 * 6
    assert given(day, jobs) == MOVED + round_trip + AFTER == finish(day)


def test_one_stand_place_for_trays_that_rest_for_long() -> None:
    jobs = trays(8, 8)
    recipe = Recipe("standard", "low 72", 31, 158, 420, rest_for_s=900, cool_for_s=1980)
    day = shop(day_for(jobs, recipes={"standard": recipe}, cooling=Cooling(mat_tins=400)))
    each = 15 + 900 + 8 * 6  # unloaded, rested, moved: then the next is unloaded
    assert given(day, jobs) == OUT - 15 + 2 * each + AFTER == finish(day)


def test_no_two_trays_fit_the_mat() -> None:
    jobs = trays(8, 8, 8)
    day = shop(day_for(jobs, cooling=Cooling(stand=3, mat_tins=12)), on_mat=12)
    assert given(day, jobs) == OUT + 120 + 3 * (8 * 6 + AFTER) == finish(day)


def test_of_five_trays_two_at_a_time_three_take_turns() -> None:
    jobs = trays(8, 8, 8, 8, 8)
    day = shop(day_for(jobs, cooling=Cooling(stand=3, mat_tins=23)), on_mat=23)
    assert given(day, jobs) == OUT + 120 + 3 * (8 * 6 + AFTER) == finish(day)


def test_trays_of_three_sizes_share_the_mat_in_no_fewer_turns() -> None:
    # 7 and 3, 6 and 4: two turns of a full mat of 10. The sizes 7, 6, 5 and 2 need three.
    held = [size * 6 + 1980 + size * 17 for size in (2, 5)]
    two, three = trays(7, 3, 6, 4), trays(7, 6, 5, 2)
    days = [
        shop(day_for(jobs, cooling=Cooling(stand=4, mat_tins=10)), on_mat=10)
        for jobs in (two, three)
    ]
    assert given(days[0], two) < OUT + 120 + 3 * held[0] <= given(days[1], three)


def test_an_oven_that_changes_its_heat() -> None:
    hot = Recipe("hot", "low 72", 31, 173, 420, cool_for_s=1980)
    jobs = (*trays(8, 8), *trays(8, 8, recipe="hot"))
    day = day_for(jobs, recipes={**day_for(jobs).recipes, "hot": hot})
    assert (
        given(shop(day, on_mat=400), jobs)
        == (MOVED + 3 * (15 + 420 + 15 + 90) + 6 * 15 + AFTER)
        == finish(shop(day, on_mat=400))
    )


def test_two_ovens_of_which_one_is_hot_later() -> None:
    jobs = trays(8, 8)
    ovens = {
        "small": Oven("small", (362, 292), preheat_s=660),
        "large": Oven("large", (362, 292), preheat_s=1000),
    }
    day = shop(day_for(jobs, ovens=ovens, people=2), on_mat=400)
    assert given(day, jobs) == MOVED + 340 + AFTER == finish(day)


def test_one_oven_must_bake_what_the_other_does_not_take() -> None:
    tall = Recipe("tall", "candle", 31, 158, 420, cool_for_s=1980)
    jobs = (*trays(8, 8), *trays(8, 8, 8, recipe="tall"))
    day = day_for(jobs, people=3)
    day = replace(
        day,
        recipes={**day.recipes, "tall": tall},
        tins={**day.tins, "candle": Tin("candle", 66, 45)},
        ovens={
            "low": Oven("low", (362, 292), headroom_mm=30),
            "high": Oven("high", (362, 292)),
        },
    )
    ends = MOVED + 2 * (15 + 420 + 15 + 90) + AFTER
    assert given(shop(day, on_mat=400), jobs) == ends == finish(shop(day, on_mat=400))
    # With any trays: two loads of 12 tall tins, of which one tin comes last.
    wide = shop(day, on_pan=12, on_mat=400)
    assert any_trays(wide) == 660 + 2 * (15 + 420 + 15) + 90 + 120 + 6 + 1980 + 17


def test_loads_that_do_not_fit_before_a_break_wait_for_its_end() -> None:
    jobs = trays(8, 8, 8)
    lunch = Break(660 + 2 * (15 + 420 + 15) + 90 + 200, 900)
    day = shop(day_for(jobs, breaks=(lunch,), people=2), on_mat=400)
    third = lunch.end_s + 660 + (15 + 420 + 15) + 120 + 8 * 6
    assert given(day, jobs) == third + AFTER == finish(day)


def test_an_oven_comes_to_another_heat_while_everyone_is_away() -> None:
    hot = Recipe("hot", "low 72", 31, 173, 420, cool_for_s=1980)
    jobs = (*trays(8), *trays(8, recipe="hot"))
    day = day_for(jobs, breaks=(Break(1200, 900),), people=2)
    day = shop(replace(day, recipes={**day.recipes, "hot": hot}), on_mat=400)
    second = 1200 + 900 + 660 + (15 + 420 + 15) + 120 + 8 * 6
    assert given(day, jobs) == second + AFTER == finish(day)


def test_a_load_of_two_is_moved_and_packed_one_after_the_other_by_one_person() -> None:
    jobs = trays(8, 8)
    day = shop(day_for(jobs), on_shelf=2, on_mat=400)
    out = 660 + 2 * 15 + 420 + 15
    last = out + 120 + 2 * 8 * 6 + 1980
    # The first pack is over in good time; the second tray cools until it can be packed.
    assert given(day, jobs) == max(last, last - 8 * 6 + 8 * 17) + 8 * 17 == finish(day)


def test_a_load_of_two_whose_second_tray_waits_just_as_long_as_it_may() -> None:
    jobs = trays(8, 8)
    recipe = Recipe("standard", "low 72", 31, 158, 420, bake_late_s=15, cool_for_s=1980)
    day = shop(day_for(jobs, recipes={"standard": recipe}, people=2), on_shelf=2, on_mat=400)
    assert given(day, jobs) == 660 + 2 * 15 + 420 + 2 * 15 + 120 + 48 + AFTER == finish(day)


def test_one_person_moves_a_tray_within_the_transfer_of_another() -> None:
    # Eight tins of one tray are moved for 240 s from 600 s after it is out. After 60 s the one tin
    # of the other has rested; it is moved at once, and both trays are packed at the last moment.
    slow = Recipe("slow", "low 72", 31, 158, 420, 60, 600, 2684)
    quick = Recipe("quick", "low 72", 31, 158, 421, 60, 119, 3000)
    jobs = (*trays(8, recipe="slow"), *trays(1, recipe="quick"))
    day = day_for(jobs, recipes={"slow": slow, "quick": quick})
    day = shop(replace(day, times=replace(day.times, transfer_s=30)), on_mat=400)
    ends = OUT + 600 + 60 + 30 + 3000 + 17
    assert ends - 17 == OUT + 600 + 240 + 30 + 2684 + 8 * 17
    assert given(day, jobs) == ends == finish(day)


def test_a_load_waits_for_a_pack_that_others_wait_for() -> None:
    # The third load could begin within the first pack, but the mat waits for that, the oven not.
    jobs = trays(8, 8, 8)
    recipe = Recipe("standard", "low 72", 31, 158, 420, cool_for_s=820)
    oven = Oven("countertop", (362, 292), recover_s=300)
    day = shop(
        day_for(
            jobs,
            recipes={"standard": recipe},
            ovens={"countertop": oven},
            cooling=Cooling(stand=3, mat_tins=12),
        ),
        on_mat=12,
    )
    hold = 8 * 6 + 820 + 8 * 17
    third_load = 660 + 2 * (15 + 420 + 15 + 300)
    assert MOVED + 820 < third_load < MOVED + 820 + 8 * 17
    assert given(day, jobs) == OUT + 120 + 3 * hold == finish(day)


def test_an_oven_preheats_again_after_everyone_was_away() -> None:
    jobs = trays(8)
    day = shop(day_for(jobs, breaks=(Break(700, 600),)), on_mat=400)
    assert given(day, jobs) == 1300 + MOVED + AFTER == finish(day)


def test_everyone_is_away_when_the_first_tray_has_cooled() -> None:
    jobs = trays(8)
    ends = MOVED + 1980
    day = shop(day_for(jobs, breaks=(Break(ends - 100, 600),)), on_mat=400)
    assert given(day, jobs) == ends + 500 + 8 * 17 == finish(day)


def test_a_tin_is_not_packed_half_before_a_break() -> None:
    jobs = trays(8)
    ends = MOVED + 1980
    day = shop(day_for(jobs, breaks=(Break(ends + 40, 600),)), on_mat=400)
    assert given(day, jobs) == ends + 640 + 6 * 17 == finish(day)


def test_tins_that_stay_on_their_pan_hold_it_until_they_are_packed() -> None:
    jobs = trays(8, 8)
    pan = {"small": Pan("small", (282, 206), (297, 221), count=1)}
    day = shop(day_for(jobs, pans=pan, cooling=Cooling("pan", stand=2)))
    first = OUT + 1980 + 8 * 17
    assert given(day, jobs) == first + 8 * 3 + 15 + 420 + 15 + 1980 + 8 * 17 == finish(day)


def test_ready_hands_interrupt_a_pack() -> None:
    # Both pans are out of the oven when the first tin can be packed; the stand has two places.
    jobs = trays(8, 8, 8)
    day = day_for(jobs, cooling=Cooling("pan", stand=2), pans={
        "small": Pan("small", (282, 206), (297, 221), count=2)
    })  # fmt: skip
    day = shop(replace(day, times=replace(day.times, ready_s=60)))
    assert given(day, jobs) == finish(day)


def test_hand_work_is_shared_at_best() -> None:
    # R. McNaughton, Scheduling with deadlines and loss functions, Management Science 6 (1959); from
    # memory. Jobs that may be interrupted take max(longest, sum / people). Here the jobs are packs.
    jobs = trays(4, 4, 4)
    nothing = dict.fromkeys(("fill_s", "set_s", "load_s", "unload_s", "transfer_s"), 0)
    recipe = Recipe("standard", "low 72", 31, 158, 0, rest_for_s=0, cool_for_s=0)
    oven = Oven("oven", (362, 292), preheat_s=0, recover_s=0)
    day = day_for(jobs, people=2, recipes={"standard": recipe}, ovens={"oven": oven})
    day = replace(day, times=replace(day.times, pack_s=10, **nothing))
    works = [4 * 10] * 3
    at_least = max(max(works), sum(works) // 2)
    assert at_least <= given(shop(day), jobs) <= finish(shop(day)) == 80


def test_bakes_of_different_length_are_no_shorter_than_if_they_shared_loads() -> None:
    # Brucker et al., Scheduling a batching machine (1998): longest first, three at a time, is best
    # where unlike bakes may share a load: 25 22 15 | 12 9 8 | 7 takes 44. Ours may not.
    bakes = (8, 25, 15, 22, 9, 12, 7)
    recipes = {
        str(bake): Recipe(str(bake), "low 72", 31, 158, bake, rest_for_s=0, cool_for_s=0)
        for bake in bakes
    }
    jobs = tuple(trays(1, recipe=str(bake), filled=True)[0] for bake in bakes)
    oven = Oven("oven", (362, 292), shelves=3, preheat_s=0, recover_s=0)
    day = day_for(jobs, recipes=recipes, ovens={"oven": oven})
    none = dict.fromkeys(("fill_s", "set_s", "load_s", "unload_s", "transfer_s", "pack_s"), 0)
    day = shop(replace(day, times=replace(day.times, **none)))
    assert 44 <= given(day, jobs) == sum(bakes)


@pytest.mark.parametrize(("people", "second"), [(1, 300), (2, 150), (3, 100)])
def test_all_people_together_do_work_no_faster(people: int, second: int) -> None:
    assert Hours(shop(small_day(people=people))).staffed(300) == second


def test_who_is_away_does_no_work() -> None:
    day = small_day(people=2, breaks=(Break(100, 50, 1), Break(200, 1000)))
    assert Hours(shop(day)).staffed(2 * 100 + 50 + 2 * 50) == 200
    assert Hours(shop(day)).staffed(2 * 100 + 50 + 2 * 50 + 1) == 1201


def test_what_is_enough_ends_the_search() -> None:
    jobs = trays(7, 6, 5, 4, 3)
    day = shop(day_for(jobs, cooling=Cooling(stand=2, mat_tins=11)), on_mat=11)
    all_of_it = given(day, jobs)
    for until in (0, all_of_it - 1000, all_of_it, all_of_it + 1000):
        assert min(until, all_of_it) <= given(day, jobs, until=until) <= all_of_it


def test_more_looks_prove_no_less() -> None:
    jobs = trays(7, 6, 6, 5, 4, 3, 3, 2)
    day = shop(day_for(jobs, cooling=Cooling(stand=2, mat_tins=11)), on_mat=11)
    found = [given(day, jobs, looks=looks) for looks in (1, 10, 100, 1000)]
    assert found == sorted(found)
    assert found[0] < found[-1]


def test_the_bounds_have_names() -> None:
    jobs = trays(8, 8)
    day = shop(small_day())
    found = named(day, jobs)
    assert max(found.values()) == given(day, jobs)
    assert found["any trays"] == any_trays(day)
