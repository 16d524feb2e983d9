"""What a stranger's file may do: nothing, until it was seen whole; and values past a limit."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from screen_world import World, world

from benchplan.ceilings import value_warnings
from benchplan.model.warning import warning_words
from benchplan.papers.cautions import DECIDES, SHORT
from benchplan.screens.dialogs import Dialog
from benchplan.views.rows import text_of
from benchplan.views.run_pages import caution_rows

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))
from limit_days import PAST, day_file, day_text

pytestmark = pytest.mark.usefixtures("home")


def writing(out: Path, *more: str) -> list[str]:
    """Return a command that adds the stage of an alarm to a file."""
    code = f"import os; open({str(out)!r}, 'a').write(os.environ['BENCHPLAN_STAGE'] + ' ')"
    return [sys.executable, "-c", code, *more]


def asking(folder: Path, command: list[str], *names: str) -> Path:
    """Write a day that asks for a command and a key."""
    path = day_file(folder, *names)
    quoted = ", ".join(f"'''{word}'''" for word in command)
    asks = f"\n[bench]\nalarm_command = [{quoted}]\n[keys]\ndone = 'f5'\n"
    path.write_text(path.read_text(encoding="utf-8") + asks, encoding="utf-8")
    return path


def words(text: str) -> str:
    return " ".join(text.split())


async def alarm(there: World) -> None:
    """Go on until a tray must come out of the oven."""
    await there.begin()
    while not any(hot.kind == "oven" for hot in there.state.hot):
        await there.mark()
    due = next(hot.until_s for hot in there.state.hot if hot.kind == "oven")
    await there.pass_time(due - there.state.now_s)
    await there.quiet()


async def pages(there: World, key: str, end: str) -> str:
    """Press a key until some words are on the screen; return all that was shown until then."""
    shown = [there.text()]
    while end not in shown[-1]:
        await there.press(key)
        shown.append(there.text())
        assert len(shown) < 400, f"never {end}"
    return "\n".join(shown)


async def test_a_strangers_command_runs_at_no_alarm_and_not_at_the_sound_check(
    tmp_path: Path,
) -> None:
    out = tmp_path / "said"
    async with world(asking(tmp_path, writing(out))) as there:
        await there.planned()
        await there.press("4", "b")
        assert "was started" not in there.text()
        await there.press("escape")
        assert "a command at each alarm and 1 key renamed. That is ignored: T" in words(
            there.text()
        )
        assert "Enter starts the real run" in there.text()  # not F5
        await alarm(there)
        assert there.session.settings is not None
        assert there.session.settings.empty
        assert there.app.bells._command._process is None
    assert not out.exists()


async def test_what_a_file_asks_for_is_taken_over_when_all_of_it_was_shown(
    tmp_path: Path, home: Path
) -> None:
    out = tmp_path / "said"
    many = [f"word {number}" for number in range(60)]
    async with world(asking(tmp_path, writing(out, *many))) as there:
        await there.planned()
        await there.press("4", "t")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "shown")
        assert "Take it over" not in there.text()  # not before the end was on the screen
        seen = await pages(there, "enter", "Enter Take it over into my settings")
        assert all(f'"word {number}"' in seen for number in range(60))
        assert "done: F5 (usually Enter)" in seen
        await there.press("escape")
        assert not (home / "settings.toml").exists()
        await there.press("t")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "shown again")
        await pages(there, "enter", "Enter Take it over into my settings")
        await there.press("enter")
        assert "Taken over into" in there.text()
        await there.press("escape")
        assert "F5 starts the real run" in there.text() or "F5 Start" in there.text()
        assert "ignored" not in there.text()
        await there.press("t")
        assert "nothing to take over" in there.text()
        await there.press("b")
        await there.until(lambda: out.exists() and out.read_text() == "check ", "run")
    async with world(asking(tmp_path, writing(out, *many))) as there:
        await there.planned()
        await there.press("4")
        assert "ignored" not in there.text()


async def test_a_rehearsal_rings_and_runs_the_command_only_when_asked(
    tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rung: list[str] = []
    monkeypatch.setattr("benchplan.screens.app.BenchApp.bell", lambda _: rung.append("bell"))
    out = tmp_path / "said"
    home.mkdir()
    (home / "settings.toml").write_text(f"[bench]\nalarm_command = {writing(out)!r}\n")
    async with world(day_file(tmp_path), speed=60.0) as there:
        await alarm(there)
        assert rung
        assert there.app.bells._command._process is None
        assert not out.exists()
        await there.press("b")
        await there.until(lambda: out.exists() and out.read_text() == "check ", "run")


async def test_bad_settings_are_said_and_stop_nothing(tmp_path: Path, home: Path) -> None:
    home.mkdir()
    (home / "settings.toml").write_text("[keys]\ndone = 'any'\n")
    async with world(day_file(tmp_path)) as there:
        await there.planned()
        assert "settings.toml:2: keys.done" in there.session.message
        assert there.session.message[:40] in there.text()
        await there.begin()


LONG = "Ninety nine names that nobody would ever give to anything that has a name at all, "


async def test_cautions_are_first_and_all_in_reach_whatever_a_file_holds(tmp_path: Path) -> None:
    many = ["word" * 200] * 40
    path = asking(tmp_path, many, "hot", "long", "uncooled", "over the brim", "no air")
    text = path.read_text(encoding="utf-8")
    for name in ("Wet slate", "plain", "flat 70", "shed", "blue", "Quay day"):
        text = text.replace(f"[recipes.{name}]", f'[recipes."{name}"]')
        text = text.replace(f"[ovens.{name}]", f'[ovens."{name}"]')
        text = text.replace(f"[pans.{name}]", f'[pans."{name}"]')
        text = text.replace(f'"{name}"', f'"{(LONG + name)[-99:]}"')
    recipe = (LONG + "plain")[-99:]
    scents = "".join(
        f'[[orders]]\nscent = "{(LONG * 2)[:90]}{n}"\nrecipe = "{recipe}"\ntins = 1\n'
        f'[scents."{(LONG * 2)[:90]}{n}"]\nflash_point = "60 degC"\n'
        for n in range(12)
    )
    path.write_text(f"{text}\n{scents}", encoding="utf-8")
    async with world(path, size=(80, 24)) as there:
        await there.planned()
        await there.press("4")
        first = words(there.text())
        assert "Enter starts the real run" in first
        assert SHORT[0] in first
        assert SHORT[1] in first
        seen = words(await pages(there, "pagedown", "That is all"))
        for caution in SHORT:
            assert caution in seen
        assert DECIDES.split(";")[0] in seen
        assert "make the window taller" not in seen
        assert "Enter starts the real run" in there.text()
        for value in ("214 °C", "3 h", "0 s", "586", "of air between"):
            assert value in seen
        await there.press("enter")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "cautions")
        assert "Read the safety data sheet of every oil" in there.text()


async def test_cautions_are_all_on_the_screen_under_a_tall_band(tmp_path: Path) -> None:
    async with world(day_file(tmp_path, "hot")) as there:
        await there.planned()
        await there.press("4")
        band = "\n".join(
            f"Something with many words has to be said here, line {n}" for n in "12345678"
        )
        there.session.tell(band)
        await there.quiet()
        assert "more lines: PgDn" in there.text()
        await there.press("enter")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "cautions")
        there.session.tell(band)
        await there.drawn()
        seen = await pages(there, "enter", "I have read this: start")
        joined = words(seen.replace("│", " "))
        for row in caution_rows(there.session.day, 72):
            assert words(text_of(row)) in joined
        assert "Something with many words" in there.text()


async def test_values_past_a_limit_are_confirmed_once_before_a_real_run(
    tmp_path: Path, home: Path
) -> None:
    path = day_file(tmp_path, "hot", "uncooled")
    async with world(path) as there:
        await there.planned()
        await there.press("4", "enter")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "cautions")
        seen = await pages(there, "enter", "I have read this: start")
        assert "bakes at 214 °C" in words(seen)
        await there.press("enter")
        await there.until(lambda: "Values past a limit" in there.text(), "asked")
        seen = words(await pages(there, "enter", "I mean all of these: start"))
        assert "bakes at 214 °C" in seen
        assert "cools for 0 s" in seen
        await there.press("escape")
        assert there.session.run is None
        assert not (home / "settings.toml").exists()
        there.app.runs.begin()  # whatever way a start takes, it does not begin unconfirmed
        await there.quiet()
        assert there.session.run is None
        assert "confirm them before you start" in there.text()
        await there.begin()
        await there.press("e")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "stop?")
        await there.press("enter")
        await there.until(lambda: there.session.state().complete, "stopped")
        await there.press("e")
        await there.until(lambda: there.session.run is None, "put away")
        await there.planned()
        await there.press("enter")
        await there.until(lambda: there.session.run, "begun again, unasked")
        there.app.runs.end(there.session.run)
    path.write_text(day_text("hot", "uncooled").replace("214", "216"), encoding="utf-8")
    async with world(path) as there:
        await there.planned()
        await there.press("4", "enter")
        await there.until(lambda: "Values past a limit" in there.text(), "asked anew")
        seen = words(there.text())
        assert "bakes at 216 °C" in seen
        assert "cools for 0 s" not in seen  # confirmed already


async def test_many_values_past_a_limit_leave_orders_and_flow_in_sight(tmp_path: Path) -> None:
    async with world(day_file(tmp_path, *PAST)) as there:
        await there.planned()
        for screen in "13":
            await there.press(screen)
            assert f"! {len(PAST)} values past a limit: the Bench names each" in there.text()
        await there.press("4")
        seen = words(await pages(there, "pagedown", "That is all"))
        for warning in value_warnings(there.session.day):
            assert warning_words(warning, there.session.day.display) in seen


async def test_a_rehearsal_shows_values_past_a_limit_and_asks_nothing(
    tmp_path: Path, home: Path
) -> None:
    async with world(day_file(tmp_path, "hot"), speed=60.0) as there:
        await there.planned()
        await there.press("4")
        assert "1 value past a limit" in there.text()
        await there.press("enter")
        await there.until(lambda: isinstance(there.app.screen, Dialog), "cautions")
        await pages(there, "enter", "I have read this: start")
        await there.press("enter")
        await there.until(lambda: there.session.run, "begun")
    assert not (home / "settings.toml").exists()


async def test_a_confirmation_that_cannot_be_kept_holds_until_one_leaves(
    tmp_path: Path, home: Path
) -> None:
    (home / "settings.toml").mkdir(parents=True)
    async with world(day_file(tmp_path, "hot")) as there:
        await there.begin()
        assert there.session.run is not None
