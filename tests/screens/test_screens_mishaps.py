"""What goes otherwise than planned, by the keys of the Bench: what is asked, marked and shown."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from screen_world import World, filling_while_it_bakes, slow_to_fill, world

from benchplan.book import BenchBook
from benchplan.carrying.safety import LOOKED_AT
from benchplan.model import Action, Item, ItemId, Mark, Reason
from benchplan.screens.dialogs import Dialog

DOWN = "down"


pytestmark = pytest.mark.usefixtures("home")


def last(there: World) -> Mark:
    return there.session.marks[-1]


def asked(there: World) -> bool:
    return isinstance(there.app.screen, Dialog)


def flat(there: World) -> str:
    """Return what is on the screen as running text."""
    return " ".join(there.text().replace("│", " ").split())


async def shown(there: World, words: str) -> None:
    """Wait until some words are on the screen."""
    await there.until(lambda: words in flat(there), f"on the screen: {words}")


async def until(there: World, what: str) -> Action:
    """Mark, ahead of time, until the card in focus says to do something of a kind."""
    while there.card.action is None or there.card.action.what != what:
        if there.card.action is None:
            await there.pass_time(20)
        else:
            await there.mark(in_time=False)
    await there.quiet()
    return there.card.action


async def happened(there: World, at: int) -> None:
    """Choose a line of what may have happened."""
    await there.press("w", *[DOWN] * at)
    assert asked(there)
    await there.press("enter")


async def test_hands_are_held_and_go_on_and_the_oven_does_not_wait(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("h")
        assert last(there).what == "hold"
        await shown(there, "Nothing is in an oven: nothing spoils")
        await shown(there, "Held since 9:00 am: hands stop, the oven does not. H resumes.")
        assert " H Go on" in there.text().splitlines()[-2]
        await there.pass_time(70)
        await there.press("enter")
        await shown(there, "H resumes first")
        assert [mark.what for mark in there.session.marks] == ["hold"]
        await there.press("1")
        await shown(there, "Held since 9:00 am")  # on every screen
        await there.press("4", "h")
        assert last(there).what == "go on"
        assert "Held since" not in there.text()
        await there.press("u")
        assert there.state.held_s == 0
        await shown(there, "Taken back: Going on.")


async def test_a_minute_more_is_one_key_and_a_held_key_is_one_minute(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("plus")
        await shown(there, "No bake is on that could be made longer.")
        load = await until(there, "load")
        await there.mark()
        assert "+ Longer" in there.text().splitlines()[-2]
        await there.press("plus")
        for _ in range(10):
            there.seconds[0] += 0.05
            there.app.simulate_key("plus")
            await there.drawn()
        more = [mark for mark in there.session.marks if mark.what == "longer"]
        assert [(mark.action, mark.amount) for mark in more] == [
            (Action("unload", load.trays, load.place), 60)
        ]
        await shown(there, "1 min more before: Take tray 1 out of countertop. U takes it back.")
        await there.press("h")
        await shown(there, "Most urgent: take tray 1 out of countertop at")


async def test_an_exit_is_marked_first_and_how_it_baked_is_asked_after(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "load")
        await there.mark()
        out = await until(there, "unload")
        await there.pass_time(max(0, there.card.begin_s - there.state.now_s) + 5)
        await there.press("enter")
        assert (last(there).what, last(there).action) == ("done", out)
        await shown(there, "Tray 1: how baked?")
        await there.press("escape")
        assert (last(there).what, last(there).action) == ("done", out)
        moved = await until(there, "transfer")
        await there.press("enter")  # asked again before its tins are moved
        await shown(there, "Tray 1: how baked?")
        await there.press(DOWN, "enter")
        await shown(there, "Tray 1: back into countertop")
        await there.press("backspace", "2", "enter")
        found = last(there)
        assert (found.what, found.action, found.amount) == ("back in", out, 120)
        await shown(there, "Back in for 2 min: tray 1. U takes it back.")
        await there.press("u")
        await shown(there, "Tray 1 would count as not in countertop")
        await there.press("enter")
        assert moved == there.card.action
        await there.press("enter", *[DOWN] * 3, "enter", "enter")
        found = there.session.marks[-2]  # then what was asked for is marked as well
        assert (found.what, found.item, found.reason) == (
            "pass over", LOOKED_AT, Reason.LOOKED_LATER,
        )  # fmt: skip
        assert (last(there).what, last(there).action) == ("done", moved)


async def test_over_baked_tins_are_looked_at_and_scrapped(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.press("enter", *[DOWN] * 2, "enter")
        await there.press("9", "enter")
        await shown(there, "Type 1 to 7: tray 1 holds 7 tins.")
        await there.press("backspace", "3", "enter")
        gone = last(there)
        assert (gone.what, gone.action and gone.action.trays, gone.amount, gone.reason) == (
            "scrapped", (1,), 3, Reason.OVER_BAKED,
        )  # fmt: skip
        await happened(there, 3)
        await shown(there, "Tray 1: Night garden, 4 tins")
        await there.press("enter", *[DOWN] * 4, "enter", *"bent", "enter", "1", "enter")
        assert (last(there).note, last(there).amount) == ("bent", 1)
        moved = await until(there, "transfer")
        await there.press("enter")  # what was scrapped as over-baked was looked at
        assert (last(there).what, last(there).action) == ("done", moved)


async def test_the_landing_place_is_ticked_or_passed_over_before_a_load(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        load = await until(there, "load")
        await there.pass_time(max(0, there.card.begin_s - there.state.now_s))
        await shown(there, "[!] A stand place is free")
        await there.press("enter")
        assert last(there).action != load
        await shown(there, "First: Oven thermometer shows the set temperature. Space ticks")
        await there.press("space", "enter")
        await shown(
            there, "First: A stand place is free. Space ticks what is next; P passes it over."
        )
        await there.press("p", DOWN, "enter")
        found = last(there)
        assert (found.what, found.action, found.item, found.reason) == (
            "pass over", load, Item(ItemId.LANDING_FREE), Reason.NOT_NEEDED,
        )  # fmt: skip
        await shown(there, "[-] A stand place is free")
        await there.press("enter")
        assert (last(there).what, last(there).action) == ("done", load)
        await shown(there, "The oven's thermometer")
        await shown(there, "The recipe bakes at ")
        before = there.session.marks
        await there.press(*"hot", "enter")
        assert '"hot" is not a temperature.' in there.text()
        await there.press("escape")
        assert not asked(there)
        assert there.session.marks == before
        await happened(there, 4)
        await there.press(*"330", "enter")
        found = last(there)
        assert (found.what, found.action and found.action.place) == ("reading", "countertop")
        assert round(found.amount, 1) == 165.6  # 330 F
        await shown(there, "countertop shows 330 °F. U takes it back.")


async def test_what_is_not_dry_leaves_the_day_and_its_jar_dries_on(
    first_tray: Path, home: Path
) -> None:
    async with world(first_tray) as there:
        await there.begin()
        await until(there, "fill")
        await there.press("enter")
        await shown(there, "beads dry: nothing clings")
        await shown(there, "P if they are not dry.")
        before = there.session.marks
        await there.press("d")
        assert not asked(there)  # how long ago is asked once it may be done
        await shown(there, "beads dry: nothing clings")
        await there.press("p", "enter")  # test again: nothing is marked
        assert there.session.marks == before
        await there.press("p", DOWN, "enter")
        found = last(there)
        assert (found.what, found.action) == ("wet", Action("fill", (1, 2)))
        await shown(there, "Its jar is under Jars, drying since today.")
        today = there.session.local_now().date()
    book = BenchBook.open(home)
    assert [(jar.scent, jar.started, jar.failed) for jar in book.jars()] == [
        ("Night garden", today, (1, found.number))
    ]
    book.close()


async def test_a_rehearsal_has_no_jars(first_tray: Path, home: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "fill")
        await there.press("p", DOWN, "enter")
        assert last(there).what == "wet"
    book = BenchBook.open(home)
    assert book.jars() == ()
    book.close()


async def test_what_happened_is_chosen_from_one_list(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await happened(there, 0)
        await there.press("enter")
        assert (last(there).what, last(there).amount) == ("late", 300)
        await happened(there, 2)
        await shown(there, "No tray that came out of an oven is still on the stand.")
        await until(there, "fill")
        await happened(there, 1)
        await there.press("8", "enter")
        await shown(there, "Of this tray 0 to 6 tins can be filled so far.")
        await there.press("backspace", "3", "enter")
        assert (last(there).what, last(there).amount) == ("filled", 3)
        await shown(there, "3 tins of tray 1 filled so far. U takes it back.")
        await happened(there, 10)
        await there.press("enter")
        await shown(there, "Nobody else is here")
        await happened(there, 9)
        await there.press(*"Ada", "enter")
        assert (last(there).what, last(there).note) == ("person comes", "Ada")
        assert there.session.names == {2: "Ada"}
        await happened(there, 7)
        await there.press("enter")
        assert (last(there).what, last(there).action) == (
            "oven out", Action("preheat", (), "countertop"),
        )  # fmt: skip
        await shown(there, "countertop is out of the day. Leaves the day: trays 1 and 2.")
        await there.press("u", "u")
        assert there.session.names == {}


async def test_people_have_names_and_one_of_several_can_leave(first_tray: Path) -> None:
    text = first_tray.read_text(encoding="utf-8")
    first_tray.write_text(text.replace("people = 1 ", "people = 2 "), encoding="utf-8")
    async with world(first_tray, speed=60.0, size=(120, 40)) as there:
        await there.begin()
        person = there.state.focus
        await happened(there, 11)
        await there.press(*"Ada", "enter")
        await shown(there, f"→ Person {person}, Ada")
        assert there.session.marks == ()
        await happened(there, 10)
        assert f"Person {person}, Ada leaves for the day?" in there.text()
        await there.press("enter")
        assert (last(there).what, last(there).person) == ("person goes", person)


async def test_a_run_is_stopped_or_aborted_by_one_key(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.begin()
        await there.press("e", "enter")
        assert there.state.ending == "stop"
        await shown(there, "Stopped for today.")  # nothing was hot
        await there.press("u", "e", DOWN, "enter")
        await shown(there, "Abort: switch every oven off now")
        assert there.state.ending == ""
        there.seconds[0] += 0.1
        there.app.simulate_key("enter")  # from a key that is still down: no answer
        await there.drawn()
        assert asked(there)
        await there.press("enter")
        assert there.state.ending == "abort"
        await shown(there, "Aborted: switch every oven off now.")
        await there.press("e")
        await there.until(lambda: there.session.run is None, "put away")


async def test_an_alarm_stands_above_every_question(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        for key in ("w", "d", "o", "e", "p"):
            await there.press(key)
            assert asked(there), key
            await there.pass_time(max(1, there.card.begin_s - there.state.now_s))
            assert "Take tray 1 out of countertop now" in there.text().splitlines()[0], key
            await there.press("escape")


async def test_while_hands_are_held_an_exit_shows_the_key_that_marks_it(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.press("h")
        await shown(there, "Held since")
        assert " H Go on  Enter Done  Space Tick " in there.text().splitlines()[-2]


async def test_under_the_tallest_band_the_checklist_of_an_exit_is_on_the_screen(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.press("h")
        while there.state.now_s <= there.card.end_s:
            await there.pass_time(30)
        there.session.tell("1 min more before: Take tray 1 out of countertop. U takes it back.")
        await shown(there, "min more")
        await shown(there, "Held since")
        for check in there.card.checklist:
            assert check.item.own[:20] in there.text()


async def test_a_long_list_leaves_room_for_an_alarm_and_for_its_keys(first_tray: Path) -> None:
    text = first_tray.read_text(encoding="utf-8").replace("tins = 14", "tins = 105")
    first_tray.write_text(text, encoding="utf-8")
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.pass_time(max(1, there.card.begin_s - there.state.now_s) + 100)
        await happened(there, 3)
        await there.quiet()
        lines = there.text().splitlines()
        assert "Over-baked by" in lines[0]
        assert re.search(r"1 of 15: Up and Down; \d+ more below", there.text())
        assert "Enter Take   Esc Cancel" in there.text()
        assert "└" in there.text()  # the box is whole
        await there.press("up")
        await shown(there, "15 of 15: Up and Down; ")
        assert re.search(r"; \d+ more above", there.text())


async def test_an_answer_is_about_the_card_that_the_question_was_opened_for(
    first_tray: Path,
) -> None:
    async with world(slow_to_fill(first_tray), speed=60.0) as there:
        fill = await filling_while_it_bakes(there)
        await happened(there, 1)
        while there.card.action is None or there.card.action.what != "unload":
            await there.pass_time(5)  # the bake is nearly over, and takes the card
        await there.press(*"3", "enter")
        await there.until(lambda: last(there).what == "filled", "marked")
        assert (last(there).action, last(there).amount) == (fill, 3)
        await happened(there, 1)
        await shown(there, "How many tins of this tray are filled so far?")
        await there.press(*"3", "enter")
        await shown(there, "No tray is being filled.")  # that question came with the exit


async def test_a_question_says_when_what_it_is_about_is_gone(first_tray: Path) -> None:
    async with world(slow_to_fill(first_tray), speed=60.0) as there:
        fill = await filling_while_it_bakes(there)
        await happened(there, 1)
        there.app.runs.done(fill, 1)  # by whatever else marks this run
        await there.quiet()
        marks = len(there.session.marks)
        await there.press(*"3", "enter")
        await shown(there, "Fill tray 2: this is not to be done any more, so nothing was marked.")
        await there.press("escape", "u", "d")
        assert asked(there)
        there.app.runs.done(fill, 1)
        await there.quiet()
        marks = len(there.session.marks)
        await there.press("0", "enter")
        assert not asked(there)
        assert len(there.session.marks) == marks


async def test_a_day_ends_with_a_look_at_what_was_set_aside(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        runs, left = there.app.runs, there.session.possible
        while not all(card.words.startswith("Check trays 1 and 2") for card in there.state.cards):
            await there.see_to()
            assert runs.done(left()[0], 1, reason=Reason.NOT_CHECKED)
            await there.quiet()
        assert not there.state.complete
        await there.press("enter")  # the one key that is pressed all day asks of each
        await shown(there, "Set aside: what did you check?")
        await there.press("enter")  # once too often: nothing is said by it
        assert last(there).what == "done"
        await there.press("enter", "2")
        assert (last(there).what, last(there).action) == ("checked", Action("pack", (1,)))
        await there.press("enter")
        await shown(there, "Tray 2: checked, no tin is hot")
        await there.press(DOWN, "enter")
        assert there.state.complete


async def test_what_was_hot_at_an_abort_is_on_the_page_until_it_was_checked(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await until(there, "unload")
        await there.press("e", DOWN, "enter", "enter")
        await shown(there, "Hot at that moment: tray 1 in countertop")
        await there.press("e")
        await shown(there, "End this run? It stays in the book")
        await shown(there, "Not checked yet: tray 1 in countertop")
        await there.press("escape")
        await happened(there, 5)
        assert (last(there).what, last(there).action) == ("checked", Action("pack", (1,)))
        assert "Hot at that moment: tray 1" not in flat(there)


async def test_under_baked_tins_go_back_into_an_oven_that_is_too_hot_only_after_a_question(
    first_tray: Path,
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        out = await until(there, "unload")
        await there.mark()
        assert there.app.runs.mark("reading", out, amount=231.0)
        await shown(there, "enter what it shows (W, Thermometer)")
        await happened(there, 2)
        await shown(there, "countertop is too hot")
        await there.press("escape")
        assert last(there).what != "back in"
        await happened(there, 2)
        await there.press("2")
        await shown(there, "For how many minutes more?")
        await there.press("enter")
        assert (last(there).what, last(there).reason) == ("back in", Reason.WENT_IN_EARLY)
