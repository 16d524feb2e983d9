"""The builder and the search, on days small enough to work out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shops import shop, small_day

from benchplan.model import Break, Cannot, Cooling, Order, QueuedTray, Scent
from benchplan.model.stop import Iterations
from benchplan.scheduling import Job, Schedule, any_trays, given, scheduled


def planned(day: object, **capacity: int) -> Schedule:
    found = scheduled(shop(day, **capacity), Iterations(200), 0)  # type: ignore[arg-type]
    assert isinstance(found, Schedule)
    return found


def test_one_tray_takes_the_sum_of_its_steps() -> None:
    day = small_day(orders=(Order("Sea fennel", "standard", 8),))
    found = planned(day)
    # The oven is hot at 660 s, long after filling (160) and setting (24): 660 + load 15 + bake 420
    # + unload 15 + rest 120 + transfer 48 + cool 1980 + pack 136.
    assert found.finish_s == 660 + 15 + 420 + 15 + 120 + 48 + 1980 + 136
    assert given(shop(day), tuple(Job.of(tray) for tray in found.trays)) == found.finish_s


def test_second_tray_follows_after_recovery() -> None:
    found = planned(small_day())
    # The second load begins 90 s after the first unload's end (1110 s), at 1200 s.
    assert [step.start_s for step in found.steps if step.step == "load"] == [660, 1200]
    assert found.finish_s == 1200 + 15 + 420 + 15 + 120 + 48 + 1980 + 136


def test_tray_numbers_follow_the_first_load_and_cover_the_order() -> None:
    found = planned(small_day(orders=(Order("Sea fennel", "standard", 20),)))
    starts = [step.start_s for step in found.steps if step.step == "load"]
    assert starts == sorted(starts)
    assert sum(tray.tins for tray in found.trays) == 20
    assert [tray.number for tray in found.trays] == [1, 2, 3]


def test_same_input_seed_and_stop_give_the_same_plan() -> None:
    day = small_day(orders=(Order("Sea fennel", "standard", 50), Order("Pine", "standard", 30)))
    first = scheduled(shop(day, on_mat=20), Iterations(150), 7)
    assert scheduled(shop(day, on_mat=20), Iterations(150), 7) == first


def test_more_search_is_never_worse() -> None:
    day = small_day(orders=(Order("Sea fennel", "standard", 50), Order("Pine", "standard", 30)))
    finishes = []
    for steps in (1, 20, 200):
        found = scheduled(shop(day, on_mat=20), Iterations(steps), 0)
        assert isinstance(found, Schedule)
        finishes.append(found.finish_s)
    assert finishes == sorted(finishes, reverse=True)


def test_light_scents_are_filled_first_where_it_costs_nothing() -> None:
    day = small_day(
        orders=(Order("Smoke", "standard", 8), Order("Linen", "standard", 8)),
        scents={"Smoke": Scent("Smoke", strength=5), "Linen": Scent("Linen", strength=1)},
    )
    found = planned(day)
    first = min((step for step in found.steps if step.step == "fill"), key=lambda s: s.start_s)
    assert {tray.number: tray for tray in found.trays}[first.tray].scents[0] == "Linen"


def test_filled_tins_need_no_person_and_no_scale() -> None:
    found = planned(small_day(orders=(Order("Sea fennel", "standard", 8, filled=8),)))
    fill = next(step for step in found.steps if step.step == "fill")
    assert (fill.parts, fill.person, fill.place) == (((0, 0),), None, None)


def test_queue_is_taken_as_given_and_the_rest_is_added() -> None:
    day = small_day(queue=(QueuedTray(("Sea fennel",) * 5, "standard", "small"),), keep_order=True)
    found = planned(day)
    assert [tray.tins for tray in found.trays] == [5, 8, 3]


def test_tins_on_their_pan_keep_pan_and_stand_until_packed() -> None:
    day = small_day(cooling=Cooling(where="pan", stand=1))
    found = planned(day)
    assert {step.step for step in found.steps}.isdisjoint({"rest", "transfer"})
    packs = [step.end_s for step in found.steps if step.step == "pack"]
    unloads = [step.start_s for step in found.steps if step.step == "unload"]
    assert max(unloads) >= min(packs)


@pytest.mark.parametrize(
    ("capacity", "words"),
    [
        ({"on_pan": 0}, "Not one low 72 tin (72 mm across) stands on a pan"),
        ({"on_shelf": 0}, "The shelf of countertop takes no small pan"),
        ({"on_mat": 0}, "Not one low 72 tin stands on the mat"),
    ],
)
def test_a_day_that_cannot_be_done_says_why(capacity: dict[str, int], words: str) -> None:
    found = scheduled(shop(small_day(), **capacity), Iterations(5), 0)
    assert isinstance(found, Cannot)
    assert words in found.reasons[0]
    assert "would" in found.reasons[0]


def test_too_tall_a_tin_is_named_with_the_headroom() -> None:
    day = small_day()
    tall = replace(day, tins={"low 72": replace(day.tins["low 72"], height_mm=95)})
    found = scheduled(shop(tall), Iterations(5), 0)
    assert isinstance(found, Cannot)
    assert "95 mm tall and countertop has 80 mm of headroom" in found.reasons[0]


def test_breaks_that_leave_no_room_for_a_bake_are_the_reason() -> None:
    day = small_day(breaks=tuple(Break(at, 1200) for at in range(600, 26 * 3600, 1800)))
    found = scheduled(shop(day), Iterations(5), 0)
    assert isinstance(found, Cannot)
    assert "leave no room for one bake of standard" in found.reasons[0]


def test_ready_longer_than_the_bake_needs_a_second_person() -> None:
    day = small_day()
    day = replace(day, times=replace(day.times, ready_s=600))
    alone = scheduled(shop(day), Iterations(5), 0)
    assert isinstance(alone, Cannot)
    assert "one more person" in alone.reasons[0]
    assert isinstance(scheduled(shop(replace(day, people=2)), Iterations(5), 0), Schedule)


def test_bounds_are_in_order() -> None:
    day = small_day(orders=(Order("Sea fennel", "standard", 50),))
    found = planned(day, on_mat=12)
    mine = given(shop(day, on_mat=12), tuple(Job.of(tray) for tray in found.trays))
    assert any_trays(shop(day, on_mat=12)) <= mine <= found.finish_s
