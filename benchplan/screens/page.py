"""A screen that is one page of rows: a pure view fills it, and only rows that changed are drawn."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from textual.app import ComposeResult

from benchplan.carrying.session import Session
from benchplan.model import Cannot, Plan
from benchplan.screens.base import DayScreen
from benchplan.screens.widgets.lines import Lines
from benchplan.views.drawing import BOX, BRAILLE
from benchplan.views.rows import Piece, Row, row


class Page(Lines):
    """Rows over the whole body; has them made anew when its size changes."""

    DEFAULT_CSS = "Page { height: 1fr; width: 100%; padding: 0 1; }"

    def on_resize(self) -> None:
        screen = self.screen
        if isinstance(screen, DayScreen):
            screen.show()


class PageScreen(DayScreen):
    """A screen whose body is a page. While a changed day is planned, the plan before it stays."""

    NEEDS_DAY = True

    def __init__(self) -> None:
        super().__init__()
        self._key: tuple[object, ...] = ()
        self._kept: tuple[object, Plan] | None = None  # the file it is of, and a plan of its day

    def body(self) -> ComposeResult:
        yield Page()

    def refresh_view(self, session: Session) -> None:
        page = self.query_one(Page)
        width, height = page.size
        if width <= 0 or height <= 0:
            return
        if session.day is None and self.NEEDS_DAY:
            page.show([row(Piece("The plan file is being read.", "quiet"))])
            return
        key = (session.day, session.plan, width, height, *self.looked_at(session))
        if len(key) == len(self._key) and all(map(_same, key, self._key)):
            return
        self._key = key
        page.show(self.rows(session, width, height))

    def looked_at(self, session: Session) -> tuple[object, ...]:
        """Return what else the rows depend on; the rows are made again when it changes."""
        return ()

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        """Return the page's rows."""
        raise NotImplementedError

    def plan_on_show(self, session: Session) -> tuple[Plan | Cannot | None, bool]:
        """Return the plan to show, and whether it is stale: of the day before its last change."""
        if isinstance(session.plan, Plan):
            self._kept = (session.plan_file, session.plan)
        if session.plan is not None:
            return session.shown()[1], False
        if self._kept is not None and self._kept[0] is session.plan_file:
            return self._kept[1], True
        return None, False


def _same(one: object, other: object) -> bool:
    """Records of a day compare by being the same one: comparing all they hold takes too long."""
    if isinstance(one, (int, str, bool, type(None))):
        return one == other
    return one is other


def drawing_mode() -> str:
    """Return how to draw: with braille dots, or lines only where a terminal has no such glyphs."""
    encoding = (getattr(sys.stdout, "encoding", "") or "").lower().replace("-", "")
    plain = os.environ.get("TERM") == "linux" or encoding not in ("utf8", "")
    return BOX if plain else BRAILLE
