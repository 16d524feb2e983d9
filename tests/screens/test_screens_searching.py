"""One more tin is looked for in the background, kept in the book, and taken into the plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from screen_world import SAMPLES, World, world

from benchplan.book import BenchBook
from benchplan.model import Plan
from benchplan.model.stop import Iterations
from benchplan.packing.search import usual_stop


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BENCHPLAN_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("benchplan.packing.usual_stop", usual_stop)
    return tmp_path / "home"


@pytest.fixture
def eleven(tmp_path: Path) -> Path:
    """A day of 22 tins of 76 mm: rows put ten of them on the pan, and eleven fit."""
    text = (SAMPLES / "first_tray.toml").read_text(encoding="utf-8")
    lines = []
    for line in text.splitlines():
        for key, value in (
            ("tins", "22"), ("diameter", '"76 mm"'), ("inside", '["318 mm", "243 mm"]'),
            ("outside", '["325 mm", "250 mm"]'), ("gap", '"8 mm"'), ("edge", '"0 mm"'),
            ("shelf", '["400 mm", "330 mm"]'), ("most_tins", "22"), ("mat_tins", "40"),
            ("count", "2"),
        ):  # fmt: skip
            if line.split("=")[0].strip() == key:
                line = f"{key} = {value}"
        lines.append(line)
    path = tmp_path / "eleven.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def tins(there: World) -> list[int]:
    plan = there.session.plan
    assert isinstance(plan, Plan)
    return [tray.tins for tray in plan.trays]


async def test_what_is_found_is_planned_with_and_kept(home: Path, eleven: Path) -> None:
    async with world(eleven) as there:
        await there.until(lambda: there.session.searching, "said what is looked for")
        assert there.session.searching == "looking for 11 on long"
        assert tins(there) == [10, 10, 2]
        await there.until(lambda: "More tins fit" in there.session.message, "found")
        await there.quiet()
        assert tins(there) == [11, 11]
        assert not there.session.searching
        assert not there.session.changed
    book = BenchBook.open(home)
    ((_, places),) = book.known_fits()
    assert len(places) == 11
    book.close()
    async with world(eleven) as there:
        await there.planned()
        assert tins(there) == [11, 11]
        assert "More tins" not in there.session.message


async def test_a_search_goes_on_while_the_day_is_changed_and_ends_when_a_run_begins(
    home: Path, eleven: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchplan.packing.usual_stop", lambda _: Iterations(10**9))
    monkeypatch.setattr("benchplan.packing.search._place", looking_in_vain)
    async with world(eleven) as there:
        await there.until(lambda: there.session.searching, "said what is looked for")
        (search,) = (each for each in there.app.workers if each.name == "fit")
        await there.press("tab", "plus")
        await there.until(lambda: there.session.plan, "planned anew")
        assert search.is_running
        await there.press("4", "enter")
        await there.until(lambda: there.screen_name() == "?", "asked")
        while there.screen_name() == "?":
            await there.press("enter")
        await there.until(lambda: there.session.run, "begun")
        await there.until(lambda: search.is_finished, "ended")
        assert not there.session.searching
    book = BenchBook.open(home)
    assert book.known_fits() == ()
    book.close()


def looking_in_vain(room: object, count: int, stop: object, rng: object) -> tuple[()]:
    assert callable(stop)
    while not stop():
        pass
    return ()
