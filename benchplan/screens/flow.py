"""Flow: the day as lanes by clock time, and what limits it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchplan.model import Day, Plan
from benchplan.screens.actions import bindings
from benchplan.screens.page import Page, PageScreen
from benchplan.screens.session import Session
from benchplan.views import flow as view
from benchplan.views import look as looks
from benchplan.views.lanes import Lane, Level, lanes, levels
from benchplan.views.orders import cannot_rows
from benchplan.views.rows import Row, wrap_rows

NOW_EVERY_S = 5  # during a run the page is drawn again this often, and after every mark


class FlowScreen(PageScreen):
    """Lanes with a cursor; the lanes of a plan are made once."""

    NAME = "flow"
    BINDINGS = bindings("flow")

    def __init__(self) -> None:
        super().__init__()
        self._look = looks.Look()
        self._lanes: tuple[Plan, tuple[Lane, ...], tuple[Level, ...]] | None = None

    def looked_at(self, session: Session) -> tuple[object, ...]:
        now_s = self._now_s(session)
        return (self._look, None if now_s is None else now_s // NOW_EVERY_S)

    def _now_s(self, session: Session) -> int | None:
        """Return the moment to mark in the lanes: once the day is done there is none."""
        return session.now_s() if session.run and not session.done else None

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        day, (plan, stale) = session.day, self.plan_on_show(session)
        if day is None or plan is None:
            return wrap_rows("The day is being planned.", width, "quiet")
        if not isinstance(plan, Plan):
            return cannot_rows(plan, width)[:height]
        found, full = self._lanes_of(day, plan)
        look = looks.kept_within(plan, found, self._look, looks.chart_width(found, width))
        now_s = self._now_s(session)
        return view.page(day, plan, found, full, look, now_s, width, height, stale)

    def _lanes_of(self, day: Day, plan: Plan) -> tuple[tuple[Lane, ...], tuple[Level, ...]]:
        if self._lanes is None or self._lanes[0] is not plan:
            self._lanes = (plan, lanes(day, plan), levels(day, plan))
        return self._lanes[1:]

    def _turn(self, change: looks.Change, by: float) -> None:
        day, (plan, _) = self.session.day, self.plan_on_show(self.session)
        if day is None or not isinstance(plan, Plan):
            return
        found, _ = self._lanes_of(day, plan)
        cells = looks.chart_width(found, self.query_one(Page).size.width)
        look = looks.kept_within(plan, found, self._look, cells)
        self._look = change(plan, found, look, by, cells)
        self.show()

    def action_bar(self, by: int) -> None:
        self._turn(looks.moved, by)

    def action_lane(self, by: int) -> None:
        self._turn(looks.other_lane, by)

    def action_zoom(self, by: int) -> None:
        self._turn(looks.zoomed, by)

    def action_scroll_by(self, by: int) -> None:
        self._turn(looks.scrolled, by / 2)

    def action_end(self, by: int) -> None:
        """Go to the lane's first or last bar."""
        self._turn(looks.moved, by * 10**6)

    def action_to_now(self) -> None:
        now_s = self._now_s(self.session)
        if now_s is not None:
            self._turn(looks.to_moment, now_s)
        elif self.session.done:
            self.session.tell("The day is done: now is after its end.")
        else:
            self.session.tell("There is no run, so there is no now in the plan. 4 opens the bench.")

    def action_limits(self) -> None:
        self._look = replace(self._look, limits=not self._look.limits)
        self.show()
