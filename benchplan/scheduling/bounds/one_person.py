"""One person cannot be at two things at once: who waits for whom is a choice, and each is tried."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from benchplan.scheduling.bounds.kinds import Kinds
from benchplan.scheduling.bounds.order import Order, instead
from benchplan.scheduling.bounds.ovens import Ovens, Pool
from benchplan.scheduling.problem import Shop

MOST_FREED = 40
MOST_CHOICES = 6


@dataclass(frozen=True, slots=True)
class Moment:
    """A transfer begins; one person has been busy without a pause from ``block`` to ``free``."""

    start: int
    block: int
    free: int


class OnePerson:
    """What a day's only person can do between oven, mat and boxes."""

    def __init__(self, shop: Shop, kinds: Kinds, ovens: Ovens) -> None:
        times = shop.day.times
        self.kinds, self.ovens, self.on_pan = kinds, ovens, shop.day.on_pan
        self.load_s, self.unload_s = times.load_s, times.unload_s
        self.ready_s = times.ready_s if times.unload_s else 0
        self.pan_for = shop.day.cooling.pan_for_s

    # -- room on the mat -------------------------------------------------------------------------

    def rooms(self, order: Order, start: int, mat: int) -> Iterator[Moment]:
        """Yield every earliest moment from ``start`` at which the mat has room for ``mat`` more.

        Trays that are alike are packed in the order in which they cool, others in any.
        """
        kinds = self.kinds.kinds
        live = [each for each in order.held if each[0] > start]
        need = mat - self.kinds.room + sum(kinds[kind].mat for _, _, kind in live)
        if need <= 0:
            yield Moment(start, order.block, order.next)
            return
        alike: dict[int, list[tuple[int, int]]] = {}
        for packed, cooled, kind in live:
            alike.setdefault(kind, []).append((cooled, packed))
        ranges = [range(len(each) + 1) for each in alike.values()]
        choices = 1
        for each in ranges:
            choices *= len(each)
        if choices > MOST_FREED:
            yield Moment(self._by_end(order, start, need), start, start)
            return
        sizes = [kinds[kind].mat for kind in alike]
        packs = [kinds[kind].pack for kind in alike]
        lists = [sorted(each) for each in alike.values()]
        for taken in product(*ranges):
            freed = sum(count * size for count, size in zip(taken, sizes, strict=True))
            if freed < need or any(
                count and freed - size >= need for count, size in zip(taken, sizes, strict=True)
            ):
                continue
            jobs = sorted(
                (cooled, pack, packed)
                for count, pack, each in zip(taken, packs, lists, strict=True)
                for cooled, packed in each[:count]
            )
            yield self._after(order, start, jobs)

    def _by_end(self, order: Order, start: int, need: int) -> int:
        for packed, _, kind in order.held:
            if packed > start:
                need -= self.kinds.kinds[kind].mat
                if need <= 0:
                    return packed
        raise AssertionError("a tray is larger than the mat")

    def _after(self, order: Order, start: int, jobs: list[tuple[int, int, int]]) -> Moment:
        """Return when packs are done that come after the transfers so far."""
        block, free = order.block, order.next
        for cooled, pack, packed in jobs:
            start = max(start, packed)
            if not pack or cooled < block:
                continue
            if cooled > free:
                block, free = cooled, cooled + pack
            else:
                free += pack
        return Moment(max(start, free), block, free)

    # -- hands at the oven -----------------------------------------------------------------------

    def at_the_oven(
        self, order: Order, pool: Pool, out: int, tried: int = 0
    ) -> Iterator[tuple[Order, Pool, int]]:
        """Yield the ways in which the last load and the packs of trays before it get on together.

        While a load is put in or taken out nothing is packed: either a pack has ended before, or it
        ends so much later.
        """
        lasts = pool.trays * self.load_s, pool.trays * self.unload_s + self.ready_s
        spans = (
            (pool.start, pool.start + lasts[0]),
            (pool.baked - self.ready_s, pool.baked - self.ready_s + lasts[1]),
        )
        for place, (packed, cooled, kind) in enumerate(order.held):
            pack = self.kinds.kinds[kind].pack
            for number, (begin, end) in enumerate(spans):
                if not (pack and begin < packed and cooled < end and begin < end):
                    continue
                mark = 1 << (2 * place + number)
                if tried & mark or tried.bit_count() >= MOST_CHOICES:
                    continue
                later = packed + end - begin if begin >= cooled else max(packed, end + pack)
                yield from self._again(order, place, later, pool, out, tried | mark)
                after = packed if number == 0 else packed + self.ready_s - pool.baked + pool.start
                yield from self._later(order, pool, after, tried | mark)
                return
        yield order, pool, out

    def _again(
        self, order: Order, place: int, later: int, pool: Pool, out: int, tried: int
    ) -> Iterator[tuple[Order, Pool, int]]:
        """Yield the ways in which a pack that has been interrupted ends later."""
        packed, cooled, kind = order.held[place]
        new = order.copy()
        held = list(order.held)
        held[place] = (later, cooled, kind)
        new.held = tuple(held)
        new.done = max(order.done, later)
        if self.on_pan:
            new.ends = instead(order.ends, packed, later)
            pan = self.kinds.groups[self.kinds.kinds[kind].group].pan
            pans = list(order.pans)
            pans[pan] = instead(pans[pan], packed + self.pan_for, later + self.pan_for)
            new.pans = tuple(pans)
        yield from self.at_the_oven(new, pool, out, tried)

    def _later(
        self, order: Order, pool: Pool, after: int, tried: int
    ) -> Iterator[tuple[Order, Pool, int]]:
        """Yield the ways in which the last load waits."""
        since = pool.since
        if since is None:
            return
        loaded = self.ovens.loaded(order, since, pool.group, pool.trays, pool.oven, after)
        if loaded is not None:
            place = len(since.out)
            yield from self.at_the_oven(order, loaded.without(place), loaded.out[place][1], tried)
