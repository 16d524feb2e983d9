"""What may be done now, and what to check before it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from live_days import CEDAR, FENNEL, ON, Bench, make_day, make_plan, one, paused_day

from benchplan import live, planner
from benchplan.fitting import fit_day
from benchplan.live import actions, checklist, possible
from benchplan.model import Action, Cooling, Item, ItemId, Mark, Order


def test_what_is_possible_at_the_start_and_after_each_mark() -> None:
    day = make_day(cooling=Cooling(stand=2, mat_tins=12))
    plan = make_plan(day, [FENNEL, FENNEL, CEDAR])
    bench = Bench(day, plan)

    def offered() -> set[Action]:
        return set(possible(day, plan, bench.marks))

    fills = {one("fill", 1), one("fill", 2), one("fill", 3)}
    planned_change = one("change_scent", 3)
    assert offered() == {ON, *fills, planned_change}
    bench.mark(one("fill", 1))
    assert offered() == {ON, one("fill", 2), one("set", 1), planned_change}
    bench.mark(planned_change)
    # now the scale is ready for cedar, and the fennel that is left would need it cleaned
    assert offered() == {ON, one("fill", 3), one("set", 1), one("change_scent", 2)}
    bench.mark(one("fill", 3))
    bench.mark(one("set", 3))
    bench.mark(one("set", 1))
    assert offered() == {ON, one("load", 1), one("load", 3), one("change_scent", 2)}
    bench.mark(one("change_scent", 2))
    bench.mark(one("fill", 2))
    # both pans are taken
    assert offered() == {ON, one("load", 1), one("load", 3)}
    bench.mark(one("load", 1))
    assert offered() == {one("unload", 1)}
    bench.mark(one("unload", 1))
    assert offered() == {one("load", 3), one("transfer", 1)}
    bench.mark(one("transfer", 1))
    assert offered() == {one("load", 3), one("pack", 1), one("set", 2)}
    bench.mark(one("load", 3))
    bench.mark(one("unload", 3))
    # eight of the mat's twelve places are taken
    assert offered() == {one("pack", 1), one("set", 2)}
    bench.mark(one("pack", 1))
    assert offered() == {one("transfer", 3), one("set", 2)}


def test_a_change_of_scent_is_void_once_another_scent_came_on_the_scale() -> None:
    day = make_day()
    plan = make_plan(day, [FENNEL, CEDAR, CEDAR])
    bench = Bench(day, plan)
    bench.mark(one("change_scent", 2))
    bench.mark(one("change_scent", 3))
    assert one("fill", 2) in possible(day, plan, bench.marks)
    bench.mark(one("change_scent", 1))
    bench.mark(one("fill", 1))
    assert one("fill", 2) not in possible(day, plan, bench.marks)
    assert one("change_scent", 2) in possible(day, plan, bench.marks)
    bench.mark(one("change_scent", 2))
    assert one("fill", 2) in possible(day, plan, bench.marks)


def test_ticks_belong_to_their_action_and_can_be_taken_back() -> None:
    bench = Bench(*paused_day())
    bench.mark(ON)
    items = [check.item for check in bench.state.cards[0].checklist]
    bench.add(Mark("tick", 5, 5, one("fill"), items[1]))
    bench.add(Mark("tick", 5, 5, one("fill", 2), items[2]))
    assert [check.seen for check in bench.state.cards[0].checklist] == [False, True, False]
    bench.take_back(2)
    assert not any(check.seen for check in bench.state.cards[0].checklist)


def listed(bench: Bench, action: Action) -> dict[Item, bool]:
    """Return the checklist of an action, and what of it is required."""
    found = live.as_marked(bench.day, bench.plan, bench.marks)
    so_far = live.progress(found, bench.marks)
    return {each.item: each.required for each in checklist(found, so_far, action)}


def dry(scent: str) -> Item:
    return Item(ItemId.BEADS_DRY, scent)


def test_the_dry_test_is_asked_until_a_scent_is_dry_and_a_maker_cannot_lose_it() -> None:
    day = make_day(checklist={"fill": ("Spoon level",), "load": ("Lids put aside",)})
    bench = Bench(day, make_plan(day, [FENNEL, FENNEL, CEDAR]))
    load = Action("load", (1,), "counter")
    first = {Item(ItemId.OVEN_AT_HEAT): True, Item(ItemId.LANDING_FREE): True}
    own = {Item(own="Lids put aside"): False}
    assert listed(bench, one("fill", 2)) == {
        dry("Sea fennel"): True,
        Item(own="Spoon level"): False,
    }
    assert listed(bench, load) == {dry("Sea fennel"): True, **first, **own}
    bench.add(Mark("tick", 5, 5, one("fill", 2), dry("Sea fennel")))
    assert dry("Sea fennel") in listed(
        bench, one("fill", 2)
    )  # where it was ticked it is still seen
    assert listed(bench, load) == {**first, **own}
    assert dry("Cedar") in listed(bench, one("set", 3))
    bench.add(Mark("wet", 6, 6, None, dry("Sea fennel")))
    assert listed(bench, load) == {dry("Sea fennel"): True, **first, **own}


def test_the_oven_is_looked_at_before_each_first_load() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL, FENNEL]))
    first, second = (Action("load", (tray,), "counter") for tray in (1, 2))
    at_heat = Item(ItemId.OVEN_AT_HEAT)
    assert listed(bench, first)[at_heat]
    assert listed(bench, second)[at_heat]  # whichever goes in first
    bench.mark(first)
    assert listed(bench, second)[at_heat]  # nobody has seen its heat yet
    bench = Bench(day, bench.plan)
    bench.mark(Action("preheat", (), "counter"), 0)
    bench.add(Mark("tick", 800, 800, first, at_heat))
    bench.mark(first, 900)
    assert at_heat not in listed(bench, second)


def test_how_a_tray_is_baked_cannot_be_ticked_before_it_is_out() -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    assert Item(ItemId.LOOKED_AT) not in listed(bench, Action("unload", (1,), "counter"))


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("load", "Mitts on"),
        ("load", "Lids put aside"),
        ("unload", "Mitts on"),
        ("unload", "A stand place is free"),
        ("transfer", "Tongs, never fingers"),
        ("pack", "Every tin checked cool before a bare hand takes it"),
    ],
)
def test_cautions_stand_where_they_matter(what: str, words: str) -> None:
    day = make_day()
    bench = Bench(day, make_plan(day, [FENNEL]))
    assert Item(own=words) in listed(bench, one(what, 1))


def test_packing_another_day_asks_for_no_lids() -> None:
    day = make_day(pack="later")
    bench = Bench(day, make_plan(day, [FENNEL]))
    words = " ".join(each.own for each in listed(bench, one("pack", 1)))
    assert "Lid on" not in words
    assert "checked cool" in words


def test_a_scale_cleaned_for_nothing_is_not_to_be_cleaned_again_for_that() -> None:
    """Cleaned for the second cedar tray, then for the fennel that comes first: fennel is next."""
    orders = (Order("Sea fennel", "standard", 16), Order("Cedar", "standard", 16))
    day = make_day(orders=orders)
    plan = make_plan(day, [FENNEL, FENNEL, CEDAR, CEDAR])
    bench = Bench(day, replace(plan, fits=fit_day(day)))

    def mark(action: Action) -> None:
        bench.mark(action)
        bench.plan = planner.replan(day, bench.plan, bench.marks, bench.now)
        bench.now += 400

    for action in (ON, one("fill", 1), one("set", 1), one("change_scent", 4)):
        mark(action)
    mark(one("change_scent", 2))
    whats = [each.action for each in actions(bench.plan) if each.action.what == "change_scent"]
    assert whats.count(one("change_scent", 4)) == 0
    assert len(whats) == 2  # the one that was just done, and the one before the first cedar tray
    for _ in range(30):  # whoever does what the card says gets to the end
        card = bench.state.cards[0]
        if card.action is None:
            bench.now = max(bench.now + 1, card.end_s)
            continue
        assert card.action.what != "change_scent" or card.action == one("change_scent", 3)
        mark(card.action)
        if bench.state.complete:
            break
    assert bench.state.complete
