"""When somebody is there: the earliest time for work, and for a load in a hot oven."""

from __future__ import annotations

from benchplan.scheduling.problem import Shop


class Hours:
    """A day's time as breaks allow it to be used; ``gaps``: everyone is away now and then.

    An answer never gets earlier when what it is asked with gets later: bounds rest on that.
    """

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._away = shop.day.nobody()
        self.gaps = bool(self._away)

    def start(self, after: int, lasts: int) -> int:
        """Return the earliest start from ``after`` of work that cannot pause."""
        if lasts:
            for begin, end in self._away:
                if after + lasts <= begin:
                    break
                after = max(after, end)
        return after

    def end(self, after: int, pieces: int, each: int) -> int:
        """Return the earliest end of ``pieces`` of work that cannot pause, pauses between them."""
        if not pieces * each:
            return after
        for begin, end in self._away:
            if after >= end:
                continue
            done = max(0, begin - after) // each
            if done >= pieces:
                break
            pieces -= done
            after = end
        return after + pieces * each

    def hot(self, after: int, lasts: int, preheat: int) -> int:
        """Return the earliest start of ``lasts`` seconds in which an oven stays hot."""
        for begin, end in self._shop.attended:
            start = max(after, begin + preheat)
            if start + lasts <= end:
                return start
        raise AssertionError("the last attended stretch has no end")

    def worked_off(
        self, work: int, begins: list[int], preheats: list[int], spare: int, whole: int
    ) -> int:
        """Return the earliest second by which ovens can have done ``work`` seconds together.

        They can begin at ``begins``, and after everyone was away once they have preheated again;
        ``spare`` seconds of each one's last piece of work are none. They do ``whole`` seconds at a
        time between two times when everyone is away.
        """
        whole = max(1, whole)
        for start, end in self._shop.attended:
            ready = sorted(
                max(begin, start + preheat) - spare
                for begin, preheat in zip(begins, preheats, strict=True)
            )
            done = sum(max(0, end - each) // whole * whole for each in ready)
            if done < work:
                work -= done
                continue
            totals = [sum(ready[: count + 1]) + work for count in range(len(ready))]
            return min(-(-total // count) for count, total in enumerate(totals, start=1))
        raise AssertionError("the last attended stretch has no end")

    def attended(self, begin: int, work: int) -> int:
        """Return the earliest second by which ``work`` attended seconds have passed."""
        for start, end in self._shop.attended:
            free = end - max(start, begin)
            if free > 0:
                if work <= free:
                    return max(start, begin) + work
                work -= free
        raise AssertionError("the last attended stretch has no end")

    def staffed(self, work: int) -> int:
        """Return the earliest second by which all people together can have done ``work``."""
        breaks = self._shop.day.absences()
        edges = sorted({0} | {edge for each in breaks for edge in (each.at_s, each.end_s)})
        for begin, end in zip(edges, [*edges[1:], None], strict=True):
            away = sum(each.away or 0 for each in breaks if each.at_s <= begin < each.end_s)
            there = self._shop.day.people - away
            if end is None or work <= there * (end - begin):
                return begin + (-(-work // there) if work else 0)
            work -= there * (end - begin)
        raise AssertionError("the last stretch has no end")


def worked(jobs: list[tuple[int, int]]) -> int:
    """Return when one person can have done jobs (from when, how long), one after another."""
    done = 0
    for since, lasts in sorted(jobs):
        if lasts:
            done = max(done, since) + lasts
    return done
