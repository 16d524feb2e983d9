"""Jars: what the day needs, and jars noted in the bench book."""

from __future__ import annotations

from pathlib import Path

import pytest
from page_app import opened

from benchplan.screens.page import Page


@pytest.fixture(autouse=True)
def _own_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path))


async def test_a_jar_is_noted_and_taken_off_again() -> None:
    async with opened("jars") as it:
        assert "Sea fennel" in it.text
        assert "0 jars in the book" in it.text
        await it.pilot.press("down", "j")
        await it.pilot.pause()
        await it.pilot.press("down", *"3", "down", *"blue lid", "enter")
        await it.until(lambda: bool(it.app.screen.query(Page)) and "1 jar in the book" in it.text)
        assert "Wed 2 Dec" in it.text
        assert "blue lid" in it.text
        await it.press("d")
        assert "Press Tab" in it.app.session.message
        await it.pilot.press("tab", "d")
        await it.pilot.pause()
        await it.pilot.press("enter")
        await it.until(lambda: bool(it.app.screen.query(Page)) and "0 jars in the book" in it.text)


async def test_a_jar_started_at_no_number_of_days_ago_is_asked_again() -> None:
    async with opened("jars") as it:
        await it.pilot.press("j")
        await it.pilot.pause()
        await it.pilot.press("down", *"soon", "enter")
        await it.pilot.pause()
        assert not it.app.screen.query(Page)
        await it.pilot.press("escape")
        await it.until(lambda: bool(it.app.screen.query(Page)))
        assert "0 jars in the book" in it.text


async def test_the_dry_test_is_said() -> None:
    async with opened("jars") as it:
        assert "Wet jars never reach the oven." in it.text
        assert "[ ] Beads dry: nothing clings" in it.text
