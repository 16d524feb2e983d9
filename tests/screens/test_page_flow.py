"""Flow: the cursor says what a bar is, and every key moves the look."""

from __future__ import annotations

import example_day
from page_app import LARGE, opened

from benchplan.model import Cannot


async def test_the_cursor_says_what_a_bar_is_from_when_to_when() -> None:
    async with opened("flow") as it:
        assert "Fill tray 2 (Sea fennel, 6 tins): 09:01 to 09:03 (2 min)." in it.text
        assert "Change of scent before tray 3: 09:03 to 09:07" in await it.press("right")
        assert "Fill tray 2" in await it.press("left", "left")
        assert "Lid and pack tray 3" in await it.press("end")
        assert "Tray 3 on the mat" in await it.press(*["down"] * 6)
        assert "Tray 1 on the mat" in await it.press("home")


async def test_zoom_shows_less_and_back_again_all() -> None:
    async with opened("flow") as it:
        whole = it.text
        await it.press("end")
        nearer = await it.press("plus", "plus")
        assert "here 09:42 to 10:40" in nearer
        assert "Lid and pack tray 3" in nearer
        await it.press("minus", "minus", "home")
        assert it.text == whole


async def test_paging_moves_the_window_and_the_cursor_with_it() -> None:
    async with opened("flow") as it:
        first = await it.press("plus", "plus")
        later = await it.press("pagedown")
        assert later != first
        assert "Fill tray 2" not in later
        assert "Fill tray 2" in await it.press("pageup", "pageup", "home")


async def test_w_says_what_limits_the_day() -> None:
    async with opened("flow") as it:
        assert "Tins an hour" in await it.press("w")
        assert "Tins an hour" not in await it.press("W")


async def test_without_a_run_there_is_no_now() -> None:
    async with opened("flow") as it:
        await it.press("n")
        assert "no run" in it.app.session.message


async def test_a_changed_day_keeps_the_old_lanes_marked() -> None:
    async with opened("flow") as it:
        day = example_day.day()
        it.app.session.change_day(day)
        await it.until(lambda: "replanning" in it.text)
        assert "bake" in it.text or "│b1" in it.text
        it.answer(example_day.plan())
        await it.until(lambda: "replanning" not in it.text)


async def test_a_day_that_cannot_be_done_says_why() -> None:
    async with opened("flow", plan=Cannot(("The shelf takes no pan.",))) as it:
        assert "The shelf takes no pan." in it.text
        await it.press("left", "right", "up", "down", "plus", "minus", "pageup", "end", "w")
        assert "The shelf takes no pan." in it.text


async def test_a_large_window_shows_bar_and_limits_together() -> None:
    async with opened("flow", LARGE) as it:
        assert "Tins an hour" in it.text
        assert "Fill tray 2" in it.text
