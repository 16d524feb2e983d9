"""Orders: what must be ready and the queue of trays; tins and queue can be changed here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from benchplan.carrying.session import Session
from benchplan.model import Day, Fit, Order, Plan
from benchplan.model.words import whole_number
from benchplan.screens.actions import bindings
from benchplan.screens.dialogs import Field, Fields
from benchplan.screens.page import PageScreen
from benchplan.views import edits
from benchplan.views import orders as view
from benchplan.views.rows import Row

MOST_TINS = 9999


class OrdersScreen(PageScreen):
    """Two lists, one cursor; every change is planned at once, in a worker."""

    NAME = "orders"
    BINDINGS = bindings("orders")

    def __init__(self) -> None:
        super().__init__()
        self._look = view.Look()

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._look,)

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        day, (plan, stale) = session.day, self.plan_on_show(session)
        return [] if day is None else view.page(day, plan, stale, self._look, width, height)

    def _within(self) -> view.Look:
        """Return the look with its cursor on lines that are there now."""
        day = self.session.day
        if day is None:
            return self._look
        plan, stale = self.plan_on_show(self.session)
        return view.kept_within(self._look, day, plan, stale)

    def _turn(self, look: view.Look) -> None:
        self._look = look
        self._look = self._within()
        self.show()

    def action_line(self, by: int) -> None:
        look = self._within()
        if look.where == "orders":
            self._turn(replace(look, order=look.order + by))
        else:
            self._turn(replace(look, tray=look.tray + by))

    def action_other_list(self) -> None:
        look = self._within()
        self._turn(replace(look, where="queue" if look.where == "orders" else "orders"))

    def action_tins(self, by: int) -> None:
        """Change the tins of the order under the cursor."""
        day, order = self.session.day, self._order()
        if day is not None and order is not None:
            self._change(edits.change_tins(day, order, by, self._fits()))

    def action_numbers(self) -> None:
        """Ask for an order's tins, and how many of them are filled already."""
        day, order = self.session.day, self._order()
        if day is None or order is None or not self.session.may_change():
            return

        def take(answer: tuple[str, ...] | None) -> None:
            if answer is None or self.session.day is not day:
                return
            tins, filled = int(answer[0]), int(answer[1])
            changed = edits.change_tins(day, order, tins - order.tins, self._fits())
            now = changed.orders[day.orders.index(order)]
            self._change(edits.change_filled(changed, now, filled - now.filled))

        self.app.push_screen(
            Fields(
                f"{order.scent}, {order.recipe}",
                "Tins filled the evening before need no filling today.",
                [
                    Field("Tins that must be ready", str(order.tins), _whole(1)),
                    Field("Of these, filled already", str(order.filled), _whole(0)),
                ],
                yes="Change",
            ),
            take,
        )

    def action_move_tray(self, by: int) -> None:
        """Move the tray under the cursor in the queue; from then on the order is kept."""
        look = self._within()
        day, (plan, _) = self.session.day, self.plan_on_show(self.session)
        if day is None or not isinstance(plan, Plan):
            return
        if look.where != "queue":
            key = self.session.key("other_list")
            self.session.tell(f"Press {key} to go to the queue, then choose the tray to move.")
            return
        changed = edits.move_tray(day, plan, look.tray + 1, by)
        if changed is not day and self._change(changed):
            self._turn(replace(look, tray=look.tray + by))

    def action_planners_order(self) -> None:
        day = self.session.day
        if day is None:
            return
        if day.queue or day.keep_order:
            self._change(edits.planners_order(day))
        else:
            self.session.tell("The queue is in the planner's own order already.")

    def _change(self, day: Day) -> bool:
        return day != self.session.day and self.session.change_day(day)

    def _order(self) -> Order | None:
        day = self.session.day
        return day.orders[self._within().order] if day is not None and day.orders else None

    def _fits(self) -> Sequence[Fit]:
        plan, _ = self.plan_on_show(self.session)
        return plan.fits if plan is not None else ()


def _whole(least: int) -> Callable[[str], str]:
    def check(text: str) -> str:
        number = whole_number(text)
        if number is not None and least <= number <= MOST_TINS:
            return ""
        return f"Type a whole number from {least} to {MOST_TINS}, not {text!r}."

    return check
