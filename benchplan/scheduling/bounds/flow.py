"""How early the flow of trays through oven, stand and mat can end: an exact search of a relaxation.

The trays are put in the order in which their transfers begin (with ``where = "pan"``, in the order
of their loads). For a given order every time follows from earlier ones, as early as the rules allow
that are kept, and nothing gets later by something before it getting earlier. So whatever a plan
does, the times of its own order are no later than the plan's, and the earliest end of all orders is
a lower bound.

Kept: ovens with their loads, recover, changes of temperature and breaks; pans; the stand; the mat
with the sizes of trays; one person alone moves one tray after another, and packs so. Left out: what
else hands do once a tray is set. The search goes on with the most promising order and may stop at
any time: no order can end earlier than the most promising one.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator
from heapq import heappop, heappush
from math import floor
from operator import le

from benchplan.scheduling.bounds.kinds import Counts, Kinds, Left
from benchplan.scheduling.bounds.ovens import Ovens, Pool
from benchplan.scheduling.problem import Job, Shop

Held = tuple[int, int, int]  # when a tray's pack ends, when its cooling ends, its kind
MOST_KEPT = 8


class Node:
    """Trays in order: the last one's times, and what those before it have left for the next."""

    __slots__ = (
        "before", "counts", "done", "end", "ends", "hands", "held", "kind", "least", "moved",
        "nested", "next", "out", "pan_counts", "pans", "pool", "start",
    )  # fmt: skip

    before: Node | None  # the same without the last tray
    kind: int
    out: int  # the last tray is on the stand,
    start: int  # its transfer begins,
    end: int  # and ends
    nested: bool  # within the transfer before
    next: int  # the next transfer begins no earlier
    moved: int  # trays in order
    counts: Counts  # trays that are not, by kind
    held: tuple[Held, ...]  # who is on the mat, by the end of pack
    ends: tuple[int, ...]  # when stand places became free, the last ones in order
    pans: tuple[tuple[int, ...], ...]  # when pans of each kind did
    pan_counts: Counts  # trays in order, by kind of pan
    pool: Pool
    hands: int  # the one person has moved all, and packed all that had cooled by the last transfer
    done: int  # all packs so far end
    least: int  # the earliest end of any order that begins so


class Flow:
    """The search for the order that can end earliest; ``looks`` counts the trays placed."""

    def __init__(self, shop: Shop, jobs: tuple[Job, ...], most_measures: int = 3) -> None:
        self.kinds = Kinds(shop, jobs, most_measures)
        self.ovens = Ovens(shop, self.kinds)
        self.hours, self.gaps = self.kinds.hours, self.kinds.hours.gaps
        self.on_pan, self.alone = shop.day.on_pan, shop.day.people == 1
        self.tin, self.pack = shop.day.times.transfer_s, shop.day.pack_each_s
        self.stand, self.pan_for = shop.day.cooling.stand, shop.day.cooling.pan_for_s
        self.looks = 0

    def bound(self, looks: int, until: int | None = None) -> int:
        """Return the lower bound that placing ``looks`` trays allows to prove, or ``until``."""
        heap = [(0, 0, 0, self._root())]
        kept: dict[tuple[object, ...], list[Node]] = {}
        least = 0
        while heap:
            least, _, _, node = heappop(heap)
            if node.moved == sum(self.kinds.counts) or self.looks >= looks:
                return least
            for child in self._children(node):
                self.looks += 1
                child.least = max(least, self._least(child))
                if until is not None and child.least >= until:
                    continue
                if not self._worse(kept, child):
                    heappush(heap, (child.least, -child.moved, self.looks, child))
        return least if until is None else max(least, until)

    def _root(self) -> Node:
        root = Node()
        root.before = None
        root.kind = -1
        root.out = root.start = root.end = root.next = root.moved = root.hands = root.done = 0
        root.nested = False
        root.counts = self.kinds.counts
        root.held = root.ends = ()
        root.pans = ((),) * len(self.kinds.pans)
        root.pan_counts = (0,) * len(self.kinds.pans)
        root.pool = Pool((), 0.0, (), root.pan_counts)
        root.least = 0
        return root

    def _children(self, node: Node) -> Iterator[Node]:
        """Yield the order with every tray that may come next, in every way it may."""
        left = self.kinds.left(node.counts).by_group
        ways: dict[int, list[tuple[Pool, int]]] = {}
        for index, kind in enumerate(self.kinds.kinds):
            if not node.counts[index]:
                continue
            if kind.group not in ways:
                ways[kind.group] = list(self.ovens.fetched(node, node.pool, kind.group, left))
            for pool, out in ways[kind.group]:
                yield self._placed(node, index, pool, out, node.next)
                if self.alone and self.tin and node.before is not None and not node.nested:
                    yield from self._within(node, index, pool, out)

    def _within(self, node: Node, index: int, pool: Pool, out: int) -> Iterator[Node]:
        """Yield the order in which a tray is moved while the transfer before it pauses.

        Two transfers of one person that only overlap can trade tins until one follows the other;
        one within the other cannot.
        """
        group = self.kinds.groups[self.kinds.kinds[index].group]
        if max(out + group.rest, node.start + self.tin) >= node.end or node.before is None:
            return
        pauses = self.kinds.kinds[index].transfer
        longer = self._placed(node.before, node.kind, node.pool, node.out, node.start, pauses)
        child = self._placed(longer, index, pool, out, node.start + self.tin)
        if child.start < node.end:
            child.nested = True
            child.next = child.start + self.tin
            yield child

    def _placed(
        self, before: Node, index: int, pool: Pool, out: int, after: int, pauses: int = 0
    ) -> Node:
        """Return the order with one more tray, its transfer as early as may be from ``after``."""
        kind, hours = self.kinds.kinds[index], self.hours
        group = self.kinds.groups[kind.group]
        if self.on_pan:
            start = end = out
        else:
            start = max(out + group.rest, after)
            if self.gaps:
                start = hours.start(start, self.tin)
            if kind.mat and kind.hold:
                start = self._room(before.held, start, kind.mat)
                if self.gaps:
                    start = hours.start(start, self.tin)
            end = start + kind.transfer + pauses
            if self.gaps and self.tin:
                end = hours.end(start, kind.tins + pauses // self.tin, self.tin)
        cooled = end + kind.cool
        packed = hours.end(cooled, kind.tins, self.pack) if self.gaps else cooled + kind.pack
        free = packed if self.on_pan else end
        node = Node()
        node.before, node.kind, node.out, node.start, node.end = before, index, out, start, end
        node.nested = False
        node.next = end if self.alone else start
        node.moved = before.moved + 1
        counts = list(before.counts)
        counts[index] -= 1
        node.counts = tuple(counts)
        held = [each for each in before.held if each[0] > start]
        node.hands = self._hands(before, start, kind.transfer) if self.alone else 0
        insort(held, (packed, cooled, index))
        node.held = tuple(held)
        node.ends = _with(before.ends, free, self.stand)
        pans = list(before.pans)
        pans[group.pan] = _with(pans[group.pan], free + self.pan_for, self.kinds.pans[group.pan])
        node.pans = tuple(pans)
        by_pan = list(before.pan_counts)
        by_pan[group.pan] += 1
        node.pan_counts = tuple(by_pan)
        node.pool = pool
        node.done = max(before.done, packed)
        return node

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

    def _hands(self, before: Node, start: int, transfer: int) -> int:
        """Return when one person can have packed what cooled by ``start``, and moved this tray.

        Each piece of work is done after it can begin, one after another.
        """
        hands = before.hands
        for cooled, pack in self._cooling(before, before.start):
            if cooled <= start:
                hands = self._worked(hands, cooled, pack)
        return self._worked(hands, start, transfer)

    def _cooling(self, node: Node, after: int) -> list[tuple[int, int]]:
        kinds = self.kinds.kinds
        return sorted((cooled, kinds[kind].pack) for _, cooled, kind in node.held if cooled > after)

    def _worked(self, hands: int, since: int, work: int) -> int:
        begin = max(hands, since) if work else hands
        return self.hours.end(begin, work, 1) if self.gaps else begin + work

    # -- what is still to come -------------------------------------------------------------------

    def _least(self, node: Node) -> int:
        """Return the earliest end of any order that begins as this one."""
        left = self.kinds.left(node.counts)
        least = node.done
        if not left.trays:
            return max(least, self._packed(node, 0, left)) if self.alone else least
        after = self._next_start(node, left)
        if self.alone:
            least = max(least, self._packed(node, after, left))
        if not self.on_pan:
            least = max(least, self._mat(node, after, left))
        return max(least, self._baked(node, left))

    def _next_start(self, node: Node, left: Left) -> int:
        """Return a lower bound on the start of the next transfer (or when the next tray is out)."""
        after = 0 if self.on_pan else node.start + self.tin if self.alone else node.start
        ovens, loads = self.ovens, node.pool.loads
        if node.pool.out:
            return max(after, node.pool.out[0][1]) if self.on_pan else after
        start = self.kinds.head[node.moved + 1]
        if ovens.count == 1 and loads:
            start = max(start, loads[0][0] + ovens.recover)
        if len(node.pans) == 1 and len(node.pans[0]) == self.kinds.pans[0]:
            start = max(start, node.pans[0][0])
        out = start + ovens.shortest
        if len(node.ends) == self.stand and (ovens.count == 1 or ovens.together == 1):
            out = max(out, node.ends[0])
        return max(after, out + ovens.unload_s + left.rest)

    def _packed(self, node: Node, after: int, left: Left) -> int:
        """Return when one person can have packed everything, what is left after it can cool."""
        jobs = self._cooling(node, node.start)
        if left.packs:
            jobs = sorted([*jobs, (after + left.first, left.packs)])
        hands = node.hands
        for cooled, pack in jobs:
            hands = self._worked(hands, cooled, pack)
        return hands

    def _mat(self, node: Node, after: int, left: Left) -> int:
        """Return when everything can have been on the mat: by area, and by turns.

        By area: what is left takes its share of the mat for as long as it is there. By turns: a
        tray that begins at t and is there for ``hold`` is there at one of any moments ``hold``
        apart of which the first is less than ``hold`` after t; so as many moments are needed as
        whole mats. Both with every measure of the mat.
        """
        least = 0
        held = [(packed, kind) for packed, _, kind in node.held if packed > after]
        for (room, weights), area, weight, hold in zip(
            self.kinds.measures, left.areas, left.weights, left.holds, strict=True
        ):
            if not weight:
                continue
            used = sum(weights[kind] for _, kind in held)
            begin = after
            late = after + hold
            turned = False
            for packed, kind in held:
                if packed <= late:
                    more = weight + used - room
                    if more > 0:
                        least = max(least, packed - (-more // room) * hold)
                elif not turned:
                    turned = True
                    more = weight + used - room
                    least = max(least, late - (-more // room) * hold if more > 0 else late)
                if area > 0:
                    area -= (room - used) * (packed - begin)
                    if area <= 0:
                        least = max(
                            least, packed - (-area // (room - used)) if room > used else packed
                        )
                begin = packed
                used -= weights[kind]
            if not turned:
                more = weight - room
                least = max(least, late - (-more // room) * hold if more > 0 else late)
            if area > 0:
                least = max(least, begin - (-area // room))
        return least

    def _baked(self, node: Node, left: Left) -> int:
        """Return when everything can have been baked, and what follows the last unload is over."""
        ovens, pool = self.ovens, node.pool
        there = [0] * len(self.kinds.groups)
        for index, _ in pool.out:
            there[index] += 1
        loads = trays = bakes = 0
        heats = [pool.at]
        for group, total, out in zip(self.kinds.groups, left.by_group, there, strict=True):
            if total > out:
                count = -(-(total - out) // group.together)
                loads, trays, bakes = loads + count, trays + total - out, bakes + count * group.bake
                heats.append(group.bake_at)
        if not loads:
            return 0
        if ovens.count > 1:
            if len(pool.loads) < ovens.count:
                return 0
            turns = -(-loads // ovens.count)
            each = ovens.recover + ovens.shortest + ovens.unload_s
            return min(end for end, _, _ in pool.loads) + turns * each + left.tail
        kelvin = max(heats) - min(heats) + min(max(heats) - pool.at, pool.at - min(heats))
        changes = max(0, floor(ovens.per_kelvin * kelvin - 1e-6))
        work = bakes + loads * ovens.recover + changes + trays * (ovens.load_s + ovens.unload_s)
        return pool.loads[0][0] + work + left.tail

    # -- orders that another one makes needless --------------------------------------------------

    def _worse(self, kept: dict[tuple[object, ...], list[Node]], node: Node) -> bool:
        """Whether an order of the same trays is in nothing later; keep this one if not."""
        inside = (node.kind, node.start) if self.alone and self.tin and not self.on_pan else None
        pool = node.pool
        out = tuple(group for group, _ in pool.out)
        key = (node.counts, pool.at, out, pool.by_pan, len(pool.loads), node.nested, inside)
        others = kept.setdefault(key, [])
        if any(self._as_good(other, node) for other in others):
            return True
        if len(others) < MOST_KEPT:
            others.append(node)
        return False

    def _as_good(self, one: Node, other: Node) -> bool:
        """Whether after ``one`` all can be done that can be after ``other``, and no later."""
        if one.next > other.next or one.done > other.least or one.hands > other.hands:
            return False
        if not _no_later(one.ends, other.ends):
            return False
        for mine, its in zip(one.pans, other.pans, strict=True):
            if not _no_later(mine, its):
                return False
        for load, its_load in zip(one.pool.loads, other.pool.loads, strict=True):
            if not _no_later(load, its_load):
                return False
        for out, its_out in zip(one.pool.out, other.pool.out, strict=True):
            if out[1] > its_out[1]:
                return False
        kinds = self.kinds.kinds
        if not self.on_pan:
            taken = [(packed, kinds[kind].mat) for packed, _, kind in one.held]
            its_taken = [(packed, kinds[kind].mat) for packed, _, kind in other.held]
            if not _no_more(taken, its_taken):
                return False
        return not self.alone or _no_more(
            self._cooling(one, one.start), self._cooling(other, other.start)
        )


def _with(times: tuple[int, ...], new: int, most: int) -> tuple[int, ...]:
    """Return times with one more, in order, without the first of more than ``most``."""
    more = [*times]
    insort(more, new)
    return tuple(more[-most:])


def _no_later(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return all(map(le, one, other))


def _no_more(one: list[tuple[int, int]], other: list[tuple[int, int]]) -> bool:
    """Whether from every moment on there is no more of ``one`` than of ``other``; both by time."""
    here = there = 0
    place = len(other) - 1
    for time, weight in reversed(one):
        here += weight
        while place >= 0 and other[place][0] >= time:
            there += other[place][1]
            place -= 1
        if here > there:
            return False
    return True
