"""What is marked before its time, and what is not dry after all, by the keys of the Bench."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from screen_world import SAMPLES, World, asked, world
from test_screens_mishaps import flat, shown, until

from benchplan.model import Action, Mark, Reason
from benchplan.screens.bench import BenchScreen

pytestmark = pytest.mark.usefixtures("home")


async def pick(there: World, words: str) -> None:
    """Take the line of a list that has some words in it, by its figure."""
    await asked(there)
    await shown(there, words)
    found = re.search(rf"(\d) [^\d]*{re.escape(words)}", flat(there))
    assert found, flat(there)
    await there.press(found[1])
    await there.quiet()


async def out_early(there: World) -> None:
    """Begin the day, load tray 1 and mark at once that it is out again."""
    await there.begin()
    await until(there, "load")
    await there.mark()
    await there.press("o")
    await pick(there, "Take tray 1 out")


def done(there: World) -> list[Mark]:
    return [mark for mark in there.session.marks if mark.what == "done"]


async def test_an_early_exit_is_marked_first_and_asked_about_after(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await out_early(there)
        assert done(there)[-1].action == Action("unload", (1,), "countertop")  # what is out is out
        await shown(there, "Out early")
        await pick(there, "It looked done")
        last = there.session.marks[-1]
        assert (last.what, last.reason) == ("early", Reason.LOOKED_DONE)
        await shown(there, "how baked?")
        await there.press("1")
        assert there.session.marks[-1].what == "tick"


async def test_an_exit_that_was_not_one_is_taken_back_by_one_key(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await out_early(there)
        await pick(there, "undo the mark")
        assert there.session.marks[-1].what == "take back"
        assert any(hot.kind == "oven" for hot in there.state.hot)


async def test_what_is_not_due_is_asked_about_before_it_is_marked(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.mark()
        before = done(there)
        await there.press("o")
        await pick(there, "Move tray 1 to the mat")
        await shown(there, "Tray 1 should still rest")
        await pick(there, "Mark nothing")
        assert done(there) == before
        await there.press("o")
        await pick(there, "Move tray 1 to the mat")
        await pick(there, "It was moved before")
        assert done(there)[-1].reason is Reason.MOVED_EARLY


async def test_a_scent_that_is_wet_after_all_shuts_its_load_in(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "load")
        await there.mark()
        await there.press("w")
        await pick(there, "Not dry: the beads of a scent")
        await shown(there, "stays in, door shut")
        await there.press("enter")
        assert there.session.marks[-1].what == "wet"
        await shown(there, "Keep its door shut. Ventilate to the outside.")
        await there.pass_time(900)
        assert "TAKE OUT NOW" not in there.text()
        assert not any(card.action for card in there.state.cards if card.hurry)


async def test_undo_is_not_offered_where_it_would_undo_another_mark(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await out_early(there)
        await there.press("escape", "h", "h")
        await there.pass_time(150)
        await there.press("o")
        await pick(there, "Move tray 1 to the mat")
        while "Out early" not in flat(there):
            await there.press("1")  # what must be seen to first
        assert "It goes back in" in flat(there)
        assert "undo the mark" not in flat(there)


async def test_a_figure_that_is_held_down_answers_one_question(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "load")
        await there.mark()
        await there.press("o")
        for _ in range(4):
            there.app.simulate_key("1")  # as a key repeats: far faster than anybody reads
            await there.drawn()
        await shown(there, "Out early")
        assert there.session.marks[-1].what == "done"
        await there.press("escape")


async def test_undo_and_hold_that_are_held_down_count_once(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "load")
        before = len(there.session.marks)
        for key in "uuu" + "hhh":
            there.app.simulate_key(key)  # as a key repeats
            await there.drawn()
        await there.quiet()
        assert [mark.what for mark in there.session.marks[before:]] == ["take back", "hold"]


async def test_what_was_asked_of_one_person_is_not_marked_of_another() -> None:
    async with world(SAMPLES / "two_ovens.toml", speed=60.0, size=(120, 40)) as there:
        await there.begin()
        first = there.card.person
        await there.press("w")
        other = next(card.person for card in there.state.cards if card.person != first)
        bench = there.app.screen_stack[-2]
        assert isinstance(bench, BenchScreen)
        bench._picked = other  # as an exit that becomes due moves the eye
        await pick(there, "Late")
        await there.press("enter")
        mark = there.session.marks[-1]
        assert (mark.what, mark.person) == ("late", first)
