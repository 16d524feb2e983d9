"""Fit: pan, oven shelf and mat, drawn to scale with tins on them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from benchplan.carrying.session import Session
from benchplan.model import Day, Fit, Margins, Plan
from benchplan.model.stop import Stop
from benchplan.screens.actions import bindings
from benchplan.screens.page import PageScreen, drawing_mode
from benchplan.views import fit as view
from benchplan.views.rows import Row


class FitScreen(PageScreen):
    """A list of what stands on what, and the drawing of the chosen line."""

    NAME = "fit"
    BINDINGS = bindings("fit")

    def __init__(self) -> None:
        super().__init__()
        self._at = 0
        self._sight = 0
        self._gaps = False
        self._asked: tuple[object, ...] = ()  # what margins were asked for last
        self._margins: Margins | None = None  # and they, once they are there

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._at, self._sight, self._gaps, session.searching, self._margins)

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        day, (plan, _) = session.day, self.plan_on_show(session)
        if day is None:
            return []
        fits = plan.fits if plan is not None else ()
        known = plan if isinstance(plan, Plan) else None
        shown = view.choices(fits)
        margins = self._margins_of(day, shown[min(self._at, len(shown) - 1)]) if shown else None
        look = view.Look(self._at, self._sight, self._gaps, session.searching, margins)
        return view.page(day, fits, known, look, width, height, drawing_mode())

    def _margins_of(self, day: Day, fit: Fit) -> Margins | None:
        """Return the margins of a fit, or have them found behind: that may take a second."""
        asked = (fit, day.pans.get(fit.pan or ""), day.tins.get(fit.tin or ""))
        if asked != self._asked:
            self._asked, self._margins = asked, None
            self.bench_app.jobs.start(
                "margins", partial(_find, day, fit), partial(self._take, asked)
            )
        return self._margins

    def _take(self, asked: tuple[object, ...], found: Margins | None) -> None:
        if asked == self._asked:
            self._margins = found
            self.show()

    def action_gaps(self) -> None:
        self._gaps = not self._gaps
        self.show()

    def action_line(self, by: int) -> None:
        plan, _ = self.plan_on_show(self.session)
        count = len(view.choices(plan.fits)) if plan is not None else 0
        self._at = min(max(self._at + by, 0), max(0, count - 1))
        self._sight = 0
        self.show()

    def action_sight(self, by: int) -> None:
        """Step through what the plan really puts there; where there is nothing, change the list."""
        plan, _ = self.plan_on_show(self.session)
        day = self.session.day
        if plan is None or day is None:
            return
        shown = view.choices(plan.fits)
        known = plan if isinstance(plan, Plan) else None
        count = len(view.sights(shown[self._at], day, known)) if self._at < len(shown) else 0
        if count:
            self._sight = (self._sight + by) % (count + 1)
        else:
            self._at, self._sight = view.group_step(plan.fits, self._at, by), 0
        self.show()


def _find(day: Day, fit: Fit, stop: Stop) -> Margins | None:
    from benchplan.fitting import margins_of

    return margins_of(day, fit)
