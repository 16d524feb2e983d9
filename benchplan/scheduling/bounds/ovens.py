"""What has gone through the ovens: loads one after another, and trays out and not yet moved."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Protocol

from benchplan.scheduling.bounds.hours import worked
from benchplan.scheduling.bounds.kinds import Counts, Group, Kinds
from benchplan.scheduling.problem import Shop

Out = tuple[int, int]  # a tray's group, and when it is on the stand
Used = tuple[int, float]  # when an oven's last unload ends (0: it is cold), and its heat


class Places(Protocol):
    """When places became free that the trays before had, and how the last one was moved."""

    kind: int
    start: int
    end: int
    moved: int
    ends: tuple[int, ...]
    pans: tuple[tuple[int, ...], ...]
    pan_counts: Counts


class Pool:
    """The loads until now: how each oven is left, who is out, how many trays by kind of pan.

    ``out`` are the trays of loads that are not yet in the order, the first one first. ``start`` and
    ``baked`` are those of the last load, ``trays`` how many it has.
    """

    __slots__ = ("baked", "by_pan", "group", "out", "oven", "ovens", "since", "start", "trays")

    since: Pool | None  # the same before the last load

    def __init__(self, ovens: tuple[Used, ...], out: tuple[Out, ...], by_pan: Counts) -> None:
        self.ovens, self.out, self.by_pan = ovens, out, by_pan
        self.start = self.baked = self.trays = self.group = self.oven = 0
        self.since = None

    def without(self, place: int) -> Pool:
        """Return the pool without one of the trays that are out."""
        pool = Pool(self.ovens, self.out[:place] + self.out[place + 1 :], self.by_pan)
        pool.start, pool.baked, pool.trays = self.start, self.baked, self.trays
        pool.group, pool.oven, pool.since = self.group, self.oven, self.since
        return pool


class Ovens:
    """The earliest loads in a day's ovens."""

    def __init__(self, shop: Shop, kinds: Kinds) -> None:
        day = shop.day
        self.kinds, self.groups, self.hours = kinds, kinds.groups, kinds.hours
        self.on_pan, self.alone = day.on_pan, day.people == 1
        self.load_s, self.unload_s = day.times.load_s, day.times.unload_s
        self.stand = day.cooling.stand
        self.kits = list(day.ovens.values())
        self.count = len(self.kits)
        self.recover = min(kit.recover_s for kit in self.kits)
        self.together = max(max(group.together) for group in self.groups)
        self.shortest = self.load_s + min(group.bake for group in self.groups)
        self.alike = [
            next(
                first
                for first in range(self.count)
                if (kit.preheat_s, kit.recover_s, kit.per_kelvin_s)
                == (
                    self.kits[first].preheat_s,
                    self.kits[first].recover_s,
                    self.kits[first].per_kelvin_s,
                )
                and all(group.together[first] == group.together[own] for group in self.groups)
            )
            for own, kit in enumerate(self.kits)
        ]
        # Whether a tray is still on its stand place when the last of its load is unloaded.
        rest = min(group.rest for group in self.groups)
        patient = self.count == 1 and rest >= (self.together - 1) * self.unload_s
        self.waits = kinds.lands and (self.on_pan or self.together == 1 or patient)

    def free(self, pool: Pool) -> list[int]:
        """Return for each oven the earliest start of its next load."""
        return [
            end + kit.recover_s if end else kit.preheat_s
            for (end, _), kit in zip(pool.ovens, self.kits, strict=True)
        ]

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
        if not (self.on_pan and pool.out):
            yield from self._loaded(node, pool, group, left)

    def _loaded(
        self, node: Places, pool: Pool, group: int, left: Counts
    ) -> Iterator[tuple[Pool, int]]:
        before = len(pool.out)
        for loaded in self._loads(node, pool, group, left[group]):
            yield loaded.without(before), loaded.out[before][1]
        if self.on_pan or self._crowded(node, before + 2):
            return
        for other in range(len(self.groups)):
            there = sum(1 for each, _ in pool.out if each == other)
            if other != group and left[other] > there and self._pans_for(node, pool, other, group):
                for loaded in self._loads(node, pool, other, left[other] - there):
                    yield from self._loaded(node, loaded, group, left)

    def _crowded(self, node: Places, out: int) -> bool:
        """Whether the stand has no place for the last of trays out that are not yet in order."""
        needed = out - self.stand
        if self.count > 1:
            needed -= (self.count - 1) * max(0, self.together - 1)
        return needed > 0

    def _pans_for(self, node: Places, pool: Pool, one: int, other: int) -> bool:
        """Whether there are pans for a tray of one group and then one of another."""
        pan = self.groups[one].pan
        need = 2 if self.groups[other].pan == pan else 1
        return pool.by_pan[pan] + need - self.kinds.pans[pan] <= node.pan_counts[pan]

    def _loads(self, node: Places, pool: Pool, group: int, left: int) -> Iterator[Pool]:
        """Yield every load of a group that may come next."""
        seen = set()
        for oven, most in enumerate(self.groups[group].together):
            alike = (self.alike[oven], pool.ovens[oven])
            if alike in seen:
                continue
            seen.add(alike)
            for trays in range(1, min(most, left) + 1):
                loaded = self.loaded(node, pool, group, trays, oven)
                if loaded is not None:
                    yield loaded

    def loaded(
        self, node: Places, pool: Pool, index: int, trays: int, oven: int, after: int = 0
    ) -> Pool | None:
        """Return the pool after another load of so many trays of a group; None: it cannot be."""
        group, kit = self.groups[index], self.kits[oven]
        lasts = trays * self.load_s + group.bake
        out = self._ready(node, pool, index, trays)
        if out is None:
            return None
        start = max(after, out, kit.preheat_s)
        end, heat = pool.ovens[oven]
        if end:
            pause = kit.recover_s
            if heat != group.bake_at:
                pause += ceil(round(kit.per_kelvin_s * abs(heat - group.bake_at), 6))
            start = max(start, end + pause)
        # Loads in different ovens come in the order of their bakes' ends.
        start = max(start, pool.baked - lasts)
        before = node.moved + len(pool.out)
        for place in range(trays):
            landed = self._landed(node, before, place)
            if landed is None:
                return None
            start = max(start, landed - place * self.unload_s - lasts)
        if self.hours.gaps:
            start = self.hours.hot(start, lasts + trays * self.unload_s, kit.preheat_s)
        baked = start + lasts
        # With several ovens nothing is said of the order of unloads in different ones.
        apart = self.unload_s if self.count == 1 else 0
        more = tuple((index, baked + self.unload_s + place * apart) for place in range(trays))
        used = list(pool.ovens)
        used[oven] = (baked + trays * self.unload_s, group.bake_at)
        by_pan = list(pool.by_pan)
        by_pan[group.pan] += trays
        found = Pool(tuple(used), pool.out + more, tuple(by_pan))
        found.start, found.baked, found.trays = start, baked, trays
        found.group, found.oven, found.since = index, oven, pool
        return found

    def _ready(self, node: Places, pool: Pool, index: int, trays: int) -> int | None:
        """Return when a load can begin because its trays are filled and set; None: never."""
        group = self.groups[index]
        # With several ovens another load of those until now may be the one that begins so late.
        spare = trays * self.load_s + group.bake - self.shortest if self.count > 1 else 0
        before = node.moved + len(pool.out)
        start = 0
        sets: list[tuple[int, int]] = []
        for place in range(trays):
            free = self._pan(node, pool, group, place + 1)
            if free is None:
                return None
            ready = max(self.kinds.head[before + place + 1], free + group.set if free else 0)
            start = max(start, ready - place * self.load_s - spare)
            if free:
                sets.append((free, group.set))
        if self.alone and self.count == 1 and sets and group.set and self.load_s:
            # Whoever is alone sets all trays before loading the first of them.
            if not self.on_pan and self._all_emptied(node, pool, group, trays):
                sets.append((node.start, node.end - node.start))
            start = max(start, worked(sets))
        return start

    def _pan(self, node: Places, pool: Pool, group: Group, more: int) -> int | None:
        """Return when the last of so ``more`` pans can be set; 0: at any time, None: too late.

        The n-th tray of a kind of pan is set after n less the number of pans have been emptied.
        """
        emptied = pool.by_pan[group.pan] + more - self.kinds.pans[group.pan]
        if emptied <= 0:
            return 0
        count, known = node.pan_counts[group.pan], node.pans[group.pan]
        if emptied > count:
            return None
        return self.hours.start(known[emptied - 1 - (count - len(known))], group.set)

    def _all_emptied(self, node: Places, pool: Pool, group: Group, trays: int) -> bool:
        """Whether a load needs the pan of the last tray in order, and of all before it."""
        if self.groups[self.kinds.kinds[node.kind].group].pan != group.pan:
            return False
        emptied = pool.by_pan[group.pan] + trays - self.kinds.pans[group.pan]
        return emptied == node.pan_counts[group.pan]

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
        known = needed - 1 - (node.moved - len(node.ends))
        return node.ends[known] if known >= 0 else 0
