"""The start page: the sample day, a new day from the sample, and the days that were open lately."""

from __future__ import annotations

from textual.app import ComposeResult

from benchplan.screens.actions import bindings
from benchplan.screens.base import DayScreen
from benchplan.screens.session import Session
from benchplan.screens.widgets.lines import Lines


class StartScreen(DayScreen):
    """What to open."""

    NAME = "start"
    BINDINGS = bindings("start")

    def body(self) -> ComposeResult:
        yield Lines(classes="start")

    def refresh_view(self, session: Session) -> None:
        pass
