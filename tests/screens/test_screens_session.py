"""What the screens do without a terminal: names and dates for next time."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import example_day
import pytest

from benchplan.screens.saving import check_date, check_new_name, file_name, new_name, next_time

DAY = example_day.day()


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


def test_the_name_that_is_offered_is_free(tmp_path: Path) -> None:
    assert new_name(tmp_path, "Fair 7") == "Fair 7"
    for file, then in (("fair_7", "Fair 2"), ("fair_2", "Fair 3"), ("fair_3", "Fair 4")):
        (tmp_path / f"{file}.toml").touch()
        assert new_name(tmp_path, "Fair 7") == then
        assert check_new_name(tmp_path, then) == ""


def test_next_times_day_has_another_name_and_date_and_nothing_filled() -> None:
    new = next_time(DAY, "Next", (DAY.start + timedelta(weeks=1)).date())
    assert (new.name, new.start) == ("Next", DAY.start + timedelta(weeks=1))
    assert [order.filled for order in DAY.orders] == [6, 0]
    assert [order.filled for order in new.orders] == [0, 0]
    assert replace(new, name=DAY.name, start=DAY.start, orders=DAY.orders) == DAY
