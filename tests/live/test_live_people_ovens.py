"""What marks about people and ovens mean: who is away, comes or leaves, and what fails."""

from __future__ import annotations

from dataclasses import replace

import pytest
from live_days import ON, Bench, make_day, one
from mishap_days import ORDERS, add, bench, busy, oven, replanned, step_end, two_ovens

from benchplan import planner
from benchplan.live import actions, as_marked, learned_times, leftover, possible
from benchplan.model import (
    Action,
    Cooling,
    Fit,
    Load,
    Mark,
    Order,
    Oven,
    Plan,
    Recipe,
    Run,
    Times,
)
from benchplan.model.stop import Iterations


def test_a_bake_made_longer_ends_so_much_later_and_again_if_said_again() -> None:
    at = bench()
    assert oven(at).until_s == 900 + 420
    add(at, "longer", one("unload", 1), amount=60.0)
    assert oven(at).until_s == 900 + 480
    add(at, "longer", one("unload", 1), amount=60.0)
    assert oven(at).until_s == 900 + 540
    assert step_end(replanned(at), 1, "bake") == 900 + 540
    at.take_back(len(at.marks))
    assert oven(at).until_s == 900 + 480


def test_under_baked_goes_back_in_and_comes_out_when_it_should() -> None:
    at = bench()
    at.now = 1320
    at.mark(one("unload", 1))
    assert not [hot for hot in at.state.hot if hot.kind == "oven"]
    at.now = 1350
    add(at, "back in", one("unload", 1), amount=120.0)
    assert oven(at).trays == (1,)
    assert oven(at).until_s == 1350 + 120
    assert one("unload", 1) in possible(at.day, at.plan, at.marks)
    assert not [hot for hot in at.state.hot if hot.kind == "stand"]
    plan = replanned(at)
    assert step_end(plan, 1, "bake") == 1470
    assert step_end(plan, 1, "unload") == 1470 + at.day.times.unload_s
    at.now = 1480
    at.mark(one("unload", 1))
    stand = next(hot for hot in at.state.hot if hot.kind == "stand")
    assert stand.until_s == 1480 + 120  # its rest counts from the second time it came out
    add(at, "back in", one("unload", 1), amount=60.0)
    assert oven(at).until_s == 1480 + 60


def test_scrapped_tins_need_no_hands_and_a_tray_of_none_is_done_with_once_it_is_out() -> None:
    at = bench()
    whole = replanned(at)
    add(at, "scrapped", one("pack", 1), amount=2.0, note="dropped")
    less = replanned(at)
    for name, each in (("transfer", at.day.times.transfer_s), ("pack", at.day.times.pack_s)):
        assert [busy(plan, 1, name) for plan in (whole, less)] == [8 * each, 6 * each]
    assert less.tray(1).tins == 8
    add(at, "scrapped", one("pack", 1), amount=6.0, note="scorched")
    assert oven(at).trays == (1,)  # it is in the oven all the same
    at.now = 1320
    at.mark(one("unload", 1))
    assert [hot.kind for hot in at.state.hot if 1 in hot.trays] == ["aside"]  # until it is checked
    assert one("transfer", 1) not in possible(at.day, at.plan, at.marks)


def test_a_tray_that_leaves_before_the_oven_gives_its_pan_back_and_nothing_asks_for_it() -> None:
    at = bench()
    at.now = 1000
    at.mark(one("fill", 2))
    at.mark(one("set", 2))
    add(at, "leaves", one("load", 2), note="wet")
    plan = replanned(at)
    assert [load.trays for load in plan.loads] == [(1,), (3,)]
    assert {tray.number for tray in plan.trays} == {1, 2, 3}
    assert {step.step for step in plan.steps if step.tray == 2} == {"fill"}
    assert not [each for each in possible(at.day, plan, at.marks) if 2 in each.trays]
    assert as_marked(at.day, plan, at.marks).plan == plan  # it is as marked already
    at.take_back(len(at.marks))
    assert one("load", 2) in possible(at.day, at.plan, at.marks) or at.state.hot


def test_held_hands_are_said_and_an_exit_is_due_all_the_same() -> None:
    at = bench()
    at.now = 1000
    add(at, "hold")
    assert at.state.held_s == 1000
    at.now = 1330
    assert oven(at).state == "out now"
    add(at, "go on")
    assert at.state.held_s is None


def test_a_fill_goes_on_after_a_call_where_it_was_left_and_nothing_is_learned_from_it() -> None:
    day = make_day(orders=ORDERS)
    plan = planner.plan_day(day, Iterations(20))
    assert isinstance(plan, Plan)
    at = Bench(day, plan)
    spans = {each.action: (each.begin_s, each.end_s) for each in actions(plan)}
    for action in (ON, one("fill", 1), one("set", 1), Action("change_scent", (2,))):
        at.mark(action, spans[action][1])
    begin, end = spans[one("fill", 2)]
    at.now = begin + 50
    add(at, "hold")
    at.now = begin + 200
    add(at, "go on")
    fill = replanned(at).step(2, "fill")
    assert fill is not None
    each = day.times.fill_s
    assert fill.parts[0] == (begin, begin + 50 // each * each)  # the third tin was not full yet
    assert fill.parts[1][0] == begin + 200
    assert busy(replanned(at), 2, "fill") == end - begin
    at.mark(one("fill", 2), fill.end_s)
    run = Run(1, "x", "x", day.start, "", "", state="complete")
    learned = {each.step: each for each in learned_times([(run, day, plan, at.marks)])}
    assert learned["fill"].samples == 1  # the first tray's


def test_who_is_late_gets_no_work_until_they_are_back() -> None:
    at = bench()
    at.now = 960
    add(at, "late", amount=300.0)
    assert [(each.person, each.until_s, each.late) for each in at.state.breaks] == [(1, 1260, True)]
    (card,) = at.state.cards
    assert (card.action, card.hurry) == (one("unload", 1), False)  # only the exit stays in sight
    plan = replanned(at)
    busy = [
        part
        for step in plan.steps
        if step.person == 1
        for part in step.parts
        if part[1] > 960 and part[0] < 1260
    ]
    assert not [part for part in busy if max(part[0], 960) < min(part[1], 1260)]


def test_a_due_exit_waits_for_the_first_who_is_back() -> None:
    at = bench()
    at.now = 1200
    add(at, "late", amount=600.0)
    assert step_end(replanned(at), 1, "unload") == 1800 + at.day.times.unload_s


def test_one_more_person_shares_the_work_and_one_who_leaves_has_none() -> None:
    quick = {"standard": Recipe("standard", "round", 31.0, 158.0, 420, 30, 60, 60)}
    day = make_day(orders=ORDERS, times=Times(fill_s=40, pack_s=60), recipes=quick)
    plan = planner.plan_day(day, Iterations(20))
    assert isinstance(plan, Plan)
    comes = (Mark("person comes", 0, 0, number=1, note="Ada"),)
    two = planner.replan(day, plan, comes, 0)
    assert {step.person for step in two.steps if step.person} == {1, 2}
    assert two.finish_s < plan.finish_s
    goes = (*comes, Mark("person goes", 0, 0, number=2, person=1))
    other = planner.replan(day, two, goes, 0)
    assert {step.person for step in other.steps if step.person} == {2}
    last = (*goes, Mark("person goes", 0, 0, number=3, person=2))
    assert planner.replan(day, other, last, 0) == other  # somebody always stays


def test_who_comes_gets_a_share_even_where_the_day_ends_no_sooner() -> None:
    day = make_day(orders=ORDERS)
    plan = planner.plan_day(day, Iterations(20))
    assert isinstance(plan, Plan)
    two = planner.replan(day, plan, (Mark("person comes", 0, 0, number=1),), 0)
    assert two.finish_s == plan.finish_s
    assert {step.person for step in two.steps if step.person} == {1, 2}


@pytest.mark.parametrize("broken", ["large", "spare"])
def test_an_oven_that_is_out_of_the_day_gets_no_load(broken: str) -> None:
    day, plan = two_ovens()
    out = (Mark("oven out", 0, 0, Action("preheat", (), broken), number=1),)
    found = planner.replan(day, plan, out, 0)
    assert {load.oven for load in found.loads} == {"large", "spare"} - {broken}
    assert sorted(tray for load in found.loads for tray in load.trays) == [1, 2, 3]
    if broken == "large":  # the other one takes one pan at a time
        assert all(len(load.trays) == 1 for load in found.loads)
    heated = {other.place for other in found.other if other.what == "preheat"}
    assert heated == {"large", "spare"} - {broken}


def test_what_is_in_an_oven_that_fails_is_due_at_once_and_without_ovens_the_rest_is_left() -> None:
    at = bench()
    at.now = 1000
    add(at, "oven out", Action("preheat", (), "counter"))
    assert oven(at).until_s == 1000
    plan = replanned(at)
    assert [load.trays for load in plan.loads] == [(1,)]
    assert leftover(at.day, plan, at.marks) == (
        Order("Sea fennel", "standard", 8, 0),
        Order("Cedar", "standard", 8, 0),
    )


def test_an_oven_of_which_it_is_not_known_what_fits_takes_nothing_over() -> None:
    day, plan = two_ovens()
    blind = replace(plan, fits=tuple(fit for fit in plan.fits if fit.oven != "spare"))
    assert any(isinstance(fit, Fit) for fit in blind.fits)
    out = (Mark("oven out", 0, 0, Action("preheat", (), "large"), number=1),)
    mine = {tray for load in plan.loads if load.oven == "large" for tray in load.trays}
    found = as_marked(day, blind, out)
    assert set(found.load_of) == {1, 2, 3} - mine


def test_a_load_is_split_for_an_oven_that_takes_fewer_pans_and_that_oven_is_heated_first() -> None:
    day, plan = two_ovens()
    heats = tuple(replace(other, place="large") if other.what == "preheat" else other
                  for other in plan.other)  # fmt: skip
    steps = tuple(
        replace(step, place="large") if step.step in ("load", "bake", "unload") else step
        for step in plan.steps
    )
    loads = (Load("large", 1, (1, 2)), Load("large", 2, (3,)))
    plan = replace(plan, loads=loads, steps=steps, other=heats)
    found = as_marked(
        day, plan, (Mark("oven out", 0, 0, Action("preheat", (), "large"), number=1),)
    )
    assert {(load.oven, load.trays) for load in found.plan.loads} == {
        ("spare", (1,)),
        ("spare", (2,)),
        ("spare", (3,)),
    }
    assert {found.turn_of[tray] for tray in (1, 2, 3)} == {1}  # none goes into a cold oven


def test_one_of_two_trays_goes_back_into_another_oven_which_is_taken_then() -> None:
    day, plan = two_ovens(
        times=Times(fill_s=1, set_s=1, change_scent_s=1),
        cooling=Cooling(stand=2, mat_tins=24),
        orders=(Order("Sea fennel", "standard", 32),),
        ovens={
            "large": Oven("large", (362.0, 292.0), shelves=2),
            "spare": Oven("spare", (362.0, 292.0), preheat_s=7200),
        },
    )
    load = next((load for load in plan.loads if len(load.trays) == 2), None)
    assert load is not None
    pair = load.trays
    ends = {each.action: each.end_s for each in actions(plan)}
    at = Bench(day, plan)
    for each in sorted(actions(plan), key=lambda each: each.end_s):
        if each.end_s <= ends[Action("unload", pair, load.oven)]:
            at.mark(each.action, each.end_s, each.person)
    at.now = ends[Action("unload", pair, load.oven)] + 10
    second = pair[1]
    add(at, "back in", Action("unload", (second,), "spare"), amount=180.0)
    assert {hot.place: hot.trays for hot in at.state.hot if hot.kind == "oven"}["spare"] == (
        second,
    )
    found = replanned(at)
    assert step_end(found, second, "bake") == at.now + 180
    assert step_end(found, pair[0], "unload") <= at.now
    unload = found.step(second, "unload")
    assert unload is not None
    assert (unload.start_s, unload.place) == (at.now + 180, "spare")
    bakes = [
        (step.start_s, step.end_s)
        for step in found.steps
        if step.step == "bake" and step.place == "spare" and step.tray != second
    ]
    assert all(end <= at.now or unload.end_s <= begin for begin, end in bakes)


def test_a_hot_oven_does_not_wait_for_trays_that_can_be_filled_meanwhile() -> None:
    """The plan fills trays 2 to 4 while the oven heats; late as it is, tray 1 goes in at once."""
    day = make_day(orders=(Order("Sea fennel", "standard", 40),))
    plan = planner.plan_day(day, Iterations(20))
    assert isinstance(plan, Plan)
    first, second = plan.step(1, "load"), plan.step(2, "fill")
    assert first is not None
    assert second is not None
    assert second.end_s < first.start_s
    done = ((0, ON), (1500, one("fill", 1)), (1524, one("set", 1)))
    marks = tuple(
        Mark("done", at, at, action, number=number)
        for number, (at, action) in enumerate(done, start=1)
    )
    late = planner.replan(day, plan, marks, 1524)
    load, fill = late.step(1, "load"), late.step(2, "fill")
    assert load is not None
    assert fill is not None
    assert load.start_s == 1524
    assert fill.start_s == load.end_s
    # what the day is late by is what the first load is late by: no fill is added to that
    assert late.finish_s - plan.finish_s == load.start_s - first.start_s


def test_what_is_due_in_an_absence_goes_to_whoever_is_there() -> None:
    at = bench()
    add(at, "person comes", note="Ada")
    whose = next(each.person for each in actions(at.plan) if each.action == one("unload", 1))
    other = 3 - whose
    at.now = 1330
    assert {card.person for card in at.state.cards if card.action == one("unload", 1)} == {whose}
    add(at, "late", amount=600.0, person=whose)
    cards = {card.person: card for card in at.state.cards}
    assert cards[other].action == one("unload", 1)
    assert cards[other].hurry
    assert cards[whose].action is None


def test_who_is_alone_and_away_keeps_the_exit_in_sight() -> None:
    at = bench()
    at.now = 1000
    add(at, "late", amount=900.0)
    (card,) = at.state.cards
    assert (card.action, card.begin_s, card.hurry) == (one("unload", 1), 1320, False)
    at.now = 1320
    (card,) = at.state.cards
    assert (card.action, card.hurry) == (one("unload", 1), True)
