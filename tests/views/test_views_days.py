"""Every view copes with whatever day can be planned, at any size of window."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchplan import planner
from benchplan.errors import BenchplanError
from benchplan.mixing import jars_needed
from benchplan.model import Day, Plan
from benchplan.model.stop import Iterations
from benchplan.scheduling.check import check_plan
from benchplan.views import edits, fit, flow, jars, lanes, look, orders
from benchplan.views.drawing import BOX, BRAILLE
from benchplan.views.rows import Row, cells, text_of

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))
from days import days


def keeps_to(rows: list[Row], width: int, height: int) -> None:
    assert len(rows) <= height
    assert all(cells(text_of(line)) <= width for line in rows)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(days(), st.integers(78, 200), st.integers(3, 60))
def test_every_page_keeps_to_its_window_on_every_day(day: Day, width: int, height: int) -> None:
    try:
        answer = planner.plan_day(day, Iterations(1))
    except BenchplanError:
        return
    day = planner.resolved(day)
    known = answer if isinstance(answer, Plan) else None
    for stale in (False, True):
        for where in ("orders", "queue"):
            rows = orders.page(day, answer, stale, orders.Look(where, 99, 99), width, height)
            keeps_to(rows, width, height)
    for at in range(len(fit.choices(answer.fits))):
        for mode in (BOX, BRAILLE):
            keeps_to(
                fit.page(
                    day, answer.fits, known, fit.Look(at, at % 3, at % 2 == 0), width, height, mode
                ),
                width,
                height,
            )
    needs = jars_needed(day)
    keeps_to(
        jars.page(day, needs, (), date(2026, 11, 25), jars.Look(), width, height), width, height
    )
    if known is None:
        return
    found, full = lanes.lanes(day, known), lanes.levels(day, known)
    axis = look.chart_width(found, width)
    for number, lane in enumerate(found):
        for bar in (0, len(lane.bars) // 2, len(lane.bars)):
            here = look.kept_within(known, found, look.Look(number, bar, (bar % 3) * 60), axis)
            rows = flow.page(day, known, found, full, here, 1000, width, height)
            keeps_to(rows, width, height)
    assert max((level.share for level in full), default=0.0) <= 1.0 + 1e-9


@settings(max_examples=40)
@given(days(), st.data())
def test_an_edited_queue_can_always_be_planned_again(day: Day, data: st.DataObject) -> None:
    try:
        plan = planner.plan_day(day, Iterations(1))
    except BenchplanError:
        return
    if not isinstance(plan, Plan):
        return
    number = data.draw(st.integers(1, len(plan.trays)))
    moved = edits.move_tray(day, plan, number, data.draw(st.sampled_from((-1, 1))))
    if moved is not day:
        again = planner.plan_day(moved, Iterations(1))
        if isinstance(again, Plan):
            # The checker looks at the order; two trays that go in at one moment may swap numbers.
            assert check_plan(planner.resolved(moved), again) == []
            trays = [(tray.scents, tray.recipe) for tray in again.trays]
            assert sorted(trays) == sorted((tray.scents, tray.recipe) for tray in moved.queue)
    which = data.draw(st.sampled_from(day.orders))
    changed = edits.change_tins(moved, which, data.draw(st.integers(-3, 3)), plan.fits)
    planner.plan_day(changed, Iterations(1))  # and no queue asks for more than the orders do
