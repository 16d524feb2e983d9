"""Clock times become seconds: past midnight, over a change of clocks, by name of a zone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from plan_examples import LEAST, problems, read, with_line

from benchplan.model import Day


def day_of(
    start: str, rest: str = "", date: str = "2026-12-05", zone: str = "Europe/Lisbon"
) -> str:
    text = with_line(LEAST, "date = 2026-12-05", f"date = {date}")
    text = with_line(text, "start = 09:00:00", f"start = {start}\n{rest}")
    return with_line(text, "Europe/Lisbon", zone)


def read_day(start: str, rest: str = "", date: str = "2026-12-05") -> Day:
    return read(day_of(start, rest, date)).day


def test_a_time_before_the_start_means_the_next_day() -> None:
    day = read_day("22:00:00", 'finish_by = 03:30:00\nbreaks = [{at = 00:15:00, for = "5 min"}]')
    assert day.finish_by_s == 5.5 * 3600
    assert day.breaks[0].at_s == 2.25 * 3600
    assert day.breaks[0].away is None


def test_a_time_at_the_start_is_now() -> None:
    assert read_day("09:00:00", 'breaks = [{at = 09:00:00, for = "5 min"}]').breaks[0].at_s == 0


# Daylight saving in Lisbon, EU Directive 2000/84/EC: forward at 01:00 UTC on the last Sunday of
# March, back at 01:00 UTC on the last Sunday of October; in 2026 the 29th and the 25th.
def test_seconds_are_elapsed_seconds_when_the_clocks_go_back() -> None:
    day = read_day("00:00:00", "finish_by = 09:00:00", "2026-10-25")
    assert day.finish_by_s == 10 * 3600


def test_seconds_are_elapsed_seconds_when_the_clocks_go_forward() -> None:
    day = read_day("22:00:00", "finish_by = 09:00:00", "2026-03-28")
    assert day.finish_by_s == 10 * 3600


def test_of_two_times_it_is_the_first() -> None:
    assert read_day("01:30:00", "", "2026-10-25").start.astimezone(UTC).hour == 0


def test_a_time_that_does_not_exist_is_an_error() -> None:
    (found,) = problems(day_of("01:30:00", "", "2026-03-29"))
    assert found.key == "day.start"
    assert "01:30 does not exist on 2026-03-29" in found.what
    assert "02:30" in found.cure
    rest = 'finish_by = 01:15:00\nbreaks = [{at = 01:45:00, for = "5 min"}]'
    keys = [each.key for each in problems(day_of("22:00:00", rest, "2026-03-28"))]
    assert keys == ["day.finish_by", "day.breaks[1].at"]


def test_a_moment_may_name_its_own_date_and_offset() -> None:
    rest = "finish_by = 2026-12-07T08:00:00\nbreaks = [{at = 2026-12-05T13:00:00+01:00, "
    day = read_day("09:00:00", rest + 'for = "5 min"}]')
    assert day.finish_by_s == 47 * 3600
    assert day.breaks[0].at_s == 3 * 3600
    day = read_day("2026-10-25T01:30:00+00:00", "", "2026-10-25")
    assert day.start.astimezone(UTC) == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert day.start.utcoffset() == timedelta(0)


@pytest.mark.parametrize(
    ("rest", "says"),
    [
        ("finish_by = 2026-12-04T08:00:00", "before the day starts"),
        ("finish_by = 2026-12-25T08:00:00", "more than a week"),
        ("finish_by = 2926-12-25T08:00:00", "out of reach"),
    ],
)
def test_a_moment_out_of_reach_is_an_error(rest: str, says: str) -> None:
    (found,) = problems(day_of("09:00:00", rest))
    assert found.key == "day.finish_by"
    assert says in found.what


def test_without_a_zone_it_is_the_machines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "America/Denver")
    day = read(LEAST.replace('zone = "Europe/Lisbon"\n', "")).day
    assert day.start.utcoffset() == timedelta(hours=-7)


def test_breaks_that_add_up_to_everyone_are_fine_and_to_more_are_not() -> None:
    two = 'people = 2\nbreaks = [{at = 12:00:00, for = "30 min", away = 1}, '
    late = '{at = 12:%s:00, for = "30 min", away = %d}, {at = 12:10:00, for = "30 min"}]'
    assert problems(day_of("09:00:00", two + late % ("15", 1))) == ()
    assert problems(day_of("09:00:00", two + late % ("30", 2))) == ()
    (found,) = problems(day_of("09:00:00", two + late % ("29", 2)))
    assert found.key == "day.breaks[2].away"
    assert "At 12:29 3 people" in found.what


# Durations are read to a whole second, half up; per_kelvin alone keeps its fraction.
@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0.4 s", 0), ("0.5 s", 1), ("1.5 s", 2), ("2.5 s", 3), ("0.1 min", 6), ("1/3 min", 20)],
)
def test_durations_are_whole_seconds_half_up(text: str, seconds: int) -> None:
    day = read(LEAST + f'[times]\nset = "{text}"\n').day
    assert day.times.set_s == seconds
    assert isinstance(day.times.set_s, int)


def test_per_kelvin_keeps_its_fraction() -> None:
    text = with_line(LEAST, "[ovens.countertop]\n", '[ovens.countertop]\nper_kelvin = "2.25 s"\n')
    assert read(text).day.ovens["countertop"].per_kelvin_s == 2.25
