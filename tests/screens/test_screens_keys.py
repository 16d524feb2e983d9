"""The registry of keys: nothing bound twice, nothing without help, everything reachable."""

from __future__ import annotations

import importlib
import re
from collections import Counter
from pathlib import Path

import pytest
from screen_world import world

from benchplan.keys.footers import FOOTERS
from benchplan.screens import actions
from benchplan.screens.actions import DIALOG, EVERYWHERE, SCREENS, actions_of
from benchplan.screens.app import BenchApp
from benchplan.screens.base import DayScreen
from benchplan.screens.dialogs import Ask, Choose, Fields, Reading
from benchplan.views import frame
from benchplan.views.rows import cells, text_of

PLACES = ("start", *(name for name, _, _ in SCREENS))


def screen_class(name: str) -> type[DayScreen]:
    module = importlib.import_module(f"benchplan.screens.{name}")
    found = getattr(module, f"{name.capitalize()}Screen")
    assert issubclass(found, DayScreen)
    return found


@pytest.mark.parametrize("place", PLACES)
def test_no_key_is_bound_twice(place: str) -> None:
    keys = Counter(
        key for where in (EVERYWHERE, place) for action in actions_of(where) for key in action.keys
    )
    assert [key for key, times in keys.items() if times > 1] == []


def test_no_key_of_a_question_is_bound_twice() -> None:
    keys = Counter(key for action in actions_of(DIALOG) for key in action.keys)
    assert [key for key, times in keys.items() if times > 1] == []


def test_every_action_has_help_that_is_a_sentence() -> None:
    for action in actions.ACTIONS:
        assert action.help, action.id
        assert action.help[0].isupper(), action.id
        assert action.help.endswith("."), action.id
        assert action.keys, action.id
        assert action.where, action.id


def test_digits_only_change_screens() -> None:
    digits = [
        (key, action.id) for action in actions.ACTIONS for key in action.keys if key.isdigit()
    ]
    assert digits == [(str(at), f"go('{name}')") for at, (name, _, _) in enumerate(SCREENS, 1)]


def test_a_letter_works_with_caps_lock_on() -> None:
    for action in actions.ACTIONS:
        letters = {key for key in action.keys if len(key) == 1 and key.isalpha()}
        assert {key.swapcase() for key in letters} == letters, action.id


@pytest.mark.parametrize("place", PLACES)
def test_every_key_of_a_screen_does_something(place: str) -> None:
    found = screen_class(place)
    assert place == found.NAME
    for action in actions_of(place):
        assert hasattr(found, "action_" + action.id.partition("(")[0]), action.id
    bound = {key for key, _ in found()._bindings.key_to_bindings.items()}
    assert bound == {key for action in actions_of(place) for key in action.keys}


def test_every_key_that_works_everywhere_does_something() -> None:
    for action in actions_of(EVERYWHERE):
        assert hasattr(BenchApp, "action_" + action.id.partition("(")[0]), action.id


@pytest.mark.parametrize("kind", [Ask, Choose, Fields, Reading])
def test_every_key_of_a_question_does_something(kind: type) -> None:
    for action in actions_of(DIALOG):
        assert hasattr(kind, "action_" + action.id.partition("(")[0]), action.id


@pytest.mark.parametrize("place", PLACES)
def test_the_footer_names_its_keys_and_is_not_cut_at_80_columns(place: str) -> None:
    own = [(each.key_words, each.text) for each in actions_of(place) if each.text]
    shared = [(each.id, each.key_words, each.text) for each in actions_of(EVERYWHERE) if each.text]
    rows = frame.footer(place, own, shared, 80)
    wide = frame.footer(place, own, shared, 400)
    assert [text_of(row) for row in rows] == [text_of(row) for row in wide]
    assert max(cells(text_of(row)) for row in rows) <= 80
    for _, word in own:
        assert word in text_of(rows[0])


@pytest.mark.parametrize("moment", ["before", "offer", "complete", "none"])
def test_the_bench_names_only_keys_that_do_something_at_that_moment(moment: str) -> None:
    own = actions.footer_of("bench", moment)
    rows = frame.footer("bench", own, actions.shared_footer(True), 80)
    assert all(f"{keys.split()[0]} {word}" in text_of(rows[0]) for keys, word in own)
    assert "Tick" not in text_of(rows[0])


@pytest.mark.parametrize(("place", "moment"), FOOTERS)
def test_no_footer_of_any_moment_is_cut_at_80_columns(place: str, moment: str) -> None:
    own = actions.footer_of(place, moment)
    first = frame.footer(place, own, actions.shared_footer(True), 400)[0]
    assert all(f"{keys.split()[0]} {word}" in text_of(first) for keys, word in own)
    assert cells(text_of(first)) <= 80


def test_the_help_page_and_the_docs_table_hold_every_action() -> None:
    on_help = [words for _, keys in actions.help_groups("bench") for _, words in keys]
    table = actions.docs_table()
    for action in actions.ACTIONS:
        assert action.help in on_help
        assert f"| {action.key_words} | {action.help} |" in table


def test_the_help_page_begins_with_the_open_screen() -> None:
    assert actions.help_groups("flow")[0][0] == "Flow"


@pytest.mark.usefixtures("home")
async def test_a_long_sheet_is_read_with_the_keys_for_pages(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("f1")
        assert isinstance(there.app.screen, Reading)
        first = there.text()
        assert "more lines below: PgDn" in first
        await there.press("f1")
        assert there.text() == first, "it is open already"
        await there.press("pagedown")
        second = there.text()
        assert second != first
        assert re.search(r"more lines below: PgDn; \d+ above: PgUp", second)
        await there.press("end")
        assert re.search(r"The end; \d+ above: PgUp", there.text())
        await there.press("pagedown", "pageup", "pageup", "home")
        assert there.text() == first
        await there.press("pagedown")
        assert there.text() == second
        await there.press("pageup")
        assert there.text() == first


@pytest.mark.usefixtures("home")
async def test_a_list_moves_by_pages_and_a_question_shows_every_key(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press("w")
        assert isinstance(there.app.screen, Choose)

        def chosen() -> str:
            (line,) = [line for line in there.text().splitlines() if "→ " in line]
            return line

        first = chosen()
        await there.press("end")
        last = chosen()
        assert first != last
        await there.press("pagedown")
        assert chosen() == last
        await there.press("pageup")
        assert chosen() not in (first, last)
        await there.press("home")
        assert chosen() == first
        await there.press("f1")
        assert isinstance(there.app.screen, Reading)
        assert "In a question" in there.text()
        await there.press("escape")
        assert isinstance(there.app.screen, Choose)
