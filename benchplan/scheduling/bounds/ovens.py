"""What has gone through the ovens: loads one after another, and trays out and not yet moved."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Protocol

from benchplan.scheduling.bounds.kinds import Counts, Group, Kinds
from benchplan.scheduling.problem import Shop

Out = tuple[int, int]  # a tray's group, and when it is on the stand
Load = tuple[
    int, int, int
]  # its last unload's end, its bake's end, how long that is from its start


class Places(Protocol):
    """When places became free that the trays before had."""

    moved: int
    ends: tuple[int, ...]
    pans: tuple[tuple[int, ...], ...]
    pan_counts: Counts


class Pool:
    """The loads until now: the last ones, their heat, who is out of them, how many by kind of pan.

    ``out`` are the trays of loads that are not yet in the order, the first one first.
    """

    __slots__ = ("at", "by_pan", "loads", "out")

    def __init__(
        self, loads: tuple[Load, ...], at: float, out: tuple[Out, ...], by_pan: Counts
    ) -> None:
        self.loads, self.at, self.out, self.by_pan = loads, at, out, by_pan

    def without(self, place: int) -> Pool:
        """Return the pool without one of the trays that are out."""
        return Pool(self.loads, self.at, self.out[:place] + self.out[place + 1 :], self.by_pan)


class Ovens:
    """The earliest loads in a day's ovens."""

    def __init__(self, shop: Shop, kinds: Kinds) -> None:
        day = shop.day
        self.kinds, self.groups, self.hours = kinds, kinds.groups, kinds.hours
        self.on_pan = day.on_pan
        self.load_s, self.unload_s = day.times.load_s, day.times.unload_s
        self.stand = day.cooling.stand
        ovens = list(day.ovens.values())
        self.count = len(ovens)
        self.preheat = min(oven.preheat_s for oven in ovens)
        self.recover = min(oven.recover_s for oven in ovens)
        self.per_kelvin = ovens[0].per_kelvin_s if self.count == 1 else 0.0
        self.together = max(group.together for group in self.groups)
        self.shortest = self.load_s + min(group.bake for group in self.groups)
        # Whether a tray is still on its stand place when the last of its load is unloaded.
        rest = min(group.rest for group in self.groups)
        patient = self.count == 1 and rest >= (self.together - 1) * self.unload_s
        self.waits = kinds.lands and (self.on_pan or self.together == 1 or patient)

    def fetched(
        self, node: Places, pool: Pool, group: int, left: Counts
    ) -> Iterator[tuple[Pool, int]]:
        """Yield every way to get a tray of a group out: the pool after it, when it is out.

        ``left`` counts the trays of each group that are not yet in the order. Trays of one group
        get out in their order; those of other groups may be out before and be moved later.
        """
        for place, (other, out) in enumerate(pool.out):
            if other == group:
                yield pool.without(place), out
                return
        if self.on_pan and pool.out:
            return
        yield from self._loaded(node, pool, group, left)

    def _loaded(
        self, node: Places, pool: Pool, group: int, left: Counts
    ) -> Iterator[tuple[Pool, int]]:
        before = len(pool.out)
        for trays in range(1, min(self.groups[group].together, left[group]) + 1):
            loaded = self.loaded(node, pool, group, trays)
            if loaded is not None:
                yield loaded.without(before), loaded.out[before][1]
        if self.on_pan or len(self.groups) == 1:
            return
        for other in range(len(self.groups)):
            there = sum(1 for each, _ in pool.out if each == other)
            if other != group:
                for trays in range(1, min(self.groups[other].together, left[other] - there) + 1):
                    loaded = self.loaded(node, pool, other, trays)
                    if loaded is not None:
                        yield from self._loaded(node, loaded, group, left)

    def loaded(self, node: Places, pool: Pool, index: int, trays: int) -> Pool | None:
        """Return the pool after another load of so many trays of a group; None: it cannot be."""
        group = self.groups[index]
        lasts = trays * self.load_s + group.bake
        # With several ovens the loads come in the order of their bakes' ends, not of their starts.
        spare = lasts - self.shortest if self.count > 1 else 0
        before = node.moved + len(pool.out)
        start = self.preheat
        for place in range(trays):
            free = self._pans(node, pool, group, place + 1)
            if free is None:
                return None
            ready = max(free, self.kinds.head[before + place + 1])
            start = max(start, ready - place * self.load_s - spare)
        if self.count == 1:
            if pool.loads:
                pause = self.recover
                if pool.at != group.bake_at:
                    pause += ceil(round(self.per_kelvin * abs(pool.at - group.bake_at), 6))
                start = max(start, pool.loads[0][0] + pause)
        elif len(pool.loads) == self.count:
            shortest = min(lasts, *(each for _, _, each in pool.loads[1:]))
            out = min(end for end, _, _ in pool.loads)
            start = max(start, out + self.recover + shortest - lasts)
        if self.count > 1 and pool.loads:
            start = max(start, pool.loads[-1][1] - lasts)
        for place in range(trays):
            landed = self._landed(node, before, place)
            if landed is None:
                return None
            start = max(start, landed - place * self.unload_s - lasts)
        if self.hours.gaps:
            start = self.hours.hot(start, lasts + trays * self.unload_s, self.preheat)
        baked = start + lasts
        # With several ovens nothing is said of the order of unloads in different ones.
        apart = self.unload_s if self.count == 1 else 0
        more = tuple((index, baked + self.unload_s + place * apart) for place in range(trays))
        by_pan = list(pool.by_pan)
        by_pan[group.pan] += trays
        loads = (*pool.loads, (baked + trays * self.unload_s, baked, lasts))[-self.count :]
        at = group.bake_at if self.count == 1 else 0.0
        return Pool(loads, at, pool.out + more, tuple(by_pan))

    def _pans(self, node: Places, pool: Pool, group: Group, trays: int) -> int | None:
        """Return when so many more pans can have been set; None when they are not free in time.

        A tray is set before its own load step, which may be after others of its load.
        The n-th tray of a kind of pan is set after n less the number of pans have been emptied.
        """
        emptied = pool.by_pan[group.pan] + trays - self.kinds.pans[group.pan]
        if emptied <= 0:
            return 0
        count, known = node.pan_counts[group.pan], node.pans[group.pan]
        if emptied > count:
            return None
        free = known[emptied - 1 - (count - len(known))]
        return self.hours.start(free, group.set) + group.set

    def _landed(self, node: Places, before: int, place: int) -> int | None:
        """Return when a tray of a load finds its stand place free; None when it never does.

        A tray that is not yet in the order is moved no earlier than the one that the load is for,
        so it has its place until then.
        """
        needed = before + place + 1 - self.stand
        if self.count > 1:
            needed -= (self.count - 1) * max(0, self.together - 1 - place)
        if needed <= 0 or (place and not self.waits):
            return 0
        if needed > node.moved:
            return None if self.waits or not place else 0
        return node.ends[needed - 1 - (node.moved - len(node.ends))]
