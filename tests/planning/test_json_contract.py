"""Every plan, printed as JSON, keeps the contract and comes back whole."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from pathlib import Path

import pytest
from days import days
from hypothesis import given, settings
from json_contract import cannot_faults, fits_faults, plan_faults
from small import BASE, day, order, planned

from benchplan import cli
from benchplan.errors import BenchplanError
from benchplan.files import read_plan
from benchplan.model import Break, Cannot, Day, OneMore
from benchplan.model.stop import Iterations
from benchplan.papers.plan_json import (
    cannot_to_dict,
    dumps,
    fits_to_dict,
    plan_from_dict,
    plan_to_dict,
)
from benchplan.planner import fit_day, plan_day, resolved
from benchplan.scheduling.check import check_plan

SAMPLES = Path(__file__).parents[2] / "sample_runs"


@settings(max_examples=100)
@given(days())
def test_what_is_printed_keeps_the_contract(day: Day) -> None:
    try:
        found = plan_day(day, Iterations(4))
    except BenchplanError:
        return
    assert fits_faults(json.loads(dumps(fits_to_dict(fit_day(day))))) == []
    if isinstance(found, Cannot):
        assert cannot_faults(json.loads(dumps(cannot_to_dict(day, found)))) == []
        return
    data = json.loads(dumps(plan_to_dict(day, found)))
    assert plan_faults(data, day.cooling.where, ovens=list(day.ovens)) == []
    back = plan_from_dict(data)
    assert back == found
    assert check_plan(resolved(day), back) == []


@pytest.mark.parametrize("name", ["first_tray", "winter_fair", "two_ovens"])
def test_the_verbs_print_what_the_contract_says(name: str, capsys) -> None:
    path = SAMPLES / f"{name}.toml"
    day = read_plan(path).day
    assert cli.main(["plan", str(path), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert plan_faults(data, day.cooling.where, ovens=list(day.ovens)) == []
    assert check_plan(resolved(day), plan_from_dict(data)) == []
    assert cli.main(["fit", str(path), "--json"]) == 0
    assert fits_faults(json.loads(capsys.readouterr().out)) == []


def test_a_day_that_cannot_be_done_is_printed_so(tmp_path: Path, capsys) -> None:
    text = (SAMPLES / "first_tray.toml").read_text(encoding="utf-8")
    path = tmp_path / "tall.toml"
    path.write_text(text.replace('height = "0.75 in"', 'height = "9 in"'), encoding="utf-8")
    assert cli.main(["plan", str(path), "--json"]) == 1
    assert cannot_faults(json.loads(capsys.readouterr().out)) == []


def test_one_more_is_there_when_asked_for() -> None:
    plan = replace(planned(BASE), one_more=(OneMore("person", None, 3000), OneMore("pan", "x", 1)))
    data = json.loads(dumps(plan_to_dict(BASE, plan)))
    assert plan_faults(data, "mat", more=True) == []


RICH = day(
    orders=order(4, 4, scents="AB"),
    people=2,
    breaks=(Break(2000, 600, 1),),
)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), 2),
        (("start",), "2026-12-05T09:00:00"),
        (("finish_s",), 3122.0),
        (("trays", 0, "tins"), "4"),
        (("trays", 0, "scent"), ["A"]),
        (("trays", 0, "at_mm"), []),
        (("loads", 0, "trays"), []),
        (("steps", 0, "person"), None),
        (("steps", 0, "place"), "scale 0"),
        (("steps", 0, "parts"), [[80, 0]]),
        (("steps", 0, "step"), "glaze"),
        (("steps", 3, "person"), 1),
        (("other", 0, "what"), "tea"),
        (("other", 0, "extra"), 1),
        (("limits", "resources", 0, "busy"), 1.2),
        (("limits", "resources"), []),
        (("fits", 0, "by"), "guess"),
        (("fits", 0, "what"), "cups on saucer"),
        (("warnings",), None),
        (("more",), 1),
    ],
    ids=str,
)
def test_what_breaks_the_contract_is_found(path, value) -> None:
    data = json.loads(dumps(plan_to_dict(RICH, planned(RICH))))
    assert plan_faults(data, "mat") == []
    spoiled = copy.deepcopy(data)
    inside = spoiled
    for key in path[:-1]:
        inside = inside[key]
    inside[path[-1]] = value
    assert plan_faults(spoiled, "mat") != []


def test_every_key_is_needed() -> None:
    data = json.loads(dumps(plan_to_dict(RICH, planned(RICH))))
    for name in ("trays", "loads", "steps", "other", "fits"):
        for index, row in enumerate(data[name]):
            for key in row:
                if (name, key) == ("fits", "at_mm"):
                    continue
                spoiled = copy.deepcopy(data)
                del spoiled[name][index][key]
                optional = key == "by" and row["what"] != "tins on pan"
                assert optional or plan_faults(spoiled, "mat"), f"{name} without {key}"
    for key in data:
        spoiled = {name: value for name, value in data.items() if name != key}
        assert plan_faults(spoiled, "mat"), f"a plan without {key}"
