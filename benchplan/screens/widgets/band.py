"""The band: a full-width message that stays until it is acted on. It stands in for toasts."""

from __future__ import annotations

from benchplan.screens.widgets.lines import Lines
from benchplan.views.rows import Row

KINDS = ("tell", "soon", "late")


class Band(Lines):
    """Rows across the whole width in one of three kinds; without rows it takes no room."""

    DEFAULT_CSS = "Band { height: auto; width: 100%; } Band.-empty { display: none; }"

    def __init__(self) -> None:
        super().__init__(classes="-empty")

    def say(self, rows: tuple[Row, ...], kind: str = "tell") -> None:
        """Show ``rows`` as one of ``KINDS``; no rows hide the band."""
        for each in KINDS:
            self.set_class(bool(rows) and each == kind, f"-{each}")
        self.set_class(not rows, "-empty")
        self.show(rows)
