"""The latest start that is still in time, with the breaks where the clock has them."""

from __future__ import annotations

from dataclasses import replace

import small

from benchplan import clock
from benchplan.model import Break, Day, Plan
from benchplan.model.more_words import start_words
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day
from benchplan.start_by import start_by

LASTS = 3122  # the small day, from its first fill to its last lid


def latest(day: Day) -> int | None:
    return start_by(day, small.planned(day), lambda _: Iterations(30))


def test_without_finish_by_any_start_will_do() -> None:
    assert latest(small.BASE) is None


def test_without_breaks_the_slack_says_it() -> None:
    assert latest(small.day(finish_by_s=6000)) == 6000 - LASTS
    assert latest(small.day(finish_by_s=3000)) == 3000 - LASTS  # earlier than planned


def test_after_a_break_that_is_over_by_then() -> None:
    """From 1600 on there is no break: 6000 − 3122 = 2878, to five minutes 2700."""
    day = small.day(finish_by_s=6000, breaks=(Break(1000, 600),))
    assert latest(day) == 2700


def test_before_a_break_that_the_end_would_fall_into() -> None:
    """Packing must be over when the break begins, at 5500: 5500 − 3122 = 2378, so 2100."""
    day = small.day(finish_by_s=6000, breaks=(Break(5500, 600),))
    assert latest(day) == 2100


def test_a_night_that_begins_after_midnight_may_begin_before_it() -> None:
    """A break that is over by 600 leaves 3000 − 3122 = −122 at the latest, so −300 and earlier."""
    day = small.day(finish_by_s=3000, breaks=(Break(100, 500, 0),))
    midnight = replace(day, start=day.start.replace(hour=0, minute=1))
    assert latest(midnight) == latest(day) == -300


def test_the_start_that_is_given_is_in_time() -> None:
    day = small.day(
        orders=(small.order(8, 8)), finish_by_s=7200, breaks=(Break(2400, 900), Break(5000, 300))
    )
    start = latest(day)
    assert start is not None
    moved = day.begun_at(clock.at(day.start, start))
    plan = plan_day(moved, Iterations(30))
    assert isinstance(plan, Plan)
    assert moved.finish_by_s == 7200 - start
    assert plan.finish_s <= moved.finish_by_s


def test_in_words() -> None:
    day = small.day(finish_by_s=6000)
    plan = replace(small.planned(day), start_by_s=2878)
    assert start_words(day, plan) == "To be ready by 10:40, start at 09:47 at the latest."
    assert start_words(day, replace(plan, start_by_s=None)) == ""
