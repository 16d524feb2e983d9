"""Finds the earliest bake for a load: oven hot and empty, hands at both doors, places to land."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from benchplan.scheduling.problem import Shop, Work
from benchplan.scheduling.state import Taken
from benchplan.scheduling.timeline import NEVER


@dataclass(frozen=True, slots=True)
class Bake:
    """One load in one oven: from ``start`` it is loaded, from ``loaded`` to ``end`` it bakes.

    ``loader`` and ``unloader`` are at its two doors.
    """

    start: int
    loaded: int
    end: int
    oven: str
    loader: int = 0
    unloader: int = 0


@dataclass(frozen=True, slots=True)
class Asked:
    """What a bake is wanted for: ``trays`` alike in ``work``, not before ``after``.

    ``loader`` and ``unloader`` are whom to prefer; ``floor`` the earliest start of a preheat;
    ``promised`` says how many stand places that are taken now will be free in time.
    """

    trays: int
    work: Work
    after: int
    floor: int
    loader: int | None = None
    unloader: int | None = None
    promised: int = 0


def find_bake(shop: Shop, taken: Taken, asked: Asked, oven: str) -> Bake | None:
    """Return the earliest bake in ``oven``; None when hands can never be at both of its doors.

    Every condition that fails gives the next start worth trying, so this ends.
    """
    times = shop.day.times
    loading, unloading = asked.trays * times.load_s, asked.trays * times.unload_s
    ready = times.ready_s if unloading else 0
    stand = [0] * asked.promised + sorted(taken.stand)
    start = asked.after
    while True:
        start, off = oven_allows(shop, taken, asked, oven, start)
        loader = 0
        if loading:
            free, loader = taken.first_free(start, loading, asked.loader)
            if free > start:
                start = free
                continue
        end = start + loading + asked.work.bake
        if end + unloading > off:
            start = off
            continue
        wait = stand[0] - end
        for place in range(1, asked.trays):
            wait = max(wait, stand[place] - end - place * times.unload_s)
        if wait > 0:
            start += wait
            continue
        if not unloading:
            return Bake(start, start + loading, end, oven, loader)
        busy = loader if loading and end - ready < start + loading else None
        begin, unloader = taken.first_free(end - ready, ready + unloading, asked.unloader, busy)
        if begin == end - ready:
            return Bake(start, start + loading, end, oven, loader, unloader)
        if begin >= NEVER:
            return None
        start += begin - (end - ready)


def oven_allows(shop: Shop, taken: Taken, asked: Asked, oven: str, start: int) -> tuple[int, int]:
    """Return the first start from ``start`` on that the oven allows, and when it must be off."""
    kit, use = shop.day.ovens[oven], taken.ovens[oven]
    if use.last_end is not None:
        change = 0
        if asked.work.bake_at != use.last_at_c:
            change = ceil(round(kit.per_kelvin_s * abs(asked.work.bake_at - use.last_at_c), 9))
        start = max(start, use.last_end + kit.recover_s + change)
    for begin, end in shop.attended:
        if end <= start:
            continue
        hot = use.hot_at.get(begin, max(begin, asked.floor) + kit.preheat_s)
        if max(start, hot) < end:
            return max(start, hot), end
    raise AssertionError("the last attended stretch has no end")
