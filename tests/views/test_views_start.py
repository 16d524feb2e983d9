"""Orders says the latest start where it is known."""

from __future__ import annotations

from dataclasses import replace

import example_day

from benchplan.views import orders
from benchplan.views.rows import plain


def test_the_latest_start_stands_below_the_finish() -> None:
    day, plan = example_day.day(), example_day.plan()
    assert day.finish_by_s is not None
    known = replace(plan, start_by_s=day.finish_by_s - plan.finish_s)
    text = plain(orders.page(day, known, False, orders.Look(), 80, 22))
    assert "To be ready by 11:00, start at 09:19 at the latest." in text
    assert "at the latest" not in plain(orders.page(day, plan, False, orders.Look(), 80, 22))
