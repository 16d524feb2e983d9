"""Orders: every key changes what it says, at once, and the planner hears of it."""

from __future__ import annotations

from dataclasses import replace

import example_day
from page_app import LARGE, SMALL, opened

from benchplan.model import Cannot, Run
from benchplan.screens.dialogs import Fields


async def test_plus_and_minus_change_the_chosen_order_and_replan_at_once() -> None:
    async with opened("orders") as it:
        assert "> Sea fennel   standard    12" in it.text
        text = await it.press("plus")
        assert "> Sea fennel   standard    13" in text
        assert "replanning" in text
        text = await it.press("down", "minus")
        assert "> Fig and ash  standard     3" in text
        assert [[order.tins for order in day.orders] for day in it.asked] == [[13, 4], [13, 3]]


async def test_the_old_plan_stays_on_screen_until_the_new_one_is_there() -> None:
    async with opened("orders") as it:
        assert "10:40" in (text := await it.press("plus"))
        assert "3 trays in the planner's order  replanning" in text
        it.answer(replace(example_day.plan(), finish_s=6300))
        await it.until(lambda: "Finish 10:45" in it.text)
        assert "replanning" not in it.text


async def test_a_plan_of_an_older_edit_is_left_aside() -> None:
    async with opened("orders") as it:
        await it.press("plus", "plus")
        it.app.session.planned(it.asked[0], replace(example_day.plan(), finish_s=6300))
        assert "replanning" in await it.press("down")
        it.answer(replace(example_day.plan(), finish_s=6360))
        await it.until(lambda: "Finish 10:46" in it.text)


async def test_a_tray_moves_earlier_at_once_and_the_cursor_goes_with_it() -> None:
    async with opened("orders") as it:
        await it.press("tab", "down", "down")
        assert ">    3  Fig and ash" in it.text
        text = await it.press("less_than_sign")
        assert ">    2  Fig and ash" in text
        text = await it.press("comma")
        assert ">    1  Fig and ash" in text
        assert "3 trays in your own order  replanning" in text
        day = it.asked[-1]
        assert day.keep_order
        assert [tray.scents[0] for tray in day.queue] == ["Fig and ash", "Sea fennel", "Sea fennel"]
        text = await it.press("greater_than_sign")
        assert ">    2  Fig and ash" in text


async def test_a_move_beyond_the_queues_end_asks_for_no_plan() -> None:
    async with opened("orders") as it:
        await it.press("tab", "less_than_sign")
        assert it.asked == []


async def test_moving_without_a_chosen_tray_says_how() -> None:
    async with opened("orders") as it:
        await it.press("less_than_sign")
        assert "Press Tab to go to the queue" in it.app.session.message
        assert it.asked == []


async def test_the_planners_own_order_comes_back() -> None:
    async with opened("orders") as it:
        await it.press("tab", "greater_than_sign", "p")
        assert it.asked[-1].queue == ()
        assert not it.asked[-1].keep_order
        it.answer(example_day.plan())
        await it.until(lambda: "in the planner's order" in it.text)
        await it.press("p")
        assert "already" in it.app.session.message
        assert len(it.asked) == 2


async def test_numbers_are_typed_and_checked() -> None:
    async with opened("orders") as it:
        await it.pilot.press("enter")
        await it.pilot.pause()
        assert isinstance(it.app.screen, Fields)
        await it.pilot.press(*"0", "enter")
        await it.pilot.pause()
        assert isinstance(it.app.screen, Fields)
        await it.pilot.press("backspace", *"20", "down", *"30", "enter")
        await it.until(lambda: not isinstance(it.app.screen, Fields))
        assert [(order.tins, order.filled) for order in it.asked[-1].orders] == [(20, 20), (4, 0)]
        assert "> Sea fennel   standard    20      20" in it.text


async def test_a_day_that_cannot_be_done_says_why_where_its_trays_would_be() -> None:
    reason = "The tin low 72 is too tall for countertop. A lower tin would do."
    async with opened("orders", plan=Cannot((reason,))) as it:
        assert "This day cannot be done:" in it.text
        assert reason in it.text
        await it.press("tab", "less_than_sign", "greater_than_sign")
        assert it.asked == []
        await it.press("minus")
        assert len(it.asked) == 1


async def test_during_a_run_nothing_changes_and_the_band_says_why() -> None:
    async with opened("orders") as it:
        session = it.app.session
        run = Run(1, "Harbour fair", "", example_day.START, "", "")
        session.take_run(run, example_day.day(), example_day.plan(), ())
        before = session.day
        await it.press("minus", "tab", "greater_than_sign", "plus")
        assert session.day is before
        assert it.asked == []
        assert "A run is on" in session.message


async def test_it_fits_both_windows() -> None:
    for size in (SMALL, LARGE):
        async with opened("orders", size) as it:
            assert "Finish 10:40" in it.text
            assert it.app.screen.query_one("Page").size.width == size[0] - 2
