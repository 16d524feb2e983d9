"""All that is said of a plan when more is asked for. No input, no output."""

from __future__ import annotations

from dataclasses import replace

from benchplan.chance import chance
from benchplan.fitting import KnownFits
from benchplan.in_time import in_time
from benchplan.model import Day, Plan
from benchplan.model.stop import Stop
from benchplan.one_more import one_more
from benchplan.start_by import start_by


def more(
    day: Day, plan: Plan, known_fits: KnownFits | None = None, cancelled: Stop = lambda: False
) -> Plan:
    """Return the plan with one more of each thing, the latest start, how sure it is to be in time,
    and for a late day what would make it in time. Ends early once ``cancelled``.
    """
    plan = replace(plan, one_more=one_more(day, plan, known_fits=known_fits, cancelled=cancelled))
    plan = replace(plan, start_by_s=start_by(day, plan, known_fits=known_fits, cancelled=cancelled))
    plan = replace(plan, chance=chance(day, plan, stop=cancelled))
    return replace(plan, in_time=in_time(day, plan, known_fits=known_fits, cancelled=cancelled))
