"""Clock times of a machine without a zone's name, and of the night in which an hour comes twice."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from benchplan import clock
from benchplan.errors import BenchplanError
from benchplan.files import read_text
from benchplan.model import Plan
from benchplan.model.cells import cells
from benchplan.model.stop import Iterations
from benchplan.papers.plan_text import plan_text
from benchplan.planner import plan_day

SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
# POSIX (Base Definitions, 8.3, TZ): a zone without an IANA name, with the European Union's rule.
RULES = "AAA-1BBB,M3.5.0,M10.5.0/3"
BERLIN = ZoneInfo("Europe/Berlin")  # the same rule under its IANA name


@pytest.fixture
def nameless(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patched:
        patched.setenv("TZ", RULES)
        time.tzset()
        yield
    time.tzset()


@pytest.mark.usefixtures("nameless")
def test_a_machine_without_a_zones_name_has_the_offset_of_each_date() -> None:
    zone = clock.machine_zone()
    for hours in range(0, 366 * 24, 7):
        moment = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hours)
        here, there = moment.astimezone(zone), moment.astimezone(BERLIN)
        assert here.replace(tzinfo=None) == there.replace(tzinfo=None)
        assert here.utcoffset() == there.utcoffset()
        assert here.astimezone(UTC) == moment
    assert clock.local_instant(date(2026, 7, 1), time_of_day(9), zone).utcoffset() == timedelta(
        hours=2
    )
    with pytest.raises(BenchplanError, match="does not exist"):
        clock.local_instant(date(2026, 3, 29), time_of_day(2, 30), zone)


@pytest.mark.usefixtures("nameless")
def test_a_days_clock_goes_by_the_day_and_not_by_today() -> None:
    text = SAMPLE.read_text(encoding="utf-8")
    for day, offset in ((date(2026, 1, 15), 1), (date(2026, 7, 15), 2)):
        lines = [
            f"date = {day}" if line.startswith("date =") else line
            for line in text.splitlines()
            if not line.startswith("zone")
        ]
        start = read_text("\n".join(lines), "day.toml").day.start
        assert start.utcoffset() == timedelta(hours=offset)


@pytest.mark.usefixtures("nameless")
@pytest.mark.parametrize("named", [True, False])
def test_an_hour_that_comes_twice_says_which_it_is(named: bool) -> None:
    zone = BERLIN if named else clock.machine_zone()
    first, then = ("CEST", "CET") if named else ("BBB", "AAA")
    start = clock.local_instant(date(2026, 10, 25), time_of_day(1, 30), zone)
    said = [clock.show_time(clock.at(start, minutes * 60)) for minutes in (0, 30, 60, 90, 120, 150)]
    assert said == [
        "01:30", f"02:00 {first}", f"02:30 {first}", f"02:00 {then}", f"02:30 {then}", "03:00"
    ]  # fmt: skip
    assert clock.show_time(clock.at(start, 3600), 12, True) == f"2:30:00 am {first}"


def test_no_other_time_has_its_zone() -> None:
    for month in range(1, 13):
        start = datetime(2026, month, 28, 0, 30, tzinfo=BERLIN)
        assert all(" " not in clock.show_time(clock.at(start, hour * 3600)) for hour in range(24))


def test_a_plan_in_that_night_cuts_no_time_and_says_each_once() -> None:
    day = read_text(SAMPLE.read_text(encoding="utf-8"), "day.toml").day
    night = replace(day, start=datetime(2026, 10, 25, 2, 15, tzinfo=BERLIN))
    plan = plan_day(night, Iterations(1))
    assert isinstance(plan, Plan)
    lines = plan_text(night, plan).splitlines()
    at = lines.index("THE DAY, IN ORDER") + 1
    body = [line for line in lines[at:] if line.startswith("[ ]")]
    assert any("CEST  " in line for line in body)
    assert any("CET  " in line for line in body)
    assert not any(".." in line[: cells("[ ] 12:00 am CEST")] for line in body)
