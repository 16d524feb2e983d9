"""Values past a limit are known by id, and said by check, plan, picture and JSON.

The numbers are those of docs/rules.md, which says where each comes from.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from limit_days import PAST, day_file, day_text

from benchplan import ceilings, cli, files, planner
from benchplan.errors import BenchplanError
from benchplan.model import Cannot, Day, Plan
from benchplan.model.warning import WarningId, warning_words
from benchplan.papers.plan_json import plan_from_dict, plan_to_dict
from benchplan.papers.plan_svg import plan_svg

Capture = pytest.CaptureFixture[str]
CLEAR = "Nothing here stands in the way"


def day_of(text: str) -> Day:
    return files.read_text(text, "quay.toml").day


def test_usual_values_are_warned_of_by_nothing(tmp_path: Path, capsys: Capture) -> None:
    assert ceilings.value_warnings(day_of(day_text())) == ()
    assert cli.main(["check", str(day_file(tmp_path))]) == 0
    assert CLEAR in capsys.readouterr().out


@pytest.mark.parametrize("name", PAST)
def test_a_value_past_a_limit_is_named_everywhere(
    name: str, tmp_path: Path, capsys: Capture
) -> None:
    expected = PAST[name][2:]
    day = day_of(day_text(name))
    (found,) = ceilings.value_warnings(day)
    assert (found.id, found.name) == expected[:2]
    assert (found.value, found.limit) == pytest.approx(expected[2:])
    sentence = warning_words(found, day.display)
    path = str(day_file(tmp_path, name))
    for verb in ("check", "plan"):
        assert cli.main([verb, path]) == 0
        said = " ".join(capsys.readouterr().out.split())
        assert f"! {sentence}" in said
        assert CLEAR not in said
    assert cli.main(["plan", path, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["warning_ids"] == [
        dict(zip(("id", "name", "value", "limit"), expected, strict=True))
    ]
    assert data["warnings"] == [sentence]
    plan = planner.plan_day(day)
    assert isinstance(plan, Plan)
    assert plan_from_dict(json.loads(json.dumps(plan_to_dict(day, plan)))) == plan
    drawn = " ".join(ElementTree.fromstring(plan_svg(day, plan)).itertext())
    assert f"! {sentence}" in " ".join(drawn.split())


@pytest.mark.parametrize("limit", ["200 degC", "392 degF"])
def test_a_value_at_its_limit_is_not_past_it(limit: str) -> None:
    assert ceilings.value_warnings(day_of(day_text().replace("151 degC", limit))) == ()
    longest = day_text().replace('"9 min"', '"30 min"')
    assert ceilings.value_warnings(day_of(longest)) == ()


def test_what_the_day_does_not_use_is_not_asked_about() -> None:
    other = day_text() + (
        '\n[recipes.other]\ntin = "flat 70"\nfill = "500 g"\nbake_at = "230 degC"\n'
        'bake_for = "2 h"\n'
    )
    assert ceilings.value_warnings(day_of(other)) == ()


def test_an_estimate_of_our_own_is_never_too_short() -> None:
    day = day_of(day_text().replace('cool_for = "41 min"\n', ""))
    assert ceilings.value_warnings(day) == ceilings.value_warnings(planner.resolved(day)) == ()


def test_a_tin_without_its_volume_is_measured_by_its_size() -> None:
    # pi / 4 * 7.1 cm * 7.1 cm * 1.7 cm = 67.3 ml, times 0.58 g/ml = 39.04 g
    bare = day_text().replace('holds = "58 ml"\n', "")
    assert ceilings.value_warnings(day_of(bare.replace('"23 g"', '"39 g"'))) == ()
    (found,) = ceilings.value_warnings(day_of(bare.replace('"23 g"', '"39.1 g"')))
    assert found.id is WarningId.OVER_BRIM


@pytest.mark.parametrize("hot", ["290 degC", "235.5 degC", "456 degF"])
def test_a_heat_that_breaks_beads_down_is_refused(
    hot: str, tmp_path: Path, capsys: Capture
) -> None:
    text = day_text().replace("151 degC", hot)
    with pytest.raises(BenchplanError) as caught:
        day_of(text)
    (problem,) = caught.value.problems
    assert problem.key == "recipes.plain.bake_at"
    assert "235 °C (455 °F)" in problem.what
    assert text.splitlines()[problem.line - 1] == f'bake_at = "{hot}"'
    path = day_file(tmp_path)
    path.write_text(text, encoding="utf-8")
    assert cli.main(["check", str(path)]) == 2
    assert "235 °C" in capsys.readouterr().err


def test_the_record_of_a_hot_day_can_still_be_read() -> None:
    text = day_text().replace("151 degC", "240 degC")
    assert files.read_text(text, "run 3", kept=True).day.recipes["plain"].bake_at_c == 240


def test_a_plan_keeps_its_warnings_while_it_follows_marks() -> None:
    day = day_of(day_text("hot", "uncooled"))
    plan = planner.plan_day(day)
    assert isinstance(plan, Plan)
    assert len(plan.value_warnings) == 2
    assert planner.replan(day, plan, (), 40).value_warnings == plan.value_warnings
    assert not isinstance(planner.plan_day(replace(day, scales=2)), Cannot)
