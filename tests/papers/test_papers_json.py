"""The JSON contract: which keys there are, which are left out, and that a plan comes back whole."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from benchplan.model import Cannot, Day, Fit, Plan, Tray
from benchplan.papers.plan_json import (
    cannot_to_dict,
    dumps,
    fits_to_dict,
    plan_from_dict,
    plan_to_dict,
)

TOP = [
    "format", "name", "start", "trays", "loads", "steps", "other", "fits", "finish_s", "bound_s",
    "bound_any_s", "limits", "one_more", "warnings", "defaults",
]  # fmt: skip


def test_a_plan_comes_back_whole(
    small_day: Day, small_plan: Plan, pair_day: Day, pair_plan: Plan
) -> None:
    for day, plan in ((small_day, small_plan), (pair_day, pair_plan)):
        text = dumps(plan_to_dict(day, plan))
        assert plan_from_dict(json.loads(text)) == plan


def test_top_level_keys(small_day: Day, small_plan: Plan) -> None:
    data = plan_to_dict(small_day, small_plan)
    assert list(data) == TOP
    assert data["format"] == 1
    assert data["name"] == "Two by two"
    assert data["start"] == "2026-12-05T09:00:00-06:00"
    assert data["defaults"] == list(small_day.defaults)
    without = plan_to_dict(small_day, replace(small_plan, one_more=()))
    assert list(without) == [key for key in TOP if key != "one_more"]


def test_keys_of_trays_loads_and_limits(small_day: Day, small_plan: Plan) -> None:
    data = plan_to_dict(small_day, small_plan)
    assert data["trays"][0] == {
        "tray": 1,
        "scent": "Night garden",
        "recipe": "standard",
        "pan": "small",
        "pan_number": 1,
        "tins": 2,
        "at_mm": [[38.0, 38.0], [116.0, 38.0]],
        "to_fill": [["Night garden", 2]],
    }
    assert data["loads"][0] == {"oven": "countertop", "number": 1, "trays": [1]}
    assert data["limits"]["resources"][0] == {
        "what": "pans",
        "busy": 0.8,
        "s_per_tray": 498.0,
        "tins_per_hour": 14.5,
    }
    assert data["one_more"][0] == {"what": "pan", "kind": "small", "finish_s": 3454}
    assert data["one_more"][1] == {"what": "person", "finish_s": 3754}


def test_a_mixed_tray_lists_a_scent_for_each_tin(pair_day: Day, pair_plan: Plan) -> None:
    tray = plan_to_dict(pair_day, pair_plan)["trays"][0]
    assert tray["scent"] == ["Night garden", "Night garden", "Night garden", "Sea fennel"]
    assert tray["tins"] == 4


def test_steps_name_a_person_and_a_place_only_where_there_is_one(
    small_day: Day, small_plan: Plan
) -> None:
    steps = {
        (each["tray"], each["step"]): each for each in plan_to_dict(small_day, small_plan)["steps"]
    }
    assert steps[1, "fill"] == {
        "tray": 1, "step": "fill", "person": 1, "place": "scale 1", "parts": [[0, 40]],
    }  # fmt: skip
    assert set(steps[1, "set"]) == {"tray", "step", "person", "parts"}
    for name in ("bake", "rest", "cool"):
        assert set(steps[1, name]) == {"tray", "step", "place", "parts"}
    assert steps[2, "fill"]["parts"] == [[950, 970], [1030, 1050]]


def test_other_keys(pair_day: Day, pair_plan: Plan) -> None:
    preheat, change, away = plan_to_dict(pair_day, pair_plan)["other"][:3]
    assert preheat == {"what": "preheat", "place": "countertop", "parts": [[240, 900]]}
    assert change == {
        "what": "change_scent", "place": "scale 2", "person": 2, "before_tray": 1,
        "parts": [[40, 100]],
    }  # fmt: skip
    assert away == {"what": "break", "person": 2, "parts": [[600, 900]]}


def test_no_rest_and_no_transfer_on_the_pan(pair_day: Day, pair_plan: Plan) -> None:
    steps = {each["step"] for each in plan_to_dict(pair_day, pair_plan)["steps"]}
    assert not steps & {"rest", "transfer"}


def test_fits_each_with_its_own_keys(small_plan: Plan) -> None:
    on_pan, on_shelf, on_mat = fits_to_dict(small_plan.fits)["fits"]
    assert on_pan == {
        "what": "tins on pan", "tin": "low 72", "pan": "small", "count": 4, "most_possible": 6,
        "by": "search", "at_mm": [[1.5, 2.0], [3.0, 4.0]],
    }  # fmt: skip
    assert on_shelf == {
        "what": "pans on shelf", "pan": "small", "oven": "countertop", "count": 1,
        "most_possible": 1, "by": "rows", "at_mm": [[25.0, 25.0, False]],
    }  # fmt: skip
    assert on_mat == {
        "what": "tins on mat", "tin": "low 72", "count": 12, "at_mm": [[36.0, 36.0]],
    }  # fmt: skip


def test_the_makers_own_number_for_the_mat_is_marked() -> None:
    own = fits_to_dict([Fit("tins on mat", 24, None, "maker", "low 72")])["fits"][0]
    assert own["by"] == "maker"
    assert own["at_mm"] == []


def test_coordinates_are_not_rounded(small_day: Day, small_plan: Plan) -> None:
    exact = 35.123456789012345
    tray = Tray(1, ("A",), "standard", "small", 1, ((exact, 1 / 3),))
    data = json.loads(dumps(plan_to_dict(small_day, replace(small_plan, trays=(tray,)))))
    assert data["trays"][0]["at_mm"] == [[exact, 1 / 3]]


def test_a_day_that_cannot_be_done(small_day: Day) -> None:
    assert cannot_to_dict(small_day, Cannot(("No pan takes a tin.",))) == {
        "format": 1,
        "name": "Two by two",
        "cannot": ["No pan takes a tin."],
    }


def test_json_text_is_ascii_and_one_entry_a_line(small_day: Day, small_plan: Plan) -> None:
    named = replace(small_day, name="Fête d'hiver 冬")
    text = dumps(plan_to_dict(named, small_plan))
    assert text.isascii()
    assert json.loads(text)["name"] == "Fête d'hiver 冬"
    lines = [line for line in text.splitlines() if '"step"' in line]
    assert len(lines) == len(small_plan.steps)


def test_a_plan_of_a_later_format_is_refused(small_day: Day, small_plan: Plan) -> None:
    data = plan_to_dict(small_day, small_plan) | {"format": 2}
    with pytest.raises(ValueError, match="format 2"):
        plan_from_dict(data)
