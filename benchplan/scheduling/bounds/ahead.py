"""How early all can end that is still to come: by hands, by the mat, by the ovens."""

from __future__ import annotations

from math import floor

from benchplan.scheduling.bounds.kinds import Kinds, Left
from benchplan.scheduling.bounds.order import Order, cooling
from benchplan.scheduling.bounds.ovens import Ovens
from benchplan.scheduling.problem import Shop


class Ahead:
    """The earliest end of any order that begins in a given way."""

    def __init__(self, shop: Shop, kinds: Kinds, ovens: Ovens) -> None:
        self.kinds, self.ovens = kinds, ovens
        self.hours, self.gaps = kinds.hours, kinds.hours.gaps
        self.on_pan, self.alone = shop.day.on_pan, shop.day.people == 1
        self.tin, self.pack = shop.day.times.transfer_s, shop.day.pack_each_s
        self.stand = shop.day.cooling.stand
        self.duties = _duties(kinds, ovens.count)

    def least(self, order: Order) -> int:
        """Return a lower bound on the end of every order that begins so."""
        left = self.kinds.left(order.counts)
        least = order.done
        if left.trays:
            after = self._next_start(order, left)
            if not self.on_pan:
                least = max(least, self._mat(order, after, left))
            least = max(least, self._baked(order, left))
        else:
            after = 0
        if self.alone:
            least = max(least, self._packed(order, after, left))
        # The last piece of work cannot be done while everyone is away.
        return self.hours.start(least - self.pack, self.pack) + self.pack if self.gaps else least

    def _next_start(self, order: Order, left: Left) -> int:
        """Return a lower bound on the start of the next transfer (or when the next tray is out)."""
        after = 0 if self.on_pan else order.start + self.tin if self.alone else order.start
        if order.pool.out:
            return max(after, order.pool.out[0][1]) if self.on_pan else after
        ovens = self.ovens
        start = max(self.kinds.head[order.moved + 1], min(ovens.free(order.pool)))
        if len(order.pans) == 1 and len(order.pans[0]) == self.kinds.pans[0]:
            start = max(start, order.pans[0][0])
        out = start + ovens.shortest
        if len(order.ends) == self.stand and (ovens.count == 1 or ovens.together == 1):
            out = max(out, order.ends[0])
        return max(after, out + ovens.unload_s + left.rest)

    def _packed(self, order: Order, after: int, left: Left) -> int:
        """Return when one person can have packed everything, what is left after it can cool."""
        jobs = cooling(order, self.kinds.kinds)
        if left.packs:
            jobs = sorted([*jobs, (after + left.first, left.packs)])
        hands = order.hands
        for cooled, pack in jobs:
            if pack:
                begin = max(hands, cooled)
                hands = self.hours.end(begin, pack, 1) if self.gaps else begin + pack
        return hands

    def _mat(self, order: Order, after: int, left: Left) -> int:
        """Return when everything can have been on the mat: by area, and by turns.

        By area: what is left takes its share of the mat for as long as it is there. By turns: a
        tray that is there for ``hold`` from t on is there at one of any moments ``hold`` apart of
        which the first is less than ``hold`` after t; so there must be as many such moments as
        whole mats are needed. Both with every measure of the mat.
        """
        least = 0
        held = [(packed, kind) for packed, _, kind in order.held if packed > after]
        for (room, weights), area, weight, hold in zip(
            self.kinds.measures, left.areas, left.weights, left.holds, strict=True
        ):
            if not weight:
                continue
            used = sum(weights[kind] for _, kind in held)
            begin = after
            last = after + hold
            for packed, kind in held:
                if begin <= last < packed or packed <= last:
                    moment = min(packed, last)
                    least = max(least, moment + max(0, -((room - weight - used) // room)) * hold)
                if area > 0:
                    area -= (room - used) * (packed - begin)
                    if area <= 0:
                        spare = -area // (room - used) if room > used else 0
                        least = max(least, packed - spare)
                begin = packed
                used -= weights[kind]
            if begin <= last:
                least = max(least, last + max(0, -((room - weight) // room)) * hold)
            if area > 0:
                least = max(least, begin - (-area // room))
        return least

    def _baked(self, order: Order, left: Left) -> int:
        """Return when everything can have been baked, and what follows the last unload is over.

        Some ovens must do all that no other takes.
        """
        there = [0] * len(self.kinds.groups)
        for index, _ in order.pool.out:
            there[index] += 1
        free = self.ovens.free(order.pool)
        least = 0
        for ovens, groups in self.duties:
            work = trays = 0
            each = set()
            tails = []
            heats = []
            for index in groups:
                group, count = self.kinds.groups[index], left.by_group[index] - there[index]
                if count > 0:
                    loads = -(-count // max(group.together[oven] for oven in ovens))
                    trays += count
                    work += loads * (self.ovens.recover + group.bake)
                    each.add(group.bake)
                    tails.append(left.tails[index])
                    heats.append(group.bake_at)
            if not trays:
                continue
            doors = self.ovens.load_s + self.ovens.unload_s
            work += trays * doors
            changes = self._changes(order, ovens[0], heats) if len(ovens) == 1 else 0
            begins = [free[oven] for oven in ovens]
            # An oven may come to another heat while everyone is away, so that is no work then.
            least = max(
                least,
                begins[0] - self.ovens.recover + work + changes + min(tails) if changes else 0,
            )
            alike = len(each) == 1 and self.ovens.together == 1
            whole = self.ovens.recover + min(each) + doors if alike else 1
            preheats = [self.ovens.kits[oven].preheat_s for oven in ovens]
            out = self.hours.worked_off(work, begins, preheats, self.ovens.recover, whole)
            least = max(least, out + min(tails))
        return least

    def _changes(self, order: Order, oven: int, heats: list[float]) -> int:
        """Return how long one oven takes at least to come to all these heats, from its own."""
        end, at = order.pool.ovens[oven]
        high, low = max(heats), min(heats)
        kelvin = high - low
        if end:
            high, low = max(high, at), min(low, at)
            kelvin = high - low + min(high - at, at - low)
        return max(0, floor(self.ovens.kits[oven].per_kelvin_s * kelvin - 1e-6))


def _duties(kinds: Kinds, count: int) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Return sets of ovens, each with the groups that no other oven takes."""
    takes = [tuple(oven for oven in range(count) if group.together[oven]) for group in kinds.groups]
    found = []
    for ovens in dict.fromkeys([tuple(range(count)), *takes]):
        groups = tuple(index for index, each in enumerate(takes) if set(each) <= set(ovens))
        found.append((ovens, groups))
    return found
