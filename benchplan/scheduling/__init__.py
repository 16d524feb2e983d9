"""From orders and capacities to trays, loads and steps on a clock, and how good that is."""

from __future__ import annotations

from dataclasses import replace

from benchplan.model import Cannot, Past, Plan
from benchplan.model.stop import Stop
from benchplan.scheduling.again import begun_from
from benchplan.scheduling.assemble import Schedule, assembled
from benchplan.scheduling.bounds import any_trays, given
from benchplan.scheduling.builder import CannotBuildError
from benchplan.scheduling.improve import search
from benchplan.scheduling.limits import limits
from benchplan.scheduling.problem import Capacities, Job, Shop
from benchplan.scheduling.reasons import impossible
from benchplan.scheduling.rebuild import rebuild

__all__ = [
    "Capacities", "Job", "Schedule", "Shop", "any_trays", "given", "impossible", "limits",
    "rebuilt", "scheduled",
]  # fmt: skip


def scheduled(shop: Shop, stop: Stop, seed: int, like: Plan | None = None) -> Schedule | Cannot:
    """Return the best schedule found before ``stop``, or why there is none.

    ``like`` is the plan of a day like this one, to begin from where it can be done here.
    """
    reasons = impossible(shop)
    if reasons:
        return Cannot(reasons)
    try:
        draft = begun_from(shop, like) if like else None
        return assembled(search(shop, stop, seed, draft).building)
    except CannotBuildError as error:
        return Cannot((str(error),))


def rebuilt(shop: Shop, plan: Plan, past: Past, stop: Stop) -> Schedule:
    """Return the plan's trays with what is past as it was and the rest from now on.

    Raises ``Stopped`` once ``stop`` says so.
    """
    found = assembled(rebuild(shop, plan, past, stop))
    whole = {tray.number: tray.to_fill for tray in plan.trays}  # also what is filled since
    trays = tuple(replace(tray, to_fill=whole[tray.number]) for tray in found.trays)
    return replace(found, trays=trays)
