"""The sample days: they check, they plan to the text that is kept, and they are safe to copy."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchplan import cli
from benchplan.files import read_plan
from benchplan.files.samples import NAMES, sample_paths
from benchplan.model import Plan
from benchplan.model.words import at_clock
from benchplan.papers.plan_json import dumps, plan_from_dict, plan_to_dict
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan

README = Path(__file__).parents[2] / "README.md"
Capture = pytest.CaptureFixture[str]
samples = pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)


def test_there_are_three() -> None:
    assert tuple(path.name for path in sample_paths()) == NAMES
    assert len(NAMES) == 3


@samples
def test_it_checks(path: Path, capsys: Capture) -> None:
    assert cli.main(["check", str(path)]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert "Nothing here stands in the way." in said.out


@samples
def test_its_plan_is_the_text_beside_it(path: Path, capsys: Capture) -> None:
    assert cli.main(["plan", str(path)]) == 0
    assert capsys.readouterr().out == path.with_suffix(".txt").read_text(encoding="utf-8")


@samples
def test_readme_says_when_it_ends_and_how_early_it_could(path: Path) -> None:
    day = resolved(read_plan(path).day)
    plan = plan_day(day)
    assert isinstance(plan, Plan)
    ends, these, any_ = (at_clock(day, s) for s in (plan.finish_s, plan.bound_s, plan.bound_any_s))
    proven = " (nothing to win)" if plan.finish_s == plan.bound_s else ""
    said = README.read_text(encoding="utf-8")
    assert f"| {path.stem} | {ends} | {these}{proven} | {any_} |" in said


@samples
def test_its_plan_obeys_every_rule_and_comes_back_from_json(path: Path) -> None:
    day = resolved(read_plan(path).day)
    plan = plan_day(day)
    assert isinstance(plan, Plan)
    assert check_plan(day, plan) == []
    assert plan_from_dict(json.loads(dumps(plan_to_dict(day, plan)))) == plan


@samples
def test_it_is_done_in_time(path: Path) -> None:
    day = read_plan(path).day
    plan = plan_day(day)
    assert isinstance(plan, Plan)
    assert day.finish_by_s is not None
    assert plan.finish_s <= day.finish_by_s


@samples
def test_its_numbers_are_safe_to_copy(path: Path) -> None:
    """Clearances, times and limits of a small workshop: common practice, no source."""
    day = read_plan(path).day
    for oven in day.ovens.values():
        small = oven.shelf_mm[0] < 400
        assert oven.air_mm >= (25 if small else 40)
        assert 5 * 60 <= oven.preheat_s <= (15 if small else 20) * 60
        assert 60 <= oven.recover_s <= 4 * 60
        assert oven.most_tins is not None
    for pan in day.pans.values():
        assert 6 <= pan.gap_mm <= 10
    for recipe in day.recipes.values():
        assert recipe.bake_late_s <= 90
        assert recipe.bake_at_c < 200
        assert recipe.cool_for_s is not None
        assert 33 * 60 <= recipe.cool_for_s <= 45 * 60
        assert recipe.rest_for_s >= 60
    assert day.cooling.pan_for_s > 0
    assert day.times.ready_s > 0
    for step, listed in day.checklist.items():
        asked = " ".join(listed).lower()  # what is required anyway is not asked twice
        for words in ("dry", "thermometer", "loose beads", "landing place"):
            assert words not in asked, step
    assert "Mitts on" in day.checklist["load"]
