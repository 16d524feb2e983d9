"""Trays in an order, and what those so far have left for the next."""

from __future__ import annotations

from bisect import insort
from operator import le

from benchplan.scheduling.bounds.kinds import Counts, Kind
from benchplan.scheduling.bounds.ovens import Pool

Held = tuple[int, int, int]  # when a tray's pack ends, when its cooling ends, its kind
Ends = tuple[int, ...]


class Order:
    """The last tray's times, and what those so far have left for the next."""

    __slots__ = (
        "before", "block", "counts", "done", "end", "ends", "hands", "held", "kind", "least",
        "moved", "nested", "next", "out", "pan_counts", "pans", "pool", "start",
    )  # fmt: skip

    before: Order | None  # the same without the last tray
    kind: int
    out: int  # the last tray is on the stand,
    start: int  # its transfer begins,
    end: int  # and ends
    nested: bool  # within the transfer before
    next: int  # the next transfer begins no earlier
    block: int  # one person has been busy from here to ``next``
    moved: int  # trays in order
    counts: Counts  # trays that are not, by kind
    held: tuple[Held, ...]  # who is on the mat (or not yet packed), by the end of pack
    ends: Ends  # when stand places became free, the last ones in order
    pans: tuple[Ends, ...]  # when pans of each kind did
    pan_counts: Counts  # trays in order, by kind of pan
    pool: Pool
    hands: int  # one person has moved all, and packed all that had cooled by the last transfer
    done: int  # all packs so far end
    least: int  # the earliest end of any order that begins so

    def copy(self) -> Order:
        """Return the same again, to be changed."""
        new = Order()
        for name in Order.__slots__:
            setattr(new, name, getattr(self, name))
        return new


def first(counts: Counts, pans: int, ovens: int) -> Order:
    """Return the order of no trays."""
    order = Order()
    order.before = None
    order.kind = -1
    order.out = order.start = order.end = order.next = order.block = 0
    order.moved = order.hands = order.done = order.least = 0
    order.nested = False
    order.counts = counts
    order.held = order.ends = ()
    order.pans = ((),) * pans
    order.pan_counts = (0,) * pans
    order.pool = Pool(((0, 0.0),) * ovens, (), order.pan_counts)
    return order


def with_one(times: Ends, new: int, most: int) -> Ends:
    """Return times with one more, in order, without the first of more than ``most``."""
    more = [*times]
    insort(more, new)
    return tuple(more[-most:])


def instead(times: Ends, old: int, new: int) -> Ends:
    """Return times with one of them later."""
    more = [*times]
    if old in more:
        more.remove(old)
        insort(more, new)
    return tuple(more)


def cooling(order: Order, kinds: list[Kind]) -> list[tuple[int, int]]:
    """Return for each tray that still cools when the last one is moved its time and pack."""
    return sorted(
        (cooled, kinds[kind].pack) for _, cooled, kind in order.held if cooled > order.start
    )


def as_good(one: Order, other: Order, kinds: list[Kind], closely: bool) -> bool:
    """Whether after ``one`` all can be done that can be after ``other``, and no later.

    Both have the same trays behind them. ``closely``: who is packed when matters.
    """
    if one.next > other.next or one.done > other.least or one.hands > other.hands:
        return False
    if one.pool.baked > other.pool.baked or not no_later(one.ends, other.ends):
        return False
    for mine, its in zip(one.pans, other.pans, strict=True):
        if not no_later(mine, its):
            return False
    for used, its_used in zip(one.pool.ovens, other.pool.ovens, strict=True):
        if used[0] > its_used[0]:
            return False
    for out, its_out in zip(one.pool.out, other.pool.out, strict=True):
        if out[1] > its_out[1]:
            return False
    if closely:
        return one.block >= other.block and _as_early(one.held, other.held)
    return _no_more(
        [(packed, kinds[kind].mat) for packed, _, kind in one.held],
        [(packed, kinds[kind].mat) for packed, _, kind in other.held],
    ) and _no_more(cooling(one, kinds), cooling(other, kinds))


def no_later(one: Ends, other: Ends) -> bool:
    """Whether nothing is later."""
    return all(map(le, one, other))


def _as_early(one: tuple[Held, ...], other: tuple[Held, ...]) -> bool:
    """Whether each tray of ``one`` has its like in ``other``, cooled and packed no earlier."""
    if len(one) > len(other):
        return False
    left = list(other)
    for packed, cooled, kind in reversed(one):
        for place in range(len(left) - 1, -1, -1):
            if left[place][2] == kind:
                if left[place][0] < packed or left[place][1] < cooled:
                    return False
                del left[place]
                break
        else:
            return False
    return True


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
