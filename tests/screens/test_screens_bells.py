"""What is heard and seen from afar: bells, the maker's command, the band, the terminal's title."""

from __future__ import annotations

import os
import shutil
import sys
from dataclasses import replace
from pathlib import Path

import example_day
import pytest
from real_terminal import Terminal
from screen_world import SAMPLES, World, world

from benchplan import live
from benchplan.model import Action, Mark
from benchplan.screens.dialogs import Dialog
from benchplan.views import frame
from benchplan.views.rows import text_of

DAY, PLAN = example_day.day(), example_day.plan()
HEAT = Mark("done", 5, 5, Action("preheat", (), "countertop"), number=1)
LOAD = Mark("done", 700, 700, Action("load", (1,), "countertop"), number=2)
DUE = 700 + DAY.recipes["standard"].bake_for_s


pytestmark = pytest.mark.usefixtures("home")


@pytest.fixture
def bells(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Collect the bells of the app."""
    rung: list[str] = []
    monkeypatch.setattr("benchplan.screens.app.BenchApp.bell", lambda _: rung.append("bell"))
    return rung


def day_with(folder: Path, command: str) -> Path:
    """Copy the small sample day, and write a command into the maker's settings."""
    (folder / "home").mkdir()
    (folder / "home" / "settings.toml").write_text(f"[bench]\nalarm_command = {command}\n")
    return Path(shutil.copy(SAMPLES / "first_tray.toml", folder))


async def bake(there: World) -> int:
    """Follow the day until something is in the oven; return when it must be out."""
    await there.begin()
    while not any(hot.kind == "oven" for hot in there.state.hot):
        await there.mark()
    return next(hot.until_s for hot in there.state.hot if hot.kind == "oven")


async def test_an_exit_rings_on_every_screen_and_under_a_question(
    tmp_path: Path, bells: list[str]
) -> None:
    path = Path(shutil.copy(SAMPLES / "first_tray.toml", tmp_path))
    async with world(path) as there:
        due = await bake(there)
        bells.clear()
        await there.press("1")
        await there.pass_time(due - 60 - there.state.now_s)
        assert bells == ["bell"]
        assert "Mitts on" in there.text()
        for key in "23456":
            await there.press(key)
            assert "Mitts on" in there.text(), key
        await there.press("question_mark")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "help is open")
        await there.pass_time(due - there.state.now_s)
        assert bells == ["bell"] * 2
        assert "out of countertop now" in there.text()
        await there.pass_time(95)
        assert len(bells) == 3
        assert "Over-baked by 1 min 35 s: take" in there.text()
        assert "+1:35" in there.text()


async def test_the_command_is_run_at_an_alarm_beside_the_bell(
    tmp_path: Path, bells: list[str]
) -> None:
    out = tmp_path / "said"
    code = (
        "import os, sys; "
        f"open({str(out)!r}, 'a').write(os.environ['BENCHPLAN_STAGE'] + ': ' + sys.argv[-1])"
    )
    path = day_with(tmp_path, f"{[sys.executable, '-c', code]!r}")
    async with world(path) as there:
        due = await bake(there)
        await there.pass_time(due - there.state.now_s)
        await there.until(lambda: out.exists() and out.read_text(), "run")
        assert out.read_text().startswith("now: Take tray")
        assert bells


async def test_a_command_that_fails_is_said_once_and_the_count_goes_on(
    tmp_path: Path, bells: list[str]
) -> None:
    path = day_with(tmp_path, '"/no/such/program --loud"')
    async with world(path) as there:
        due = await bake(there)
        await there.pass_time(due - 30 - there.state.now_s)
        text = there.text()
        assert "Mitts on" in text
        assert 'alarm_command "/no/such/program --loud" could not be started' in text
        await there.press("space")
        assert "could not be started" not in there.text()
        await there.pass_time(due - there.state.now_s)
        assert len(bells) >= 2
        assert "could not be started" not in there.text()
        assert there.state.now_s == due


async def test_the_sound_check_rings_runs_the_command_and_says_what_to_hear(
    tmp_path: Path, bells: list[str]
) -> None:
    out = tmp_path / "said"
    code = f"import os; open({str(out)!r}, 'w').write(os.environ['BENCHPLAN_STAGE'])"
    async with world(day_with(tmp_path, f"{[sys.executable, '-c', code]!r}")) as there:
        await there.planned()
        await there.press("4", "b")
        assert bells == ["bell"]
        assert "The bell has rung once, and" in there.text()
        assert "Nothing heard?" in there.text()
        await there.until(lambda: out.exists() and out.read_text() == "check", "run")


async def test_the_sound_check_says_at_once_that_the_command_cannot_be(
    tmp_path: Path, bells: list[str]
) -> None:
    async with world(day_with(tmp_path, '["/no/such/program"]')) as there:
        await there.planned()
        await there.press("4", "b")
        assert "could not be started: No such file" in there.text()
        assert bells == ["bell"]


def titled(now_s: int, *marks: Mark, rehearsal: bool = False) -> str:
    return frame.title(live.state(DAY, PLAN, marks, now_s), DAY.name, rehearsal)


def test_the_title_is_the_alarm_or_the_next_countdown_or_the_day() -> None:
    assert frame.title(None, "", False) == "benchplan"
    assert frame.title(None, "Harbour\x1b fair", True) == "Harbour fair - benchplan"
    assert titled(DUE - 300, HEAT, LOAD) == "5 min: tray 1 out of countertop"
    assert titled(DUE - 45, HEAT, LOAD) == "0:45 Mitts on: tray 1 will come out of countertop"
    assert titled(DUE + 75, HEAT, LOAD, rehearsal=True).startswith(
        "Rehearsal, +1:15 Over-baked: take"
    )
    assert titled(0).endswith("Switch countertop on")


def test_a_far_countdown_does_not_write_a_title_every_second() -> None:
    titles = {titled(now_s, HEAT, LOAD) for now_s in range(720, DUE - 60)}
    assert len(titles) <= (DUE - 720) / 60 + 1


def test_two_exits_are_both_in_the_band_and_no_word_is_cut() -> None:
    state = live.state(DAY, PLAN, (HEAT, LOAD), DUE + 3700)
    (one,) = (hot for hot in state.hot if hot.kind == "oven")
    long = replace(one, place="the old oven in the shed behind the house", trays=(5, 6, 7))
    both = replace(state, hot=(one, long))
    rows, kind = frame.alarm(both, 80)
    text = " ".join(" ".join(text_of(row).split()) for row in rows)
    assert kind == "late"
    assert text.count("Over-baked by 1 h 01 min") == 2
    assert text.count("+1:01:40") == 2
    assert "tray 1 out of countertop" in text
    assert "behind the house" in text.replace(" +1:01:40", "")
    assert all(len(text_of(row)) <= 80 for row in rows)


def test_a_real_terminal_has_its_title_set_and_given_back(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    try:
        terminal.read_until(b"\x1b[22;0t\x1b]0;benchplan\x07")
        os.write(terminal.side, b"q")
        assert terminal.end() == 0
        assert b"\x1b[23;0t" in terminal.said
    finally:
        terminal.close()


def test_a_console_without_titles_is_sent_none(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, term="linux")
    try:
        terminal.read_until(b"Quit")
        os.write(terminal.side, b"q")
        assert terminal.end() == 0
        assert b"\x1b]0;" not in terminal.said
    finally:
        terminal.close()
