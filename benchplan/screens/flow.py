"""Flow: the day as lanes by clock time, and what limits it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from benchplan.model import Day, Plan
from benchplan.screens.actions import bindings
from benchplan.screens.page import Page, PageScreen
from benchplan.screens.session import Session
from benchplan.views import flow as view
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
        self._look = view.Look()
        self._lanes: tuple[Plan, tuple[Lane, ...], tuple[Level, ...]] | None = None

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._look, session.now_s() // NOW_EVERY_S if session.run else None)

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        day, (plan, stale) = session.day, self.plan_on_show(session)
        if day is None or plan is None:
            return wrap_rows("The day is being planned.", width, "quiet")
        if not isinstance(plan, Plan):
            return cannot_rows(plan, width)[:height]
        found, full = self._lanes_of(day, plan)
        look = view.kept_within(plan, found, self._look, view.chart_width(found, width))
        now_s = session.now_s() if session.run else None
        return view.page(day, plan, found, full, look, now_s, width, height, stale)

    def _lanes_of(self, day: Day, plan: Plan) -> tuple[tuple[Lane, ...], tuple[Level, ...]]:
        if self._lanes is None or self._lanes[0] is not plan:
            self._lanes = (plan, lanes(day, plan), levels(day, plan))
        return self._lanes[1:]

    def _turn(self, change: Callable[[Plan, Sequence[Lane], view.Look, int], view.Look]) -> None:
        day, (plan, _) = self.session.day, self.plan_on_show(self.session)
        if day is None or not isinstance(plan, Plan):
            return
        found, _ = self._lanes_of(day, plan)
        cells = view.chart_width(found, self.query_one(Page).size.width)
        look = view.kept_within(plan, found, self._look, cells)
        self._look = change(plan, found, look, cells)
        self.show()

    def action_bar(self, by: int) -> None:
        self._turn(lambda plan, found, look, cells: view.moved(plan, found, look, by, cells))

    def action_lane(self, by: int) -> None:
        self._turn(lambda plan, found, look, cells: view.other_lane(plan, found, look, by, cells))

    def action_zoom(self, by: int) -> None:
        self._turn(lambda plan, found, look, cells: view.zoomed(plan, found, look, by, cells))

    def action_scroll_by(self, by: int) -> None:
        self._turn(lambda plan, found, look, cells: view.scrolled(plan, found, look, by / 2, cells))

    def action_end(self, by: int) -> None:
        """Go to the lane's first or last bar."""
        most = 10**6 * by
        self._turn(lambda plan, found, look, cells: view.moved(plan, found, look, most, cells))

    def action_to_now(self) -> None:
        if not self.session.run:
            self.session.tell("There is no run, so there is no now in the plan. 4 opens the bench.")
            return
        now_s = self.session.now_s()
        self._turn(
            lambda plan, found, look, cells: view.in_sight(
                plan, found, view.at_time(found, look, now_s), cells
            )
        )

    def action_limits(self) -> None:
        self._look = replace(self._look, limits=not self._look.limits)
        self.show()
