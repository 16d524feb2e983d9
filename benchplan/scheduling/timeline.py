"""One person's time: what is taken, and where the next piece of work fits."""

from __future__ import annotations

from bisect import bisect_right

from benchplan.model.plan import Span

NEVER = 1 << 60


class Timeline:
    """Taken stretches of one person's time, kept sorted and merged; seconds throughout."""

    __slots__ = ("_ends", "_starts")

    def __init__(self, taken: tuple[Span, ...] = ()) -> None:
        self._starts: list[int] = []
        self._ends: list[int] = []
        for start, end in taken:
            self.take(start, end)

    def copy(self) -> Timeline:
        """Return a line of its own on which the same is taken."""
        other = Timeline()
        other._starts, other._ends = self._starts.copy(), self._ends.copy()
        return other

    def take(self, start: int, end: int) -> None:
        """Mark [start, end) as taken; it may overlap what is taken already (a past can)."""
        if end <= start:
            return
        starts, ends = self._starts, self._ends
        if not ends or start > ends[-1]:
            starts.append(start)
            ends.append(end)
            return
        first = bisect_right(ends, start)
        if first and ends[first - 1] == start:
            first -= 1
        last = bisect_right(starts, end)
        if first < last:
            start = min(start, starts[first])
            end = max(end, ends[last - 1])
        starts[first:last] = [start]
        ends[first:last] = [end]

    def earliest(self, after: int, lasts: int) -> int:
        """Return the earliest start >= ``after`` of ``lasts`` free seconds in one piece."""
        starts, ends = self._starts, self._ends
        start = after
        for index in range(bisect_right(ends, after), len(starts)):
            if starts[index] >= start + lasts:
                break
            if ends[index] > start:
                start = ends[index]
        return start

    def flow(self, after: int, count: int, each: int) -> list[Span]:
        """Return parts of ``count`` units of ``each`` seconds, around what is taken.

        The work may pause between units, never within one; the parts are in order and none is
        empty. ``count`` and ``each`` are at least 1.
        """
        starts, ends = self._starts, self._ends
        if not ends or after >= ends[-1]:
            return [(after, after + count * each)]
        index = bisect_right(ends, after)
        start = after
        parts: list[Span] = []
        while True:
            if index < len(starts) and starts[index] <= start:
                start = ends[index]
                index += 1
                continue
            room = starts[index] if index < len(starts) else NEVER
            fits = min(count, (room - start) // each)
            if fits:
                parts.append((start, start + fits * each))
                count -= fits
                if not count:
                    return parts
            start = ends[index]
            index += 1
