"""One person's card: what to do, big figures, and the checklist."""

from __future__ import annotations

from textual.containers import Vertical

from benchplan.screens.widgets.big_digits import BigDigits
from benchplan.screens.widgets.lines import Lines
from benchplan.views.bench import CardView

KINDS = ("now", "later", "soon", "late", "held", "idle")


class CardBox(Vertical):
    """Shows a card's view; its kind and whether it has the focus are classes."""

    def __init__(self) -> None:
        self.head = Lines(classes="head")
        self.digits = BigDigits()
        self.tail = Lines(classes="tail")
        super().__init__(self.head, self.digits, self.tail)

    def show(self, view: CardView, focused: bool) -> None:
        """Show another view of the card."""
        for kind in KINDS:
            self.set_class(kind == view.kind, f"-{kind}")
        self.set_class(focused, "-focused")
        self.head.show(view.head)
        self.digits.show(view.digits, view.digits_high)
        self.tail.show(view.tail)
