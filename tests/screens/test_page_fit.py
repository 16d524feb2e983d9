"""Fit: arrow keys choose what is drawn."""

from __future__ import annotations

from page_app import LARGE, opened

from benchplan.model import Cannot

CONSOLE_ONLY = set("\u2800\u28ff")


def braille(text: str) -> bool:
    return any(0x2800 <= ord(char) <= 0x28FF for char in text)


async def test_up_and_down_choose_the_fit() -> None:
    async with opened("fit") as it:
        assert "6 fit, no more can." in it.text
        assert "1 fits, no more can." in await it.press("down")
        assert "12 fit, in tidy rows." in await it.press("down", "down", "down")
        assert "1 fits, no more can." in await it.press("up")


async def test_right_steps_through_the_days_trays_and_loads_and_comes_round() -> None:
    async with opened("fit") as it:
        assert "The plan has 3 trays of these" in it.text
        assert "Tray 1: 6 tins of Sea fennel." in await it.press("right")
        assert "Tray 3: 4 tins of Fig and ash." in await it.press("right", "right")
        assert "6 fit, no more can." in await it.press("right")
        assert "Tray 3: 4 tins of Fig and ash." in await it.press("left")
        assert "tray 2" in await it.press("down", "right", "right")


async def test_on_the_mat_left_and_right_change_the_list() -> None:
    async with opened("fit") as it:
        await it.press("down", "down")
        assert "1 fits, no more can." in await it.press("left")


async def test_margins_come_in_by_themselves_and_gaps_with_a_key() -> None:
    async with opened("fit", LARGE) as it:
        await it.until(lambda: "still 6." in it.text)
        assert "One more, in rows, needs" in it.text
        assert "Floor 248 mm by 172 mm" in it.text
        assert "Below each number" not in it.text
        text = await it.press("g")
        assert "Below each number: how near" in text
        assert "Floor 248 mm by 172 mm" not in text
        assert "Tray 1" in await it.press("right")
        assert "still 6." not in it.text
        assert "Gaps are shown for tins." in await it.press("down")
        assert "still 6." not in it.text
        await it.press("up", "G")
        await it.until(lambda: "still 6." in it.text)
        assert "Below each number" not in it.text


async def test_fits_of_a_day_that_cannot_be_done_are_drawn_all_the_same() -> None:
    import example_day

    async with opened("fit", plan=Cannot(("No.",), example_day.FITS)) as it:
        assert "6 fit, no more can." in it.text
        await it.press("right", "left", "down")
        assert "12 fit" in it.text or "1 fits" in it.text


async def test_braille_gives_way_to_lines_on_the_linux_console(monkeypatch: object) -> None:
    import pytest

    assert isinstance(monkeypatch, pytest.MonkeyPatch)
    monkeypatch.setenv("TERM", "xterm-256color")
    async with opened("fit") as it:
        assert braille(it.text)
    monkeypatch.setenv("TERM", "linux")
    async with opened("fit") as it:
        assert not braille(it.text)
        assert "/───" in it.text
