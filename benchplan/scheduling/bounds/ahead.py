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
        """Return when everything can have been baked, and what follows the last unload is over."""
        ovens, pool = self.ovens, order.pool
        there = [0] * len(self.kinds.groups)
        for index, _ in pool.out:
            there[index] += 1
        work = trays = 0
        heats = []
        for group, total, out in zip(self.kinds.groups, left.by_group, there, strict=True):
            if total > out:
                loads = -(-(total - out) // max(group.together))
                trays += total - out
                work += loads * (ovens.recover + group.bake)
                heats.append(group.bake_at)
        if not trays:
            return 0
        work += trays * (ovens.load_s + ovens.unload_s)
        if ovens.count == 1 and pool.ovens[0][0]:
            at = pool.ovens[0][1]
            high, low = max(*heats, at), min(*heats, at)
            kelvin = high - low + min(high - at, at - low)
            work += max(0, floor(ovens.kits[0].per_kelvin_s * kelvin - 1e-6))
        free = sorted(each - ovens.recover for each in ovens.free(pool))
        total = 0
        ends = []
        for count, each in enumerate(free, start=1):
            total += each
            ends.append(-(-(total + work) // count))
        return min(ends) + left.tail
