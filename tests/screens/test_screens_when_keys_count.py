"""When a key counts: once a press, and only for what was on show long enough to be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from screen_world import SAMPLES, asked, filling_while_it_bakes, slow_to_fill, world

from benchplan.screens.bench import SHOWN_FOR_S, BenchScreen
from benchplan.screens.dialogs import Dialog

pytestmark = pytest.mark.usefixtures("home")


async def test_a_second_enter_within_a_second_does_nothing(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        there.seconds[0] += 5
        await there.pilot.press("enter")
        await there.until(lambda: len(there.session.marks) == 1, "marked")
        await there.quiet()
        there.seconds[0] += 0.9
        await there.pilot.press("enter")
        await there.quiet()
        assert len(there.session.marks) == 1
        await there.see_to()
        ticked = len(there.session.marks)
        there.seconds[0] += 0.7
        await there.pilot.press("enter")
        await there.until(
            lambda: len(there.session.marks) > ticked, "marked when it had been shown"
        )


async def test_a_card_that_changes_by_itself_is_not_ticked_before_it_is_seen(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        for _ in range(12):
            if any(hot.kind == "oven" for hot in there.state.hot):
                break
            await there.mark(in_time=False)
        await there.quiet()
        ticked = len(there.session.marks)
        for _ in range(200):
            if there.card.action is not None and there.card.action.what == "unload":
                break
            await there.pass_time(5)  # until the bake is nearly over
        assert there.card.action is not None
        assert there.card.action.what == "unload"
        there.app.simulate_key("space")
        await there.drawn()
        assert len(there.session.marks) == ticked
        assert there.on_card() == "This card has just come up. Look, then press again."
        there.seconds[0] += SHOWN_FOR_S
        there.app.simulate_key("space")
        await there.until(lambda: len(there.session.marks) > ticked, "ticked when it was seen")
        assert there.session.marks[-1].action == there.card.action


async def test_an_enter_meant_for_one_card_does_not_mark_the_other_it_moves_on_to() -> None:
    async with world(SAMPLES / "two_ovens.toml", speed=60.0, size=(120, 40)) as there:
        await there.begin()
        screen = there.app.screen
        assert isinstance(screen, BenchScreen)
        await there.pass_time(400)  # both cards have been there for long, and are overdue

        def done() -> int:
            return [mark.what for mark in there.session.marks].count("done")

        for count in range(1, 12):
            await there.see_to()
            first = screen.focus_person()
            await there.press("enter")
            await there.until(lambda wanted=count: done() == wanted, "marked")
            await there.quiet()
            if screen.focus_person() != first:
                break
        assert screen.focus_person() != first
        await there.see_to()
        there.seconds[0] += 0.9
        there.app.simulate_key("enter")
        await there.quiet()
        assert done() == count
        there.seconds[0] += 1
        there.app.simulate_key("enter")
        await there.until(lambda: done() == count + 1, "marked once it was seen")


async def test_an_enter_that_is_held_down_marks_one_action(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        there.seconds[0] += 5
        for _ in range(60):  # three seconds of a key that repeats
            there.seconds[0] += 0.05
            await there.pilot.press("enter")
        await there.quiet()
        assert len(there.session.marks) == 1
        await there.until(
            lambda: there.on_card() == "Release Enter for a second, then press it again.",
            "why the rest marks nothing",
        )
        await there.press("space")
        assert there.on_card() == ""


@pytest.mark.parametrize(("key", "marks"), [("enter", 1), ("space", 1), ("d", 1)])
async def test_a_key_meant_for_the_card_before_does_nothing_and_the_card_says_so(
    first_tray: Path, key: str, marks: int
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("enter")
        await there.until(lambda: len(there.session.marks) == marks, "marked")
        await there.quiet()
        there.seconds[0] += 0.9  # no key that is held down: that repeats faster
        there.app.simulate_key(key)
        await there.drawn()
        assert len(there.session.marks) == marks
        assert not isinstance(there.app.screen, Dialog)
        assert there.on_card() == "This card has just come up. Look, then press again."


async def test_a_key_does_not_act_on_a_card_that_came_since_the_last_tick(
    first_tray: Path,
) -> None:
    async with world(slow_to_fill(first_tray), speed=60.0) as there:
        await filling_while_it_bakes(there)
        marks = len(there.session.marks)
        while there.card.action is None or there.card.action.what != "unload":
            there.app.tick()
            there.rehearsals[-1].move(1)  # at last the exit takes the card, and it is not drawn yet
        await there.drawn()
        there.seconds[0] += 5
        there.app.simulate_key("space")
        await there.drawn()
        assert there.card.action is not None
        assert there.card.action.what == "unload"
        assert len(there.session.marks) == marks


async def test_an_enter_that_is_held_down_does_not_page_through_the_cautions(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.planned()
        await there.press("4", "enter")
        await asked(there)
        for _ in range(20):
            there.seconds[0] += 0.05
            await there.pilot.press("enter")
        await there.quiet()
        assert isinstance(there.app.screen, Dialog)
        assert there.session.run is None


async def test_an_enter_that_starts_the_day_does_not_mark_its_first_action(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.pilot.press("enter")
        await there.quiet()
        assert there.session.marks == ()
