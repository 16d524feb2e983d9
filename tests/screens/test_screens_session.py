"""What the screens do without a terminal: bells, and names and dates for next time."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import example_day
import pytest

from benchplan.live import state as state_of
from benchplan.model import Action, Mark, Run
from benchplan.screens.bells import APART_S, Bells
from benchplan.screens.saving import check_date, check_new_name, file_name, next_time

DAY, PLAN = example_day.day(), example_day.plan()
RUN = Run(1, DAY.name, "fair.toml", DAY.start, "", "")
HEAT = Mark("done", 5, 5, Action("preheat", (), "countertop"), number=1)


def test_bells_ring_once_for_soon_and_spaced_from_due_on() -> None:
    bells, load = Bells(), Action("load", (1,), "countertop")
    marks = (HEAT, Mark("done", 700, 700, load, number=2))
    rung = [
        now_s
        for now_s in range(1000, 1200)
        if bells.due(state_of(DAY, PLAN, marks, now_s), float(now_s))
    ]
    due = 700 + DAY.recipes["standard"].bake_for_s
    assert rung[0] == due - 60
    assert rung[1] == due
    assert {later - sooner for sooner, later in pairwise(rung[1:])} == {APART_S}


def test_bells_that_are_due_in_a_rehearsal_are_spaced_in_real_seconds() -> None:
    bells, load = Bells(), Action("load", (1,), "countertop")
    marks = (HEAT, Mark("done", 700, 700, load, number=2))
    rung = [
        now_s
        for now_s in range(1200, 1800, 60)
        if bells.due(state_of(DAY, PLAN, marks, now_s), now_s / 60)
    ]
    assert rung == [1200]


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Harbour fair", "harbour_fair.toml"),
        ("  Été à la mer! ", "été_à_la_mer.toml"),
        ("../../etc/passwd", "etc_passwd.toml"),
        ("???", ""),
        ("", ""),
    ],
)
def test_a_days_name_makes_a_plain_file_name(name: str, file: str) -> None:
    assert file_name(name) == file


def test_names_and_dates_that_will_not_do_say_what_would(tmp_path: Path) -> None:
    (tmp_path / "fair.toml").write_text("")
    assert "at least one letter" in check_new_name(tmp_path, "!!")
    assert "exists already" in check_new_name(tmp_path, "Fair")
    assert check_new_name(tmp_path, "Next fair") == ""
    assert "2026-12-05" in check_date(DAY, "next week")
    assert check_date(DAY, "2027-01-09") == ""


def test_next_times_day_has_another_name_and_date_and_nothing_filled() -> None:
    new = next_time(DAY, "Next", (DAY.start + timedelta(weeks=1)).date())
    assert (new.name, new.start) == ("Next", DAY.start + timedelta(weeks=1))
    assert [order.filled for order in DAY.orders] == [6, 0]
    assert [order.filled for order in new.orders] == [0, 0]
    assert replace(new, name=DAY.name, start=DAY.start, orders=DAY.orders) == DAY
