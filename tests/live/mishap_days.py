"""A day of three trays in which things go otherwise than planned, for the tests of marks."""

from __future__ import annotations

from dataclasses import replace

from live_days import CEDAR, FENNEL, ON, Bench, make_day, make_plan, one

from benchplan import planner
from benchplan.fitting import fit_day
from benchplan.live import Hot
from benchplan.model import (
    Action,
    Day,
    Mark,
    Order,
    Oven,
    Plan,
)
from benchplan.model.stop import Iterations

ORDERS = (Order("Sea fennel", "standard", 16), Order("Cedar", "standard", 8))


def bench(**changes: object) -> Bench:
    """Return a day of three trays whose first is in the oven since second 900."""
    day = make_day(orders=ORDERS, **changes)
    plan = make_plan(day, [FENNEL, FENNEL, CEDAR], people=day.people)
    found = Bench(day, replace(plan, fits=fit_day(day)))
    for action in (ON, one("fill", 1), one("set", 1), one("load", 1)):
        found.now += 225
        found.mark(action)
    return found


def oven(at: Bench) -> Hot:
    return next(hot for hot in at.state.hot if hot.kind == "oven")


def add(
    at: Bench, what: str, action: Action | None = None, person: int = 1, **more: object
) -> None:
    at.add(Mark(what, at.now, at.now, action, person=person, **more))  # type: ignore[arg-type]


def replanned(at: Bench) -> Plan:
    """Return the plan that follows the marks, made from a real plan of the day."""
    return planner.replan(at.day, at.plan, at.marks, at.now)


def step_end(plan: Plan, tray: int, step: str) -> int:
    found = plan.step(tray, step)
    assert found is not None
    return found.end_s


def busy(plan: Plan, tray: int, name: str) -> int:
    found = plan.step(tray, name)
    assert found is not None
    return sum(end - begin for begin, end in found.parts)


def two_ovens(**changes: object) -> tuple[Day, Plan]:
    day = make_day(
        orders=ORDERS,
        ovens={
            "large": Oven("large", (362.0, 292.0), shelves=2),
            "spare": Oven("spare", (362.0, 292.0)),
        },
        people=2,
    )
    day = replace(day, **changes)  # type: ignore[arg-type]
    plan = planner.plan_day(day, Iterations(50))
    assert isinstance(plan, Plan)
    return day, plan
