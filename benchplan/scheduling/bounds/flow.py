"""How early the flow of trays through oven, stand and mat can end: an exact search of a relaxation.

The trays are put in the order in which their transfers begin (with ``where = "pan"``, in the order
of their loads). For a given order every time follows from earlier ones, as early as the rules allow
that are kept, and nothing gets later by something before it getting earlier. So whatever a plan
does, the times of its own order are no later than the plan's, and the earliest end of all orders is
a lower bound.

Kept: ovens with their loads, recover, changes of temperature and breaks; pans; the stand; the mat
with the sizes of trays; of one person alone what comes between oven, mat and boxes. Left out: what
several people do at once. The search goes on with the most promising order and may stop at any
time: no order can end earlier than the most promising one.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator
from heapq import heappop, heappush

from benchplan.scheduling.bounds.ahead import Ahead
from benchplan.scheduling.bounds.kinds import Kinds
from benchplan.scheduling.bounds.one_person import Moment, OnePerson
from benchplan.scheduling.bounds.order import Held, Order, as_good, cooling, first, with_one
from benchplan.scheduling.bounds.ovens import Ovens, Pool
from benchplan.scheduling.problem import Job, Shop

MOST_KEPT = 8


class Flow:
    """The search for the order that can end earliest; ``looks`` counts the trays placed.

    ``closely``: it is followed what one person alone does when. There are more such orders.
    """

    def __init__(
        self, shop: Shop, jobs: tuple[Job, ...], closely: bool = False, most_measures: int = 3
    ) -> None:
        self.kinds = Kinds(shop, jobs, most_measures)
        self.ovens = Ovens(shop, self.kinds)
        self.ahead = Ahead(shop, self.kinds, self.ovens)
        self.hours, self.gaps = self.kinds.hours, self.kinds.hours.gaps
        self.on_pan, self.alone = shop.day.on_pan, shop.day.people == 1
        self.closely = closely and self.alone
        self.person = OnePerson(shop, self.kinds, self.ovens)
        self.tin, self.pack = shop.day.times.transfer_s, shop.day.pack_each_s
        self.stand, self.pan_for = shop.day.cooling.stand, shop.day.cooling.pan_for_s
        self.looks = 0

    def bound(self, looks: int, until: int | None = None) -> int:
        """Return the lower bound that placing ``looks`` trays allows to prove, or ``until``."""
        trays = sum(self.kinds.counts)
        root = first(self.kinds.counts, len(self.kinds.pans), self.ovens.count)
        heap = [(0, 0, 0, root)]
        kept: dict[tuple[object, ...], list[Order]] = {}
        least = 0
        while heap:
            least, _, _, order = heappop(heap)
            if order.moved == trays or self.looks >= looks:
                return least
            for child in self._children(order):
                self.looks += 1
                child.least = max(least, self.ahead.least(child))
                if until is not None and child.least >= until:
                    continue
                if not self._worse(kept, child):
                    heappush(heap, (child.least, -child.moved, self.looks, child))
        return least if until is None else max(least, until)

    def _children(self, order: Order) -> Iterator[Order]:
        """Yield the order with every tray that may come next, in every way it may."""
        left = self.kinds.left(order.counts).by_group
        ways: dict[int, list[tuple[Order, Pool, int]]] = {}
        for index, kind in enumerate(self.kinds.kinds):
            if not order.counts[index]:
                continue
            if kind.group not in ways:
                ways[kind.group] = [
                    way
                    for pool, out in self.ovens.fetched(order, order.pool, kind.group, left)
                    for way in self._undisturbed(order, pool, out)
                ]
            for before, pool, out in ways[kind.group]:
                yield from self._placed(before, index, pool, out, before.next)
                if self.alone and self.tin and before.before is not None and not before.nested:
                    yield from self._within(before, index, pool, out)

    def _undisturbed(self, order: Order, pool: Pool, out: int) -> Iterator[tuple[Order, Pool, int]]:
        if self.closely and pool.since is not order.pool.since:
            return self.person.at_the_oven(order, pool, out)
        return iter([(order, pool, out)])

    def _within(self, order: Order, index: int, pool: Pool, out: int) -> Iterator[Order]:
        """Yield the order in which a tray is moved while the transfer before it pauses.

        Two transfers of one person that only overlap can trade tins until one follows the other;
        one within the other cannot.
        """
        group = self.kinds.groups[self.kinds.kinds[index].group]
        if max(out + group.rest, order.start + self.tin) >= order.end or order.before is None:
            return
        pauses = self.kinds.kinds[index].transfer
        for longer in self._placed(
            order.before, order.kind, order.pool, order.out, order.start, pauses
        ):
            for child in self._placed(longer, index, pool, out, order.start + self.tin):
                if child.start < order.end:
                    child.nested = True
                    child.next = child.start + self.tin
                    child.block = child.start
                    yield child

    def _placed(
        self, before: Order, index: int, pool: Pool, out: int, after: int, pauses: int = 0
    ) -> Iterator[Order]:
        """Yield the order with one more tray, its transfer as early as may be from ``after``."""
        kind, hours = self.kinds.kinds[index], self.hours
        if self.on_pan:
            yield self._with(before, index, pool, out, Moment(out, out, out), 0)
            return
        start = max(out + self.kinds.groups[kind.group].rest, after)
        if self.gaps:
            start = hours.start(start, self.tin)
        for moment in self._moments(before, start, index):
            yield self._with(before, index, pool, out, moment, pauses)

    def _moments(self, before: Order, start: int, index: int) -> Iterator[Moment]:
        kind = self.kinds.kinds[index]
        if not kind.mat or not kind.hold:
            yield Moment(start, before.block, before.next)
        elif self.closely:
            yield from self.person.rooms(before, start, kind.mat)
        else:
            room = self._room(before.held, start, kind.mat)
            yield Moment(room, room, room)

    def _with(
        self, before: Order, index: int, pool: Pool, out: int, moment: Moment, pauses: int
    ) -> Order:
        """Return the order with one more tray that is moved from a given moment on."""
        kind, hours = self.kinds.kinds[index], self.hours
        pan = self.kinds.groups[kind.group].pan
        start = end = moment.start
        if not self.on_pan:
            if self.gaps:
                start = hours.start(start, self.tin)
            end = start + kind.transfer + pauses
            if self.gaps and self.tin:
                end = hours.end(start, kind.tins + pauses // self.tin, self.tin)
        cooled = end + kind.cool
        begin = cooled
        order = Order()
        held = [each for each in before.held if each[0] > start]
        order.next, order.block, order.hands = start, 0, 0
        if self.alone:
            at_once = kind.pack if cooled == start else 0
            order.hands = self._hands(before, start, kind.transfer + at_once)
            order.next = end
        if self.closely:
            # Trays that are alike are packed in the order in which they cool.
            begin = max([cooled, *(packed for packed, _, other in held if other == index)])
            order.block = moment.block if start == moment.free else start
        packed = hours.end(begin, kind.tins, self.pack) if self.gaps else begin + kind.pack
        free = packed if self.on_pan else end
        order.before, order.kind, order.out, order.start, order.end = before, index, out, start, end
        order.nested = False
        order.moved = before.moved + 1
        counts = list(before.counts)
        counts[index] -= 1
        order.counts = tuple(counts)
        insort(held, (packed, cooled, index))
        order.held = tuple(held)
        order.ends = with_one(before.ends, free, self.stand)
        pans = list(before.pans)
        pans[pan] = with_one(pans[pan], free + self.pan_for, self.kinds.pans[pan])
        order.pans = tuple(pans)
        by_pan = list(before.pan_counts)
        by_pan[pan] += 1
        order.pan_counts = tuple(by_pan)
        order.pool = pool
        order.done = max(before.done, packed)
        return order

    def _room(self, held: tuple[Held, ...], after: int, mat: int) -> int:
        """Return the earliest second from ``after`` at which the mat has room for ``mat`` more."""
        kinds, need = self.kinds.kinds, mat - self.kinds.room
        for packed, _, index in held:
            if packed > after:
                need += kinds[index].mat
        if need <= 0:
            return after
        for packed, _, index in held:
            if packed > after:
                need -= kinds[index].mat
                if need <= 0:
                    return packed
        raise AssertionError("a tray is larger than the mat")

    def _hands(self, before: Order, start: int, transfer: int) -> int:
        """Return when one person can have packed what cooled by ``start``, and moved this tray.

        Each piece of work is done after it can begin, one after another.
        """
        hands = before.hands
        jobs = [each for each in cooling(before, self.kinds.kinds) if each[0] <= start]
        for since, work in (*jobs, (start, transfer)):
            if work:
                begin = max(hands, since)
                hands = self.hours.end(begin, work, 1) if self.gaps else begin + work
        return hands

    def _worse(self, kept: dict[tuple[object, ...], list[Order]], order: Order) -> bool:
        """Whether an order of the same trays is in nothing later; keep this one if not."""
        inside = (order.kind, order.start) if self.alone and self.tin and not self.on_pan else None
        pool = order.pool
        out = tuple(group for group, _ in pool.out)
        heats = tuple(heat for _, heat in pool.ovens)
        key = (order.counts, heats, out, pool.by_pan, order.nested, inside)
        others = kept.setdefault(key, [])
        for other in others:
            if as_good(other, order, self.kinds.kinds, self.closely):
                return True
        if len(others) < MOST_KEPT:
            others.append(order)
        return False
