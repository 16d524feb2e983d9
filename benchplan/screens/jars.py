"""Jars: which scents the day needs in dry beads, and when their jars must be started."""

from __future__ import annotations

from collections.abc import Sequence

from benchplan.mixing import jars_needed
from benchplan.screens.actions import bindings
from benchplan.screens.page import PageScreen
from benchplan.screens.session import Session
from benchplan.views import jars as view
from benchplan.views.rows import Row


class JarsScreen(PageScreen):
    """One line a scent."""

    NAME = "jars"
    BINDINGS = bindings("jars")

    def __init__(self) -> None:
        super().__init__()
        self._at = 0

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._at, session.local_now().toordinal())

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        if session.day is None:
            return []
        today = session.local_now().date()
        return view.page(session.day, jars_needed(session.day), today, self._at, width, height)

    def action_line(self, by: int) -> None:
        if self.session.day is not None:
            most = len(jars_needed(self.session.day)) - 1
            self._at = min(max(self._at + by, 0), max(0, most))
            self.show()
