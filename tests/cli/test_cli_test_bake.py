"""``benchplan test-bake``: two tins baked by looking, and their minutes where the recipe stands."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.files import read_plan
from benchplan.model import Action, Item, ItemId
from benchplan.planner import plan_day

Capture = pytest.CaptureFixture[str]
ROOT = Path(__file__).parents[2]
BAKED_S = 377


@pytest.fixture
def day(sample: str, tmp_path: Path) -> Path:
    path = tmp_path / "my day.toml"
    shutil.copy(sample, path)
    return path


def refused(capsys: Capture, *arguments: str) -> str:
    assert cli.main(["test-bake", *arguments]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Internal error" not in said.err
    return said.err


def written(capsys: Capture, day: Path) -> Path:
    assert cli.main(["test-bake", str(day), "standard"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    path, *words = said.out.splitlines()
    assert f"`benchplan open '{path}'` bakes two tins" in words[0]
    assert f"`benchplan test-bake '{day}' standard --found`" in words[-1]
    return Path(path)


def bake(path: Path, scrapped: bool = False, end: bool = True, speed: float = 1.0) -> None:
    """Carry the test bake out until its tins are out of the oven."""
    plan_file = read_plan(path)
    clock = ManualClock(plan_file.day.start)
    session = Session(clock, speed, lambda start, speed: clock)
    carrier = Carrier(session)
    session.open_file(plan_file)
    session.planned(plan_file.day, plan_day(plan_file.day))
    carrier.look_for_unfinished()
    if session.offer is not None:
        carrier.end(session.offer[0])
        session.planned(plan_file.day, plan_day(plan_file.day))
    carrier.begin()
    for order in plan_file.day.orders:
        assert carrier.tick(Action("fill", (1,)), 1, Item(ItemId.BEADS_DRY, order.scent))
    out = False
    while not out:
        action = session.possible()[0]
        out = action.what == "unload"
        clock.move(BAKED_S + plan_file.day.times.unload_s if out else 1000)
        assert carrier.done(action, 1), session.message
        if out and scrapped:
            assert carrier.mark("scrapped", action, amount=2, note="too dark")
    if end:
        assert session.run is not None
        carrier.end(session.run)
    carrier.close()


def test_the_minutes_found_go_into_the_plan(day: Path, capsys: Capture) -> None:
    bake(written(capsys, day))
    assert cli.main(["test-bake", str(day), "--found"]) == 0, capsys.readouterr().err
    said = capsys.readouterr().out
    assert said.startswith(f"{day}: bake_for of standard was 6 min and is 6 min 15 s now.\n")
    assert "look at the first full tray too" in said
    assert read_plan(day).day.recipes["standard"].bake_for_s == 375
    assert cli.main(["test-bake", str(day), "--found"]) == 0
    assert "is 6 min 15 s already" in capsys.readouterr().out


def test_nothing_is_written_before_a_bake_that_ended_well(day: Path, capsys: Capture) -> None:
    before = day.read_bytes()
    found = (str(day), "standard", "--found")
    assert "No test bake of standard" in refused(capsys, *found)
    path = written(capsys, day)
    bake(path, speed=60.0)
    assert "No test bake of standard" in refused(capsys, *found), "a rehearsal bakes nothing"
    bake(path, end=False)
    assert "run 2, is still on" in refused(capsys, *found)
    bake(path, scrapped=True)
    assert "2 tins scrapped" in refused(capsys, *found)
    assert day.read_bytes() == before


def test_the_recipe_is_named_where_there_are_several(tmp_path: Path, capsys: Capture) -> None:
    day = tmp_path / "fair.toml"
    shutil.copy(ROOT / "sample_runs" / "winter_fair.toml", day)
    several = list(read_plan(day).day.recipes)
    said = refused(capsys, str(day))
    assert all(recipe in said for recipe in several)
    assert "Did you mean" in refused(capsys, str(day), several[0] + "x")
    assert cli.main(["test-bake", str(day), several[-1]]) == 0
    made = Path(capsys.readouterr().out.splitlines()[0])
    assert made.parent == tmp_path
    made.write_text("mine", encoding="utf-8")
    assert "there already" in refused(capsys, str(day), several[-1])
