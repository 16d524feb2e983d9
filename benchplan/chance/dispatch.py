"""One day that follows a plan's order with its own lengths of hand work. Nothing is replanned.

Everybody goes on with the next of their work as soon as they and all that it needs are there. Work
that the plan interrupts is put down between tins for what interrupts it, and taken up while that is
not there yet. The oven goes first: an exit, and a load that has to wait, keep their own moments,
and the work around them goes on where it fits. A bake is exact; its exit may be late.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, inf

from benchplan.chance.records import (
    CLOSE,
    DO,
    EXIT,
    LOAD,
    MORE,
    OPEN,
    WAIT,
    Bake,
    Order,
)
from benchplan.model.plan import Span

_TINY_S = 1e-6  # rounding of sums, far below anything that matters


class _Window:
    """A stretch of a person's time to come: from ``hold`` on they do nothing else.

    ``end`` is -1 while it is not settled. ``bake`` is the one that an exit is of (-1: a load or a
    break), ``op`` the operation that is done then (-1: a break).
    """

    __slots__ = ("bake", "end", "hold", "op")

    def __init__(self, hold: float, end: float, op: int = -1, bake: int = -1) -> None:
        self.hold, self.end, self.op, self.bake = hold, end, op, bake


class _Begun:
    """Work that can be put down: ``owed`` tins come before the next work, ``later`` ones may."""

    __slots__ = ("done_s", "each_s", "later", "op", "owed")

    def __init__(self, op: int, each_s: float, owed: int, later: int) -> None:
        self.op, self.each_s, self.owed, self.later = op, each_s, owed, later
        self.done_s = 0.0


class _Hands:
    """One person: busy until ``now``, last with ``last``; ``ahead`` are windows by their hold."""

    __slots__ = ("ahead", "begun", "last", "now")

    def __init__(self, breaks: tuple[Span, ...]) -> None:
        self.now, self.last = 0.0, -1
        self.begun: list[_Begun] = []
        self.ahead = [_Window(begin, end) for begin, end in breaks]

    def expect(self, window: _Window) -> None:
        """Add a window, or put it where it belongs now."""
        if window not in self.ahead:
            self.ahead.append(window)
        self.ahead.sort(key=lambda each: each.hold)


class Dispatch:
    """A day carried out; ``lasts`` are the seconds that each piece of the order takes this time.

    With ``pinned`` no load goes in before the plan has it. Afterwards ``starts``, ``ends`` and
    ``why`` hold, by operation, its times and the operation that it waited for last (-1: none).
    """

    def __init__(self, order: Order, lasts: Sequence[float], pinned: bool = False) -> None:
        self.order, self.lasts, self.pinned = order, lasts, pinned
        count = len(order.within)
        self.starts, self.ends, self.why = [0.0] * count, [0.0] * count, [-1] * count
        self._hands = [_Hands(breaks) for breaks in order.breaks]
        self._exits: list[_Window | None] = [None] * len(order.bakes)
        self._position = 0
        self._run()

    @property
    def last(self) -> int:
        """The operation that ends the day."""
        return max(self.order.last, key=self.ends.__getitem__)

    @property
    def finish_s(self) -> float:
        return self.ends[self.last]

    def _run(self) -> None:
        starts, ends, why, lasts = self.starts, self.ends, self.why, self.lasts
        pieces = self.order.pieces
        nodes = enumerate(self.order.nodes)
        for self._position, (kind, op, who, before, piece, tins, whole, more) in nodes:
            ready, cause = 0.0, -1
            for earlier, wait in before:
                at = ends[earlier] + wait
                if at > ready:
                    ready, cause = at, earlier
            if kind == WAIT:
                starts[op] = ends[op] = ready
                why[op] = cause
                continue
            if kind == LOAD:
                self._load(piece, ready, cause)
                continue
            if kind == EXIT:
                self._exit(piece)
                continue
            hands = self._hands[who]
            if kind in (MORE, CLOSE):
                work = next(each for each in hands.begun if each.op == op)
                left = work.owed + work.later
                work.later = min(left, more)
                work.owed = left - work.later
                if kind == CLOSE:
                    hands.begun.remove(work)
                    ends[op] = self._flow(hands, op, work.each_s, left) if left else work.done_s
                continue
            if hands.begun or (hands.ahead and hands.ahead[0].hold < ready):
                self._until(hands, ready)
            if hands.now > ready:
                ready, cause = hands.now, hands.last
            if kind == DO:
                if hands.ahead:
                    last = hands.last
                    ready = self._room(hands, ready, pieces[piece].planned_s, lasts[piece])
                    cause = cause if hands.last == last else hands.last
                ends[op] = self._through(hands, op, ready, lasts[piece])
            else:
                hands.now = ready
                each_s = lasts[piece] / whole
                if kind == OPEN:
                    hands.begun.append(_Begun(op, each_s, tins, more))
                else:
                    ends[op] = self._flow(hands, op, each_s, tins)
            starts[op], why[op] = ready, cause

    # -- hands ------------------------------------------------------------------------------

    def _next(self, hands: _Hands) -> _Window | None:
        """Return the next window, without exits of which the places to land are not known yet."""
        for window in hands.ahead:
            if window.end >= 0 or self.order.bakes[window.bake].known < self._position:
                return window
        return None

    def _pass(self, hands: _Hands, window: _Window) -> None:
        """Do what a window is for; the person goes on after it."""
        if window.end < 0:
            self._settle(hands, window)
        hands.ahead.remove(window)
        if window.op >= 0:
            hands.last = window.op
        hands.now = max(hands.now, window.end)

    def _until(self, hands: _Hands, until: float) -> None:
        """Let a person spend the time until their next work is there."""
        while True:
            window = self._next(hands)
            if window is None or window.hold >= until:
                break
            self._tins(hands, window.hold, window.hold)
            self._pass(hands, window)
        self._tins(hands, until, inf if window is None else window.hold)

    def _tins(self, hands: _Hands, until: float, hold: float) -> None:
        """Go on with begun work: owed tins may run over ``until``, none runs over ``hold``."""
        for work in hands.begun:
            if work.owed and hands.now < until:
                each_s = work.each_s
                most = ceil((until - hands.now) / each_s) if each_s else work.owed
                count = min(most, _fit(hold - hands.now, each_s, work.owed))
                work.owed -= count
                self._did(hands, work, count)
        for work in hands.begun:
            if work.later and not work.owed and hands.now < until:
                count = _fit(min(until, hold) - hands.now, work.each_s, work.later)
                work.later -= count
                self._did(hands, work, count)

    def _did(self, hands: _Hands, work: _Begun, count: int) -> None:
        if count:
            hands.now += count * work.each_s
            hands.last, work.done_s = work.op, hands.now

    def _flow(self, hands: _Hands, op: int, each_s: float, left: int) -> float:
        """Do ``left`` tins around the windows ahead, and return when they are done."""
        while left:
            window = self._next(hands) if hands.ahead else None
            count = left if window is None else _fit(window.hold - hands.now, each_s, left)
            if count:
                hands.now += count * each_s
                hands.last = op
                left -= count
            if left and window is not None:
                self._tins(hands, window.hold, window.hold)
                self._pass(hands, window)
        return hands.now

    def _room(self, hands: _Hands, begin: float, planned_s: float, lasts_s: float) -> float:
        """Return when work in one piece can begin; before breaks and exits one goes by the plan."""
        while (window := self._next(hands)) is not None:
            needs = lasts_s if window.end >= 0 <= window.op else planned_s
            if begin + needs <= window.hold + _TINY_S:
                break
            self._tins(hands, window.hold, window.hold)
            self._pass(hands, window)
            begin = max(begin, hands.now)
        return begin

    def _through(self, hands: _Hands, op: int, begin: float, lasts_s: float) -> float:
        """Do work in one piece; if a break comes before its end, the rest of it follows later."""
        end = begin + lasts_s
        while hands.ahead and hands.ahead[0].end >= 0 and hands.ahead[0].hold < end - _TINY_S:
            between = hands.ahead.pop(0)
            end += between.end - between.hold
        hands.now, hands.last = end, op
        return end

    # -- the oven ---------------------------------------------------------------------------

    def _load(self, index: int, ready: float, cause: int) -> None:
        bake = self.order.bakes[index]
        hot = max(bake.hot, bake.planned) if self.pinned else bake.hot
        if hot > ready:
            ready, cause = hot, -1
        landing, earlier = self._landing(bake)
        if landing > ready:
            ready, cause = landing, earlier
        hands = self._hands[bake.loader] if bake.loader >= 0 else None
        if hands is not None:
            if hands.begun or (hands.ahead and hands.ahead[0].hold < ready):
                self._until(hands, ready)
            if hands.now > ready:
                ready, cause = hands.now, hands.last
        lasts_s = sum([self.lasts[piece] for piece in bake.loads])
        begin = self._oven_free(bake, hands, ready, lasts_s)
        end = begin + lasts_s
        self.starts[bake.op], self.ends[bake.op], self.why[bake.op] = begin, end, cause
        if hands is not None:
            if begin <= hands.now:
                hands.now, hands.last = end, bake.op
            else:
                hands.expect(_Window(begin, end, bake.op))
        if bake.unloader >= 0:
            self._expect_exit(index, bake, end + bake.bake_s)

    def _landing(self, bake: Bake) -> tuple[float, int]:
        """Return the first start of a load with which its places should be free at its exit."""
        best, cause = 0.0, -1
        seen: dict[int, tuple[float, int]] = {}
        before = bake.loading_s + bake.bake_s
        for each in bake.unloads:
            for earlier, wait in each.stands:
                at, known = self._expected(earlier, seen)
                if at + wait - before > best:
                    best, cause = at + wait - before, known
            before += self.order.work_s[each.op]
        return best, cause

    def _expected(self, op: int, seen: dict[int, tuple[float, int]]) -> tuple[float, int]:
        """Return when an operation ends, at the earliest where that is to come yet, and after what
        operation that has ended."""
        if self.order.done_at[op] < self._position:
            return self.ends[op], op
        if op not in seen:
            best, cause = 0.0, -1
            for earlier, wait in self.order.before[op]:
                at, known = self._expected(earlier, seen)
                if at + wait > best:
                    best, cause = at + wait, known
            seen[op] = best + self.order.work_s[op], cause
        return seen[op]

    def _oven_free(self, bake: Bake, hands: _Hands | None, begin: float, lasts_s: float) -> float:
        """Return the first start from ``begin`` on that breaks and the loader's hands allow."""
        while True:
            at = begin
            for first, last in bake.closed:
                if first < at < last:
                    at = last
            if hands is None:
                return at
            for window in hands.ahead:
                settled = window.end >= 0 <= window.op
                needs = max(bake.loading_s, lasts_s) if settled else bake.loading_s
                if at + needs <= window.hold + _TINY_S:
                    break
                if window.end < 0:
                    other = self.order.bakes[window.bake]
                    if at >= self.ends[other.op] + other.bake_s + other.unloading_s:
                        continue  # it is late, and comes when its places are free
                    if other.known >= self._position:
                        continue
                    self._settle(hands, window)
                    hands.expect(window)
                    return self._oven_free(bake, hands, at, lasts_s)
                at = max(at, window.end)
            if at == begin:
                return begin
            begin = at

    def _expect_exit(self, index: int, bake: Bake, due: float) -> None:
        """Tell the hands that unload when; a break that has not begun waits for the oven."""
        hands = self._hands[bake.unloader]
        out = due + bake.unloading_s
        for window in hands.ahead[:]:
            if window.op < 0 and window.hold < out and due - self.order.ready_s < window.end:
                window.hold = out
                if out >= window.end:
                    hands.ahead.remove(window)
        window = _Window(due - self.order.ready_s, -1.0, bake.unloads[-1].op, index)
        self._exits[index] = window
        hands.expect(window)

    def _exit(self, index: int) -> None:
        window = self._exits[index]
        bake = self.order.bakes[index]
        if window is None:
            at, cause = self._placed(bake, self.ends[bake.op] + bake.bake_s, bake.op)
            self._unload(bake, at, cause)
        elif window.end < 0:
            hands = self._hands[bake.unloader]
            self._settle(hands, window)
            if self.starts[bake.unloads[0].op] <= hands.now:
                self._pass(hands, window)
            else:
                hands.expect(window)

    def _settle(self, hands: _Hands, window: _Window) -> None:
        """Settle when an exit happens: when the bake ends, or as soon as hands are free."""
        bake = self.order.bakes[window.bake]
        at, cause = self.ends[bake.op] + bake.bake_s, bake.op
        if hands.now > at:
            at, cause = hands.now, hands.last
        at, cause = self._placed(bake, at, cause)
        lasts_s = sum([self.lasts[each.piece] for each in bake.unloads if each.piece >= 0])
        for other in hands.ahead:
            settled = other.end >= 0 <= other.op
            if settled and at < other.end and at + lasts_s > other.hold:
                at, cause = other.end, other.op
        window.end = self._unload(bake, at, cause)
        window.hold = self.starts[bake.unloads[0].op] - self.order.ready_s

    def _placed(self, bake: Bake, at: float, cause: int) -> tuple[float, int]:
        """Return from ``at`` on when every tray has a place to land in its turn, and the cause."""
        lasts_s = 0.0
        for _, piece, stands in bake.unloads:
            for earlier, wait in stands:
                free = self.ends[earlier] + wait - lasts_s
                if free > at:
                    at, cause = free, earlier
            lasts_s += self.lasts[piece] if piece >= 0 else 0.0
        return at, cause

    def _unload(self, bake: Bake, at: float, cause: int) -> float:
        """Take a load out, one tray after another, and return when the last one stands."""
        for op, piece, _ in bake.unloads:
            self.starts[op], self.why[op] = at, cause
            at += self.lasts[piece] if piece >= 0 else 0.0
            self.ends[op], cause = at, op
        return at


def _fit(room_s: float, each_s: float, most: int) -> int:
    """Return how many tins of ``each_s`` fit into ``room_s``, at most ``most``."""
    if most * each_s <= room_s + _TINY_S:
        return most
    return max(0, int((room_s + _TINY_S) / each_s))
