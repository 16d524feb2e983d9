"""The app around the day: starting, saving, leaving, too small a window, faults, looks."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import wcag_contrast_ratio as wcag
from rich.color import Color, ColorType
from screen_world import SAMPLES, World, asked, world

from benchplan.files import read_plan
from benchplan.model import Plan
from benchplan.screens.dialogs import Dialog
from benchplan.screens.theme import LOOKS

SCREENS = "123456"


pytestmark = pytest.mark.usefixtures("home")


# --- opening ------------------------------------------------------------------------------------


async def test_a_named_file_opens_on_its_orders(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        assert there.screen_name() == "orders"
        assert "First small day" in there.text()
        assert " am " in there.text()  # the sample's own clock has 12 hours


async def test_the_start_page_opens_a_sample_and_remembers_it() -> None:
    async with world(None) as there:
        await there.until(lambda: "Winter fair" in there.text(), "listed")
        assert "Recent days" not in there.text()
        await there.press("down", "enter")
        await there.planned()
        assert there.session.day is not None
        assert there.session.day.name == "Winter fair"
    async with world(None) as there:
        await there.until(lambda: "Recent days" in there.text(), "remembered")
        await there.press("up", "enter")
        await there.planned()
        assert there.session.day is not None
        assert there.session.day.name == "Winter fair"


async def test_without_a_day_no_key_leads_to_where_there_is_no_way_back() -> None:
    async with world(None) as there:
        await there.until(lambda: "Winter fair" in there.text(), "listed")
        assert there.text().splitlines()[-1].split() == ["6", "Book", "?", "Help", "Q", "Quit"]
        for key in "12345":
            await there.press(key)
            assert there.screen_name() == "start", key
            assert "Open a day first" in there.text()
        await there.press("6")
        await there.quiet()
        assert there.screen_name() == "book"
        assert "Esc Start page" in there.text()
        await there.press("escape")
        assert there.screen_name() == "start"
        assert "Open a day first" not in there.text()


async def test_a_screen_asked_for_while_the_file_is_read_stays(first_tray: Path) -> None:
    async with world(None) as there:
        app = there.app
        app._path = first_tray  # as if started with it, before the file is read
        await there.press("4")
        assert there.screen_name() == "bench"
        app.open_path(first_tray)
        await there.planned()
        assert there.screen_name() == "bench"
        assert "Enter starts the real run" in there.text()


async def test_what_was_said_of_one_screen_does_not_stay_on_the_next(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("s")
        assert "Nothing has changed" in there.text()
        await there.press("2")
        assert "Nothing has changed" not in there.text()


@pytest.mark.parametrize("sample", [0, 1, 2])
async def test_a_new_day_is_made_from_a_sample(tmp_path: Path, sample: int) -> None:
    async with world(None) as there:
        await there.until(lambda: "New day" in there.text(), "listed")
        await there.press("down", "down", "down", "enter")
        await asked(there)
        await there.press(*["down"] * sample, "enter")
        await asked(there)
        await there.press(*"Our day", "tab", *"2027-02-03", "enter")
        await there.planned()
        assert there.session.day is not None
        assert there.session.day.name == "Our day"
        assert there.session.day.start.date() == date(2027, 2, 3)
        assert there.session.path == tmp_path / "our_day.toml"
    assert read_plan(tmp_path / "our_day.toml").day == there.session.day


async def test_a_new_day_never_writes_over_a_file(tmp_path: Path) -> None:
    (tmp_path / "our_day.toml").write_text("mine")
    async with world(None) as there:
        await there.until(lambda: "New day" in there.text(), "listed")
        await there.press("down", "down", "down", "enter")
        await asked(there)
        await there.press("enter")
        await asked(there)
        await there.press(*"Our day", "enter")
        await there.until(lambda: "exists already" in there.text(), "refused")
    assert (tmp_path / "our_day.toml").read_text() == "mine"


async def test_a_recent_file_that_is_wrong_by_now_says_so_and_the_page_stays(
    first_tray: Path,
) -> None:
    async with world(first_tray) as there:
        await there.planned()
    first_tray.write_text(first_tray.read_text().replace("tins = 14", "tins = 'many'"))
    async with world(None) as there:
        await there.until(lambda: "Recent days" in there.text(), "remembered")
        await there.press("up", "enter")
        await there.until(lambda: "orders[1].tins" in there.text(), "said")
        assert there.screen_name() == "start"


# --- saving -------------------------------------------------------------------------------------


async def test_save_writes_a_changed_day_and_keeps_the_comments(first_tray: Path) -> None:
    before = first_tray.read_text()
    async with world(first_tray) as there:
        await there.planned()
        await there.press("s")
        await there.until(lambda: "Nothing has changed" in there.text(), "nothing to save")
        await there.press("plus")
        await there.planned()
        assert "First small day *" in there.text()
        await there.press("s")
        await there.until(lambda: "Saved:" in there.text(), "saved")
        assert "First small day *" not in there.text()
    after = first_tray.read_text()
    assert read_plan(first_tray).day.orders[0].tins == 15
    assert after != before
    assert [line for line in before.splitlines() if line.startswith("#")] == [
        line for line in after.splitlines() if line.startswith("#")
    ]


async def test_a_sample_is_never_written_to(tmp_path: Path) -> None:
    before = (SAMPLES / "first_tray.toml").read_text()
    async with world(SAMPLES / "first_tray.toml") as there:
        await there.planned()
        await there.press("plus", "s")
        await asked(there)
        await there.press(*"Mine", "enter")
        await there.until(lambda: (tmp_path / "mine.toml").is_file(), "saved")
        await there.planned()
        assert there.session.path == tmp_path / "mine.toml"
    assert (SAMPLES / "first_tray.toml").read_text() == before
    assert read_plan(tmp_path / "mine.toml").day.orders[0].tins == 15


async def test_save_as_makes_next_times_day(
    first_tray: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with world(Path(first_tray.name)) as there:
        await there.planned()
        await there.press("a")
        await asked(there)
        assert "into ." not in there.text()
        assert str(tmp_path)[:20] in there.text()
        await there.press(*"Next", "tab", *"2026-13-01", "enter")
        await there.until(lambda: "Type a date such as" in there.text(), "refused")
        await there.press("tab", "tab", "end", *["backspace"] * 10, *"2026-12-24", "enter")
        await there.until(lambda: (tmp_path / "next.toml").is_file(), "saved")
        await there.planned()
        assert there.session.day is not None
        assert there.session.day.name == "Next"
    new = read_plan(tmp_path / "next.toml").day
    assert new.start.date() == date(2026, 12, 24)
    assert new.start.time() == read_plan(first_tray).day.start.time()


# --- leaving ------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["q", "Q", "ctrl+q", "ctrl+c"])
async def test_leaving_asks_while_a_run_is_on(first_tray: Path, key: str) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.press(key)
        await asked(there)
        assert "A run is on" in there.text()
        await there.press("escape")
        await there.until(lambda: there.screen_name() == "bench", "stayed")
        await there.press(key)
        await asked(there)
        await there.press("enter")
        await there.until(lambda: there.app._exit, "left")
        assert there.app.return_code == 0


async def test_leaving_asks_while_a_change_is_not_saved(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("plus")
        await there.planned()
        await there.press("q")
        await asked(there)
        assert "not saved" in there.text()
        await there.press("enter")
        await there.until(lambda: there.app._exit, "left")


async def test_leaving_does_not_ask_when_there_is_nothing_to_lose(first_tray: Path) -> None:
    async with world(first_tray) as there:
        await there.planned()
        await there.press("q")
        await there.until(lambda: there.app._exit, "left")


# --- what must never stop the count -------------------------------------------------------------


async def test_a_fault_in_a_screen_is_logged_and_the_count_goes_on(
    first_tray: Path, monkeypatch: pytest.MonkeyPatch, home: Path
) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.pass_time(1)
        await there.until(lambda: "Nothing is hot" in there.text(), "the run on show")
        with monkeypatch.context() as broken:
            broken.setattr(
                "benchplan.views.bench.hot_rows", lambda *_: (_ for _ in ()).throw(KeyError("x"))
            )
            await there.pass_time(1)
        assert len(there.faults) == 1
        await there.pass_time(1)
        assert len(there.faults) == 1
        assert "benchplan.log" in there.text()
        assert there.state.now_s == 3
        assert "KeyError" in (home / "benchplan.log").read_text()
        there.faults.clear()


async def test_a_job_that_fails_says_so_in_the_band(
    first_tray: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> Plan:
        raise RuntimeError("the search lost its way")

    monkeypatch.setattr("benchplan.screens.app.plan_of", broken)
    async with world(first_tray) as there:
        await there.until(lambda: "the search lost its way" in there.text(), "said")
        there.faults.clear()


async def test_without_a_bench_book_a_day_can_be_planned_but_not_begun(
    first_tray: Path, home: Path
) -> None:
    home.write_text("a file where the folder should be")
    async with world(first_tray) as there:
        await there.planned()
        assert "BENCHPLAN_HOME" in there.text()
        await there.press("4", "enter")
        await there.quiet()
        while isinstance(there.app.screen, Dialog):
            await there.press("enter")
        await there.until(lambda: "Can't start the run" in there.text(), "refused")
        assert there.session.run is None


# --- how it looks -------------------------------------------------------------------------------


async def test_a_small_window_says_so_and_still_counts(first_tray: Path) -> None:
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.mark()
        await there.pilot.resize_terminal(60, 20)
        await there.pilot.pause()
        assert "This window is 60 by 20" in there.text()
        assert there.card.words[:20] in there.text()
        before = there.text()
        await there.pass_time(1)
        assert there.text() != before
        await there.pilot.resize_terminal(80, 24)
        await there.pilot.pause()
        assert "This window is" not in there.text()


async def every_screen(there: World) -> list[str]:
    """Open every screen, the help and a question, and return what each one shows."""
    shown = []
    for key in SCREENS:
        await there.press(key)
        await there.quiet()
        shown.append(there.text())
    for key in ("question_mark", "o"):
        await there.press(key)
        await there.quiet()
        shown.append(there.text())
        await there.press("escape")
    return shown


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_without_colour_nothing_crashes(
    first_tray: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with world(first_tray, speed=60.0, size=size) as there:
        assert there.app.theme == "without colour"
        await there.begin()
        await there.mark()
        for shown in await every_screen(there):
            assert shown.strip()


async def test_the_linux_console_is_given_only_glyphs_that_it_has(
    first_tray: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "linux")
    async with world(first_tray, speed=60.0) as there:
        await there.begin()
        await there.mark()
        for shown in await every_screen(there):
            beyond = {char for char in shown if ord(char) > 126}
            # box drawing, shades and the few signs that the console's common fonts hold
            assert beyond <= set("─│┌┐└┘├┤┬┴┼═║█░▒■•·°½¼▲▼→←≈≤≥±"), beyond


def rgb(colour: Color) -> tuple[float, float, float]:
    assert colour.type is ColorType.TRUECOLOR
    assert colour.triplet is not None
    red, green, blue = (part / 255 for part in colour.triplet)
    return red, green, blue


def faint(there: World) -> list[str]:
    """Return every text on the screen whose contrast is below 7:1, as it is drawn."""
    found = []
    for strip in there.app.screen._compositor.render_strips():
        for segment in strip:
            style = segment.style
            if not segment.text.strip(" ─│┌┐└┘") or style is None:
                continue
            assert style.color is not None, segment
            assert style.bgcolor is not None, segment
            ratio = wcag.rgb(rgb(style.color), rgb(style.bgcolor))
            if ratio < 7:
                found.append(f"{segment.text!r} {ratio:.2f}")
    return found


@pytest.mark.parametrize("look", LOOKS)
async def test_every_text_that_is_drawn_reads_at_seven_to_one(look: str) -> None:
    async with world(SAMPLES / "winter_fair.toml", speed=60.0, size=(120, 40)) as there:
        there.app.theme = look
        await there.planned()
        faults = faint(there)
        await there.begin()
        while not any(hot.kind == "oven" for hot in there.state.hot):
            await there.mark()
        bake_end = next(hot.until_s for hot in there.state.hot if hot.kind == "oven")
        for moment in (bake_end - 20, bake_end + 10, bake_end + 200):
            await there.pass_time(moment - there.state.now_s)
            for key in SCREENS:
                await there.press(key)
                await there.quiet()
                faults += faint(there)
        await there.press("4", "d")
        await asked(there)
        faults += faint(there)
        await there.press("escape", "question_mark")
        await asked(there)
        faults += faint(there)
        assert faults == []
