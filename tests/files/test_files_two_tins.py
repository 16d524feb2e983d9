"""A test bake out of a plan, and the minutes found, written where the recipe stands."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchplan.errors import BenchplanError
from benchplan.files import read_plan, read_text, two_tins
from benchplan.model import Plan
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan

SAMPLES = Path(__file__).parents[2] / "sample_runs"


@pytest.fixture
def samples(tmp_path: Path) -> Path:
    for path in SAMPLES.glob("*.toml"):
        shutil.copy(path, tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("name", "recipe"),
    [("first_tray", "standard"), ("winter_fair", "standard"), ("two_ovens", "standard")],
)
def test_two_filled_tins_of_one_scent_bake_twice_as_long_at_most(
    samples: Path, name: str, recipe: str
) -> None:
    plan_file = read_plan(samples / f"{name}.toml")
    path = two_tins.write_two_tins(plan_file, recipe)
    found = read_plan(path)
    day = found.day
    (order,) = day.orders
    assert (order.recipe, order.tins, order.filled) == (recipe, 2, 2)
    assert day.recipes[recipe].bake_for_s == 2 * plan_file.day.recipes[recipe].bake_for_s
    assert day.checklist.get("unload") == plan_file.day.checklist.get("unload")
    assert (day.people, day.breaks, day.finish_by_s, day.queue) == (1, (), None, ())
    plan = plan_day(day, Iterations(1))
    assert isinstance(plan, Plan)
    (tray,) = plan.trays
    assert (tray.tins, tray.fill_count) == (2, 0)
    assert check_plan(resolved(day), plan) == []
    assert two_tins.write_two_tins(plan_file, recipe) == path  # again, over its own


def test_a_file_of_the_maker_is_never_written_over(samples: Path) -> None:
    plan_file = read_plan(samples / "first_tray.toml")
    path = two_tins.two_tins_path(plan_file, "standard")
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(BenchplanError, match="there already"):
        two_tins.write_two_tins(plan_file, "standard")
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_recipe_that_is_not_there_gets_the_nearest() -> None:
    plan_file = read_plan(SAMPLES / "first_tray.toml")
    with pytest.raises(BenchplanError, match=r'no recipe "standart"\. Did you mean "standard"'):
        two_tins.two_tins(plan_file, "standart")
    with pytest.raises(BenchplanError, match="Its recipes: standard"):
        two_tins.write_bake_for(plan_file, "xxx", 300)


def test_the_minutes_go_into_the_plan_with_its_remark_kept(samples: Path) -> None:
    path = samples / "first_tray.toml"
    before = path.read_text(encoding="utf-8")
    name, old, new = two_tins.write_bake_for(read_plan(path), "standard", 378)
    assert (name, old, new) == (str(path), "6 min", "6 min 20 s")
    after = path.read_text(encoding="utf-8")
    changed = [
        (one, other)
        for one, other in zip(before.splitlines(), after.splitlines(), strict=True)
        if one != other
    ]
    ((_, line),) = changed
    assert line.startswith('bake_for = "6 min 20 s"')
    assert line.endswith("# find yours with one tin before you fill a pan")
    assert read_plan(path).day.recipes["standard"].bake_for_s == 380


def test_the_minutes_go_into_the_kit_where_the_recipe_is_the_kits(samples: Path) -> None:
    (plan, kit) = (samples / "two_ovens.toml", samples / "workshop_kit.toml")
    own = plan.read_bytes()
    before = kit.read_text(encoding="utf-8")
    name, old, new = two_tins.write_bake_for(read_plan(plan), "standard", 433)
    assert Path(name) == kit
    assert (old, new) == ("6 min 30 s", "7 min 15 s")
    assert plan.read_bytes() == own
    after = kit.read_text(encoding="utf-8")
    assert after.count("\n") == before.count("\n")
    assert read_plan(plan).day.recipes["standard"].bake_for_s == 435


def test_a_file_that_was_changed_meanwhile_is_left_alone(samples: Path) -> None:
    path = samples / "first_tray.toml"
    plan_file = read_plan(path)
    path.write_text(plan_file.text + "# more\n", encoding="utf-8")
    with pytest.raises(BenchplanError, match="changed meanwhile"):
        two_tins.write_bake_for(plan_file, "standard", 378)
    assert path.read_text(encoding="utf-8").endswith("# more\n")


def test_the_ends_of_lines_and_the_first_mark_stay(samples: Path) -> None:
    path = samples / "first_tray.toml"
    raw = path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(b"\xef\xbb\xbf" + raw)
    two_tins.write_bake_for(read_plan(path), "standard", 378)
    assert path.read_bytes() == b"\xef\xbb\xbf" + raw.replace(b'"6 min"', b'"6 min 20 s"', 1)


@pytest.mark.parametrize(
    ("seconds", "written"), [(0, "5 s"), (377, "6 min 15 s"), (378, "6 min 20 s"), (420, "7 min")]
)
def test_minutes_are_written_to_what_a_hand_can_mark(seconds: float, written: str) -> None:
    assert two_tins.bake_for_text(seconds) == written


def test_a_long_bake_stays_within_a_day() -> None:
    text = (SAMPLES / "first_tray.toml").read_text(encoding="utf-8")
    plan_file = read_text(text.replace('bake_for = "6 min"', 'bake_for = "20 h"'), "long")
    day = read_text(two_tins.two_tins(plan_file, "standard"), "long test").day
    assert day.recipes["standard"].bake_for_s == 24 * 3600
