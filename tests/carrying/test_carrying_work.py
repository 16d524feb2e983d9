"""Work that was called off ends at the next step of it, and hands nothing back."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

import pytest
from small import day, order, planned

from benchplan import planner
from benchplan.carrying import work
from benchplan.model import Action, Mark
from benchplan.model.stop import Iterations, Stopped, never

DAY = day(orders=order(8, 8))
MARKS = tuple(
    Mark("done", at, at, Action(what, (tray,)), number=number)
    for number, (what, tray, at) in enumerate(
        [("fill", 1, 80), ("set", 1, 92), ("fill", 2, 172), ("set", 2, 184)], start=1
    )
)


@pytest.fixture
def rebuilds(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Count how often the rest of the day is planned, by the moments at which it is."""
    found: list[int] = []
    rebuilt = planner.rebuilt

    def counted(shop, plan, past, stop):
        found.append(past.now_s)
        return rebuilt(shop, plan, past, stop)

    monkeypatch.setattr(planner, "rebuilt", counted)
    return found


def test_a_day_is_not_planned_once_that_is_called_off() -> None:
    with pytest.raises(Stopped):
        work.plan(DAY, {}, lambda: True)


def test_a_replan_that_is_called_off_ends_where_it_is(rebuilds: list[int]) -> None:
    plan = planned(DAY)
    with pytest.raises(Stopped):
        work.replan(DAY, plan, MARKS, 184, lambda: True)
    assert rebuilds == []
    with pytest.raises(Stopped):  # at the first moment after it has begun
        work.replan(DAY, plan, MARKS, 184, Iterations(1))
    assert rebuilds == [184]
    assert work.replan(DAY, plan, MARKS, 184, never) == planner.replan(DAY, plan, MARKS, 184)


def test_a_run_that_is_followed_mark_by_mark_stops_between_marks(rebuilds: list[int]) -> None:
    plan = planned(DAY)
    with pytest.raises(Stopped):
        work.followed(DAY, plan, MARKS, 184, {}, lambda: bool(rebuilds))
    assert rebuilds == [80]
    found, shown = work.followed(DAY, plan, MARKS, 184, {}, never)
    assert found == shown == planner.follow(DAY, plan, MARKS)
