"""Proven lower bounds on the finish: what no plan can beat, whatever its order.

``one_thing`` looks at one thing at a time: all the work it has to do, and the shortest time before
and after. ``flow`` follows the trays through oven, stand and mat in every order that could be best.
All of them may be below the best possible finish, and none is ever above it.
"""

from __future__ import annotations

from benchplan.scheduling.bounds.flow import Flow
from benchplan.scheduling.bounds.one_thing import any_trays, by_one_thing
from benchplan.scheduling.problem import Job, Shop

__all__ = ["any_trays", "given", "named"]

LOOKS = 3000  # trays that the flow places: about a tenth of a second


def given(shop: Shop, jobs: tuple[Job, ...], until: int | None = None, looks: int = LOOKS) -> int:
    """Return a lower bound in seconds on the finish with these trays.

    Once ``until`` is proven nothing more is: a plan's own finish, for one. More ``looks`` may prove
    more and take longer.
    """
    found = max(max(by_one_thing(shop, jobs).values()), any_trays(shop))
    for closely in (False, True) if shop.day.people == 1 else (False,):
        if until is not None and found >= until:
            break
        flow = Flow(shop, jobs, closely)
        found = max(found, flow.bound(looks, until))
        if flow.looks >= looks:
            break
    return found


def named(shop: Shop, jobs: tuple[Job, ...], looks: int = LOOKS) -> dict[str, int]:
    """Return every lower bound by what it looks at."""
    flows = {
        name: Flow(shop, jobs, closely).bound(looks)
        for name, closely in (("flow", False), ("flow, closely", True))
    }
    return {**by_one_thing(shop, jobs), "any trays": any_trays(shop), **flows}
