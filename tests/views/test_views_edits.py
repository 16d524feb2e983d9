"""What the Orders screen changes: the queue never asks for more than the orders do."""

from __future__ import annotations

from dataclasses import replace

import example_day
from hypothesis import given
from hypothesis import strategies as st

from benchplan.model import Day, Order, QueuedTray
from benchplan.views import edits

SEA, FIG = "Sea fennel", "Fig and ash"


def trays(day: Day) -> list[tuple[str, int]]:
    return [(tray.scents[0], tray.tins) for tray in day.queue]


def kept() -> Day:
    """The example day with its plan's trays as the maker's own queue: 6 and 6 of sea, 4 of fig."""
    day = example_day.day()
    return replace(day, queue=edits.queue_of(example_day.plan()), keep_order=True)


def test_a_move_takes_over_the_plans_trays_and_keeps_the_order() -> None:
    day = edits.move_tray(example_day.day(), example_day.plan(), 3, -2)
    assert day.keep_order
    assert trays(day) == [(FIG, 4), (SEA, 6), (SEA, 6)]
    assert [tray.pan for tray in day.queue] == ["small"] * 3


def test_a_second_move_goes_on_from_the_first_before_a_new_plan_is_there() -> None:
    day, plan = example_day.day(), example_day.plan()
    day = edits.move_tray(day, plan, 3, -1)
    day = edits.move_tray(day, plan, 2, -1)
    assert trays(day) == [(FIG, 4), (SEA, 6), (SEA, 6)]


def test_a_move_beyond_an_end_changes_nothing() -> None:
    day = example_day.day()
    assert edits.move_tray(day, example_day.plan(), 1, -1) is day
    assert edits.move_tray(day, example_day.plan(), 3, 1) is day


def test_fewer_tins_shrink_the_last_tray_of_the_scent() -> None:
    day = edits.change_tins(kept(), kept().orders[0], -2)
    assert trays(day) == [(SEA, 6), (SEA, 4), (FIG, 4)]


def test_a_tray_without_tins_left_is_dropped() -> None:
    day = edits.change_tins(kept(), kept().orders[0], -7)
    assert trays(day) == [(SEA, 5), (FIG, 4)]


def test_one_fewer_and_one_more_gives_the_same_queue() -> None:
    fewer = edits.change_tins(kept(), kept().orders[0], -1, example_day.FITS)
    again = edits.change_tins(fewer, fewer.orders[0], 1, example_day.FITS)
    assert again == replace(kept(), orders=again.orders)
    assert again.orders[0].tins == 12


def test_tins_beyond_the_room_of_the_queues_trays_are_left_to_the_planner() -> None:
    day = edits.change_tins(kept(), kept().orders[1], 5, example_day.FITS)
    assert trays(day) == [(SEA, 6), (SEA, 6), (FIG, 6)]
    assert day.orders[1].tins == 9


def test_a_tray_is_topped_up_only_as_far_as_mat_and_oven_allow() -> None:
    small = replace(example_day.FITS[2], count=5)
    day = edits.change_tins(kept(), kept().orders[1], 5, (*example_day.FITS[:2], small))
    assert trays(day) == [(SEA, 6), (SEA, 6), (FIG, 5)]
    day = replace(kept(), ovens={"countertop": replace(kept().ovens["countertop"], most_tins=4)})
    assert trays(edits.change_tins(day, day.orders[1], 5, example_day.FITS)) == trays(day)
    assert trays(edits.change_tins(kept(), kept().orders[1], 5, ())) == trays(kept())


def test_a_mixed_tray_loses_only_the_scent_that_was_ordered_less() -> None:
    day = replace(
        kept(), queue=(QueuedTray((SEA, SEA, FIG, FIG), "standard", "small"),), keep_order=True
    )
    day = edits.change_tins(day, day.orders[1], -3)
    assert day.queue[0].scents == (SEA, SEA, FIG)


def test_an_order_never_has_fewer_than_one_tin_nor_more_filled_than_tins() -> None:
    day = edits.change_tins(kept(), kept().orders[0], -99)
    assert (day.orders[0].tins, day.orders[0].filled) == (1, 1)
    day = edits.change_filled(kept(), kept().orders[0], 99)
    assert day.orders[0].filled == 12
    assert edits.change_filled(day, day.orders[0], -99).orders[0].filled == 0


def test_the_planners_order_has_no_queue() -> None:
    day = edits.planners_order(kept())
    assert day.queue == ()
    assert not day.keep_order


def test_only_a_kept_queue_that_leaves_nothing_out_is_whole() -> None:
    assert edits.whole_queue(kept()) == kept().queue
    assert edits.whole_queue(replace(kept(), keep_order=False)) is None
    assert edits.whole_queue(replace(kept(), queue=kept().queue[1:])) is None


@given(st.lists(st.tuples(st.integers(0, 1), st.integers(-9, 9)), max_size=12), st.booleans())
def test_whatever_is_changed_the_queue_asks_for_no_more_than_the_orders(
    changes: list[tuple[int, int]], mixed: bool
) -> None:
    day = kept()
    if mixed:
        day = replace(day, queue=(QueuedTray((SEA,) * 3 + (FIG,) * 2, "standard"), *day.queue))
        day = day.settled()
    for which, by in changes:
        day = edits.change_tins(day, day.orders[which], by, example_day.FITS)
        assert edits.asked(day.queue) <= edits.wanted(day)
        assert all(1 <= tray.tins <= 6 for tray in day.queue)


def test_orders_of_one_scent_in_two_recipes_keep_apart() -> None:
    day = kept()
    day = replace(
        day,
        orders=(*day.orders, Order(SEA, "gentle", 3)),
        recipes={**day.recipes, "gentle": replace(day.recipes["standard"], name="gentle")},
    )
    day = edits.change_tins(day, day.orders[2], -1)
    assert trays(day) == [(SEA, 6), (SEA, 6), (FIG, 4)]
