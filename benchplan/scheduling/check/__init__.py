"""States every rule of a day a second time, apart from whatever makes plans, and tries a plan.

Nothing here is shared with the rooms that make plans: a mistake there must not be repeated here.
Capacities (tins on a pan, pans on a shelf, tins on the mat) are taken from the plan's own fits,
whose geometry is another checker's business.
"""

from __future__ import annotations

from benchplan.model import Day, Plan
from benchplan.scheduling.check import hands, ovens, places, scales, steps, totals, trays
from benchplan.scheduling.check.reading import RULES, read

__all__ = ["RULES", "check_plan"]


def check_plan(day: Day, plan: Plan) -> list[str]:
    """Return every rule that ``plan`` breaks, each a sentence "rule: which tray, and how".

    The word before the colon is one of ``RULES``. An empty list means that the plan obeys the
    day. ``day`` has every recipe's ``cool_for_s`` set. A malformed plan is reported, never raised.
    """
    book, found = read(day, plan)
    for rules in (trays, steps, hands, scales, ovens, places, totals):
        found.extend(rules.check(book))
    return found
