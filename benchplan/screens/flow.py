"""Flow: the day as lanes by clock time, what limits it, and its balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchplan.carrying.session import Session
from benchplan.model import Day, Plan
from benchplan.screens.actions import bindings, footer_of
from benchplan.screens.balancing import Balancing
from benchplan.screens.page import Page, PageScreen
from benchplan.views import balance as chart
from benchplan.views import flow as view
from benchplan.views import limits as words
from benchplan.views import look as looks
from benchplan.views.lanes import Lane, Level, lanes, levels
from benchplan.views.orders import cannot_rows
from benchplan.views.rows import Row, wrap_rows

NOW_EVERY_S = 5  # during a run the page is drawn again this often, and after every mark


class FlowScreen(PageScreen):
    """Lanes with a cursor, and two pages in their place; the lanes of a plan are made once."""

    NAME = "flow"
    BINDINGS = bindings("flow")

    def __init__(self) -> None:
        super().__init__()
        self._look = looks.Look()
        self._lanes: tuple[Plan, tuple[Lane, ...], tuple[Level, ...]] | None = None
        self._balance: Balancing | None = None
        self._day: Day | None = None  # that the balance's cursor is of

    @property
    def _balancing(self) -> Balancing:
        if self._balance is None:
            self._balance = Balancing(self.bench_app)
        return self._balance

    def refresh_view(self, session: Session) -> None:
        if session.day is not self._day:
            self._day, self._look = session.day, replace(self._look, room=None)
        self._balancing.follow(self._page(session) == "balance")
        super().refresh_view(session)

    def on_screen_suspend(self) -> None:
        """Leave the machine to what is done on other screens; a question is none."""
        if self not in self.app.screen_stack:
            self._balancing.end()

    def own_keys(self, session: Session) -> list[tuple[str, str]]:
        page = self._page(session)
        if page == "limits":
            page = "limits, last" if self._look.part + 1 >= self._limits_pages() else page
        return (
            super().own_keys(session)
            if page == "lanes"
            else footer_of(self.NAME, page, session.keys)
        )

    def looked_at(self, session: Session) -> tuple[object, ...]:
        now_s = self._now_s(session)
        moment = None if now_s is None else now_s // NOW_EVERY_S
        return (self._look, moment, session.run is None, self._balancing.found)

    def _now_s(self, session: Session) -> int | None:
        """Return the moment to mark in the lanes: once the day is done there is none."""
        return session.now_s() if session.run and not session.done else None

    def _planned_s(self, session: Session) -> int:
        """Return the second of a run that the plan on show was made at."""
        return self.bench_app.runs.replanning.followed_s if session.run else 0

    def _page(self, session: Session) -> str:
        """Return which page is open: there is a balance only of a day that can be changed."""
        page = self._look.page
        plan = self.plan_on_show(session)[0]
        possible = isinstance(plan, Plan) and not (page == "balance" and session.run)
        return page if possible else looks.PAGES[0]

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        (day, _), (plan, stale) = session.shown(), self.plan_on_show(session)
        if day is None or plan is None:
            return wrap_rows("The day is being planned.", width, "quiet")
        if not isinstance(plan, Plan):
            return cannot_rows(plan, width)[:height]
        page = self._page(session)
        if page == "balance":
            found = self._balancing.found
            return chart.page(day, found, self._look.room, width, height, stale)
        if page == "limits":
            return words.page(
                day,
                plan,
                self._look.part,
                width,
                height,
                planned_s=self._planned_s(session),
                working=session.run is None,
                stale=stale,
            )
        found_lanes, full = self._lanes_of(day, plan)
        cells = looks.chart_width(found_lanes, width)
        look = looks.kept_within(plan, found_lanes, self._look, cells)
        return view.page(
            day,
            plan,
            found_lanes,
            full,
            look,
            self._now_s(session),
            width,
            height,
            stale,
            self._planned_s(session),
        )

    def _limits_pages(self) -> int:
        """Return how many pages it takes to say what limits the day."""
        session = self.session
        (day, _), (plan, _) = session.shown(), self.plan_on_show(session)
        if day is None or not isinstance(plan, Plan):
            return 1
        found = words.pages(
            day,
            plan,
            *self.query_one(Page).size,
            planned_s=self._planned_s(session),
            working=session.run is None,
        )
        return len(found)

    def _lanes_of(self, day: Day, plan: Plan) -> tuple[tuple[Lane, ...], tuple[Level, ...]]:
        if self._lanes is None or self._lanes[0] is not plan:
            self._lanes = (plan, lanes(day, plan), levels(day, plan))
        return self._lanes[1:]

    def _turn(self, change: looks.Change, by: float) -> None:
        """Let a key move the cursor of the page that is open."""
        (day, _), (plan, _) = self.session.shown(), self.plan_on_show(self.session)
        if day is None or not isinstance(plan, Plan):
            return
        page, look, found = self._page(self.session), self._look, self._balancing.found
        if page == "limits":
            last = self._limits_pages() - 1
            part = min(look.part, last) + (1 if by > 0 else -1)
            self._look = replace(look, part=min(max(part, 0), last))
        elif page == "balance":
            if found is not None:
                steps = int(by) or (1 if by > 0 else -1)
                self._look = replace(look, room=chart.turned(found, look.room, steps))
        else:
            found_lanes, _ = self._lanes_of(day, plan)
            cells = looks.chart_width(found_lanes, self.query_one(Page).size.width)
            look = looks.kept_within(plan, found_lanes, look, cells)
            self._look = change(plan, found_lanes, look, by, cells)
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
            self._look = replace(self._look, page=looks.PAGES[0])
            self._turn(looks.to_moment, now_s)
        elif self.session.done:
            self.session.tell("The day is done: now is after its end.")
        else:
            bench = self.session.key("bench")
            self.session.tell(f'No run in progress, so there is no "now" to show. {bench}: Bench.')

    def action_limits(self) -> None:
        """Go to what limits the day, from page to page, and from the last back to the lanes."""
        here = self._page(self.session) == "limits"
        part = self._look.part + 1 if here else 0
        if here and part >= self._limits_pages():
            self._open(looks.PAGES[0])
        else:
            self._look = replace(self._look, part=part)
            self._open("limits")

    def action_balance(self) -> None:
        """Go to the balance, or back."""
        plan, _ = self.plan_on_show(self.session)
        if self.session.run is not None:
            words = "A run is on, and nothing else is planned. The balance is for a day not begun."
            self.session.tell(words)
        elif not isinstance(plan, Plan):
            self.session.tell("There is a balance once the day has a plan.")
        else:
            page = self._page(self.session)
            self._open(looks.PAGES[0] if page == "balance" else "balance")

    def back(self) -> None:
        """Go back to the lanes."""
        self._look = replace(self._look, page=looks.PAGES[0])

    def _open(self, page: str) -> None:
        self._look = replace(self._look, page=page)
        self.session.tell("")
