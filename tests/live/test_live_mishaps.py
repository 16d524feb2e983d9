"""What a mark of each kind means beside "done": to the state, to what is past, to the plan."""

from __future__ import annotations

import pytest
from live_days import CEDAR, FENNEL, Bench, make_day, make_plan, one
from mishap_days import ORDERS, add, bench, busy, replanned

from benchplan import planner
from benchplan.live import learned_times, leftover, past, possible
from benchplan.model import (
    Action,
    Cooling,
    Order,
    Pan,
    Run,
)


def test_tins_that_are_off_their_pan_never_go_back_in() -> None:
    at = bench()
    at.now = 1320
    at.mark(one("unload", 1))
    at.mark(one("transfer", 1))
    add(at, "back in", one("unload", 1), amount=60.0)
    assert {hot.kind for hot in at.state.hot if hot.trays} == {"mat"}


def test_what_is_filled_of_a_tray_need_not_be_filled_again() -> None:
    at = bench()
    at.now = 1000
    assert busy(replanned(at), 2, "fill") == 8 * at.day.times.fill_s
    add(at, "filled", one("fill", 2), amount=3.0)
    plan = replanned(at)
    assert busy(plan, 2, "fill") == 5 * at.day.times.fill_s
    assert plan.tray(2).to_fill == (("Sea fennel", 8),)
    add(at, "filled", one("fill", 2), amount=6.0)
    assert busy(planner.replan(at.day, plan, at.marks, 1000), 2, "fill") == 2 * at.day.times.fill_s
    at.mark(one("fill", 2))
    again = Bench(at.day, at.plan)
    again.marks = at.marks
    assert not past(at.day, at.plan, at.marks, 1000).filled


def test_the_card_says_how_much_is_filled() -> None:
    at = bench()
    at.now = 2000
    at.mark(one("unload", 1))
    at.mark(one("transfer", 1))
    assert at.state.cards[0].action == one("fill", 2)
    add(at, "filled", one("fill", 2), amount=3.0)
    assert at.state.cards[0].words == "Fill tray 2, 3 of 8 filled"


def test_stop_finishes_what_is_hot_and_leaves_the_rest_with_what_is_filled_of_it() -> None:
    at = bench()
    at.now = 1000
    at.mark(one("fill", 2))
    add(at, "stop")
    assert at.state.ending == "stop"
    assert not at.state.complete
    assert {each.trays for each in possible(at.day, at.plan, at.marks)} == {(1,)}
    at.follow()
    assert at.state.complete
    assert leftover(at.day, at.plan, at.marks) == (
        Order("Sea fennel", "standard", 8, 8),
        Order("Cedar", "standard", 8, 0),
    )


def test_what_is_scrapped_or_was_wet_is_left_over_unfilled() -> None:
    at = bench()
    at.mark(one("fill", 2))
    add(at, "leaves", one("load", 2), note="wet")
    add(at, "scrapped", one("pack", 1), amount=3.0, note="dropped")
    assert leftover(at.day, at.plan, at.marks) == (Order("Sea fennel", "standard", 11, 0),)


def test_a_tray_that_was_filled_in_part_is_left_over_in_part() -> None:
    at = bench()
    add(at, "filled", one("fill", 2), amount=5.0)
    add(at, "scrapped", one("fill", 2), amount=1.0, note="dropped")
    add(at, "stop")
    assert leftover(at.day, at.plan, at.marks) == (
        Order("Sea fennel", "standard", 8, 4),
        Order("Cedar", "standard", 8, 0),
    )


def test_abort_ends_everything_at_once_and_still_shows_what_is_hot() -> None:
    at = bench()
    at.now = 1000
    add(at, "abort")
    assert at.state.complete
    assert at.state.ending == "abort"
    assert at.state.finish_s == 1000
    assert [hot.trays for hot in at.state.hot] == [(), (1,)]  # its oven, and what is in it
    assert not possible(at.day, at.plan, at.marks)
    assert all(card.action is None for card in at.state.cards)
    assert replanned(at) == at.plan
    at.take_back(len(at.marks))
    assert not at.state.complete


def test_who_came_to_help_was_at_nothing_before() -> None:
    at = bench()
    at.now = 1000
    add(at, "person comes", note="Ada")
    at.now = 1100
    at.mark(one("fill", 2), person=2)
    done = {each.action: each for each in past(at.day, at.plan, at.marks, 1100).done}
    assert done[one("fill", 2)].start_s == 1000


def test_a_tray_that_leaves_the_stand_is_done_with_at_that_moment() -> None:
    at = bench()
    at.now = 1320
    at.mark(one("unload", 1))
    at.now = 1400
    add(at, "leaves", one("pack", 1), note="scorched")
    done = {each.action: each for each in past(at.day, at.plan, at.marks, 1500).done}
    assert done[one("pack", 1)].end_s == 1400
    assert [hot.kind for hot in at.state.hot if 1 in hot.trays] == ["aside"]
    add(at, "checked", one("pack", 1))
    assert not [hot for hot in at.state.hot if 1 in hot.trays]


def test_a_fill_that_is_gone_on_with_began_where_it_was_left() -> None:
    at = bench()
    at.now = 1000
    add(at, "filled", one("fill", 2), amount=3.0)
    at.now = 1200
    at.mark(one("fill", 2))
    done = {each.action: each for each in past(at.day, at.plan, at.marks, 1200).done}
    assert done[one("fill", 2)].start_s == 1000
    run = Run(1, "x", "x", at.day.start, "", "", state="complete")
    learned = {each.step: each for each in learned_times([(run, at.day, at.plan, at.marks)])}
    assert learned["fill"].samples == 1  # the first tray's: the rest of one says too little


def test_of_scrapped_tins_nothing_is_learned() -> None:
    at = bench()
    at.now = 1320
    at.mark(one("unload", 1))
    add(at, "scrapped", one("transfer", 1), amount=2.0, note="dropped")
    at.now = 1320 + 120 + 60
    at.mark(one("transfer", 1))
    run = Run(1, "x", "x", at.day.start, "", "", state="complete")
    learned = {each.step: each for each in learned_times([(run, at.day, at.plan, at.marks)])}
    assert learned["transfer"].seconds == 60 / 6


def test_a_pan_of_a_tray_that_left_is_free_for_the_next() -> None:
    pan = Pan("small", (282.0, 206.0), (297.0, 221.0), count=1)
    at = bench(pans={"small": pan}, cooling=Cooling(stand=1, mat_tins=24))
    for name in ("unload", "transfer"):
        at.now += 500
        at.mark(one(name, 1))
    at.mark(one("fill", 2))
    at.mark(one("set", 2))
    assert one("set", 3) not in possible(at.day, at.plan, at.marks)
    add(at, "leaves", one("load", 2), note="wet")
    at.mark(Action("change_scent", (3,)))
    at.mark(one("fill", 3))
    assert one("set", 3) in possible(at.day, at.plan, at.marks)
    cedar = replanned(at).step(3, "set")
    assert cedar is not None
    assert cedar.start_s == at.now


def test_what_was_seen_to_before_a_tray_went_back_in_is_to_be_seen_to_again() -> None:
    at = bench()
    at.now = 1320
    card = next(card for card in at.state.cards if card.action == one("unload", 1))
    items = [check.item for check in card.checklist]
    for what, item in zip(("tick", "pass over"), items, strict=False):
        add(at, what, one("unload", 1), item=item, note="busy")
    card = next(card for card in at.state.cards if card.action == one("unload", 1))
    assert [check.item for check in card.checklist if check.seen] == items[:2]
    assert [check.item for check in card.checklist if check.passed] == [items[1]]
    at.mark(one("unload", 1))
    add(at, "back in", one("unload", 1), amount=60.0)
    at.now += 60
    card = next(card for card in at.state.cards if card.action == one("unload", 1))
    assert not any(check.seen or check.passed for check in card.checklist)
    at.take_back(at.marks[-1].number)  # it never went back in, and what was seen to was
    at.take_back(at.marks[-3].number)  # nor did it come out
    card = next(card for card in at.state.cards if card.action == one("unload", 1))
    assert [check.item for check in card.checklist if check.seen] == items[:2]


def test_a_card_knows_how_many_tins_of_its_trays_are_lost() -> None:
    at = bench()
    at.now = 1320
    at.mark(one("unload", 1))
    add(at, "scrapped", one("unload", 1), amount=3.0, note="dropped")
    scrapped = at.marks[-1].number
    at.now += 200
    at.mark(one("fill", 2))
    shown = {card.action: card.lost for card in at.state.cards}
    assert shown == {one("transfer", 1): 3}
    at.take_back(scrapped)
    assert {card.lost for card in at.state.cards} == {0}


def test_a_tray_stands_where_no_other_stands_that_was_to_be_gone_by_now() -> None:
    at = bench(cooling=Cooling(stand=2, mat_tins=24))
    at.now = 1320
    at.mark(one("unload", 1))
    for action in (one("fill", 2), one("set", 2), one("load", 2), one("unload", 2)):
        at.now += 450
        at.mark(action)
    planned = {step.place for step in at.plan.steps if step.step == "rest"}
    assert planned == {"stand 1"}
    stands = {hot.trays: hot.place for hot in at.state.hot if hot.kind == "stand"}
    assert stands == {(1,): "stand 1", (2,): "stand 2"}


def test_who_waits_has_the_focus_before_who_is_free_to_help() -> None:
    day = make_day(orders=ORDERS, people=2)
    at = Bench(day, make_plan(day, [FENNEL, FENNEL, CEDAR], people=2))

    def stop(found: Bench) -> None:
        words = {card.person: card.words for card in found.state.cards}
        if words[1] == "Free to help with what is left" and words[2].startswith("Nothing for now"):
            assert found.state.focus == 2
            raise StopIteration

    with pytest.raises(StopIteration):
        at.follow(after_mark=stop)
