"""Who is away when, and what a day becomes that begins at another time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan import clock
from benchplan.model import Break, Cooling, Day
from benchplan.model.day import most_away

LISBON = ZoneInfo("Europe/Lisbon")
HOUR = 3600


def day_with(*breaks: Break, people: int = 1, start: datetime | None = None) -> Day:
    return Day(
        name="x",
        start=start or datetime(2026, 12, 5, 9, tzinfo=LISBON),
        orders=(),
        recipes={},
        tins={},
        pans={},
        ovens={},
        cooling=Cooling(),
        breaks=breaks,
        people=people,
    )


def test_a_break_without_a_number_takes_everyone() -> None:
    day = day_with(Break(100, 50), people=3)
    assert day.absences() == (Break(100, 50, 3),)
    assert day.nobody() == ((100, 150),)


def test_it_takes_everyone_not_already_away() -> None:
    day = day_with(Break(100, 50), Break(80, 40, 2), people=3)
    assert day.absences() == (Break(80, 40, 2), Break(100, 50, 1))
    assert day.nobody() == ((100, 120),)


def test_where_all_are_away_already_it_takes_nobody() -> None:
    day = day_with(Break(100, 20), Break(80, 60, 2), people=2)
    assert day.absences() == (Break(80, 60, 2),)
    assert day.nobody() == ((80, 140),)


def test_two_that_overlap_make_one_long_one() -> None:
    day = day_with(Break(120, 100), Break(100, 50), Break(130, 10), people=2)
    assert day.absences() == (Break(100, 50, 2), Break(150, 70, 2))
    assert day.nobody() == ((100, 220),)


def test_numbered_breaks_add_up_and_may_leave_nobody() -> None:
    day = day_with(Break(0, 100, 1), Break(60, 100, 1), people=2)
    assert day.nobody() == ((60, 100),)
    assert day_with(Break(0, 100, 1), Break(100, 100, 1), people=2).nobody() == ()
    assert day_with(Break(0, 100, 1), Break(100, 100, 1), people=1).nobody() == ((0, 200),)


def test_most_away_counts_only_those_at_one_time() -> None:
    breaks = [Break(0, 10, 1), Break(10, 10, 2), Break(15, 1, 3)]
    assert most_away(breaks, 0, 10) == 1
    assert most_away(breaks, 5, 12) == 2
    assert most_away(breaks, 0, 100) == 5
    assert most_away(breaks, 20, 100) == 0


BREAKS = st.lists(
    st.builds(Break, st.integers(0, 50), st.integers(1, 30), st.none() | st.integers(1, 2)),
    max_size=4,
)


@given(BREAKS, st.integers(1, 3))
def test_second_by_second_the_numbers_agree(breaks: list[Break], people: int) -> None:
    """Counted a second at a time: never more away than there are, and nobody when all are."""
    numbered = [each for each in breaks if each.away is not None]
    if any(
        sum(each.away or 0 for each in numbered if each.at_s <= second < each.end_s) > people
        for second in range(100)
    ):
        return  # such a file is refused
    day = day_with(*breaks, people=people)
    for second in range(100):
        away = sum(each.away or 0 for each in day.absences() if each.at_s <= second < each.end_s)
        said = sum(each.away or 0 for each in numbered if each.at_s <= second < each.end_s)
        whole = any(each.at_s <= second < each.end_s for each in breaks if each.away is None)
        assert said <= away <= people
        assert (away > said) <= whole
        if whole and not numbered:
            assert away == people
        assert any(begin <= second < end for begin, end in day.nobody()) == (away == people)


def begun(day: Day, text: str) -> Day:
    return day.begun_at(datetime.fromisoformat(text).replace(tzinfo=LISBON))


def test_begun_late_breaks_and_finish_keep_their_clock_times() -> None:
    day = day_with(Break(3 * HOUR, 1800), start=datetime(2026, 12, 5, 9, tzinfo=LISBON))
    day = begun(replace(day, finish_by_s=6 * HOUR), "2026-12-05T09:40")
    assert clock.show_time(day.start) == "09:40"
    assert day.breaks == (Break(3 * HOUR - 2400, 1800),)
    assert day.finish_by_s == 6 * HOUR - 2400


def test_begun_in_a_break_it_is_shortened_and_after_it_is_gone() -> None:
    day = day_with(Break(3 * HOUR, 1800, 1))
    assert begun(day, "2026-12-05T12:10").breaks == (Break(0, 1200, 1),)
    assert begun(day, "2026-12-05T12:30").breaks == ()
    assert begun(day, "2026-12-05T08:00").breaks == (Break(4 * HOUR, 1800, 1),)


def test_begun_on_another_date_the_times_are_those_of_that_date() -> None:
    day = replace(day_with(Break(3 * HOUR, 1800)), finish_by_s=6 * HOUR)
    assert begun(day, "2027-02-01T09:00").breaks == day.breaks
    assert begun(day, "2027-02-01T09:00").finish_by_s == 6 * HOUR


# Lisbon, EU Directive 2000/84/EC: in 2026 the clocks go back on 25 October at 01:00 UTC.
def test_clock_times_survive_a_change_of_clocks() -> None:
    night = day_with(Break(8 * HOUR, 600), start=datetime(2026, 10, 20, 22, tzinfo=LISBON))
    night = replace(night, finish_by_s=11 * HOUR)
    over = begun(night, "2026-10-24T22:00")  # a night with one hour more
    assert clock.show_time(clock.at(over.start, over.breaks[0].at_s)) == "06:00"
    assert over.breaks[0].at_s == 9 * HOUR
    assert over.finish_by_s == 12 * HOUR
    back = begun(over, "2026-10-27T22:00")
    assert (back.breaks, back.finish_by_s) == (night.breaks, night.finish_by_s)


def test_a_night_begun_after_midnight_is_still_that_night() -> None:
    night = day_with(Break(3 * HOUR, 600), start=datetime(2026, 12, 5, 22, tzinfo=LISBON))
    night = replace(night, finish_by_s=8 * HOUR)
    late = begun(night, "2026-12-06T00:10")
    assert clock.show_time(clock.at(late.start, late.breaks[0].at_s)) == "01:00"
    assert late.breaks[0].at_s == 50 * 60
    assert late.finish_by_s == 6 * HOUR - 600
    assert begun(night, "2026-12-06T20:00").finish_by_s == 10 * HOUR  # the next night, early


def test_a_finish_that_is_over_is_now() -> None:
    assert begun(replace(day_with(), finish_by_s=HOUR), "2026-12-05T13:00").finish_by_s == 0


@pytest.mark.parametrize("minutes", [0, 20, 59, 60, 61, 95])
def test_an_hour_told_twice_is_not_mistaken(minutes: int) -> None:
    start = datetime(2026, 10, 25, 0, 30, tzinfo=UTC) + timedelta(minutes=minutes)
    day = day_with(start=datetime(2026, 10, 25, 0, 30, tzinfo=LISBON)).begun_at(start)
    assert day.start.astimezone(UTC) == start


@given(st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31)), st.integers(0, 20 * HOUR))
def test_begun_at_any_time_nothing_lies_in_the_past(moment: datetime, at_s: int) -> None:
    start = moment.replace(tzinfo=UTC)
    day = replace(day_with(Break(at_s, 900)), finish_by_s=at_s).begun_at(start)
    assert abs((day.start - start).total_seconds()) <= 0.5
    assert all(each.at_s >= 0 and 0 < each.for_s <= 900 for each in day.breaks)
    assert (day.finish_by_s or 0) >= 0
    for each in day.breaks:
        if each.at_s > 0 and at_s % 60 == 0:
            shown = clock.show_time(clock.at(day.start, each.at_s))
            planned = clock.at(datetime(2026, 12, 5, 9, tzinfo=LISBON), at_s)
            # A leap of the clocks moves only times that do not exist or are told twice.
            assert shown == clock.show_time(planned) or 1 <= planned.hour <= 3


def test_begun_later_leaves_everything_else_at_its_instant() -> None:
    day = replace(day_with(Break(600, 900), Break(3000, 60)), finish_by_s=7200)
    later = day.begun_later(1000)
    assert clock.elapsed(day.start, later.start) == 1000
    assert later.breaks == (Break(0, 500), Break(2000, 60))
    assert later.finish_by_s == 6200
    assert day.begun_later(2000).breaks == (Break(1000, 60),)
    earlier = day.begun_later(-300)
    assert earlier.breaks == (Break(900, 900), Break(3300, 60))
    assert earlier.begun_later(300) == day
