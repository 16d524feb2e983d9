"""The problem: one production day as the maker states it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from itertools import pairwise

from benchplan import clock
from benchplan.model.kit import Cooling, Display, Oven, Pan, Recipe, Scent, Times, Tin

PACK_WHEN = ("today", "later")


@dataclass(frozen=True, slots=True)
class Break:
    """``away`` people are missing from ``at_s`` for ``for_s``; None: everyone not already away."""

    at_s: int
    for_s: int
    away: int | None = None

    @property
    def end_s(self) -> int:
        return self.at_s + self.for_s


@dataclass(frozen=True, slots=True)
class Order:
    """``tins`` of one scent and recipe are wanted; ``filled`` of them are in their tins already."""

    scent: str
    recipe: str
    tins: int
    filled: int = 0


@dataclass(frozen=True, slots=True)
class QueuedTray:
    """A tray asked for in ``[[trays]]``: one scent a tin; ``pan`` None: the planner's choice."""

    scents: tuple[str, ...]
    recipe: str
    pan: str | None = None

    @property
    def tins(self) -> int:
        return len(self.scents)


@dataclass(frozen=True, slots=True)
class Day:
    """One production day. Seconds count from ``start``, an aware local time.

    ``queue`` is the maker's own order of trays (possibly empty), ``checklist`` the words they
    want to see at a step, ``defaults`` the key paths for which the file gave no value, ``keys``
    the keys of the maker's settings: no file says them, and two days that differ in them are equal.
    """

    name: str
    start: datetime
    orders: tuple[Order, ...]
    recipes: Mapping[str, Recipe]
    tins: Mapping[str, Tin]
    pans: Mapping[str, Pan]
    ovens: Mapping[str, Oven]
    cooling: Cooling
    times: Times = Times()
    scents: Mapping[str, Scent] = field(default_factory=dict)
    queue: tuple[QueuedTray, ...] = ()
    breaks: tuple[Break, ...] = ()
    finish_by_s: int | None = None
    people: int = 1
    scales: int = 1
    mix_scents: bool = False
    pack: str = "today"
    keep_order: bool = False
    checklist: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    display: Display = Display()
    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict, compare=False)
    defaults: tuple[str, ...] = ()

    @property
    def pack_each_s(self) -> int:
        """Seconds a tin that the last step takes: pack, or clear when packing comes later."""
        return self.times.pack_s if self.pack == "today" else self.times.clear_s

    @property
    def on_pan(self) -> bool:
        """Whether tins cool on their pan instead of being moved to the mat."""
        return self.cooling.where == "pan"

    @property
    def tins_wanted(self) -> int:
        return sum(order.tins for order in self.orders)

    def scent(self, name: str) -> Scent:
        """Return what is known of a scent; a scent need not be described to be used."""
        return self.scents.get(name) or Scent(name)

    def absences(self) -> tuple[Break, ...]:
        """Return the breaks with every ``away`` a number, by start time.

        A break without a number takes everyone whom the numbered breaks leave; where two such
        breaks overlap, the later one begins when the earlier ends.
        """
        numbered = [pause for pause in self.breaks if pause.away is not None]
        found = [pause for pause in numbered if pause.away]
        taken_until = 0
        for pause in sorted(self.breaks, key=lambda each: (each.at_s, each.end_s)):
            if pause.away is not None:
                continue
            begin = max(pause.at_s, taken_until)
            if begin >= pause.end_s:
                continue
            taken_until = pause.end_s
            away = self.people - most_away(numbered, begin, pause.end_s)
            if away > 0:
                found.append(Break(begin, pause.end_s - begin, away))
        return tuple(sorted(found, key=lambda each: (each.at_s, each.end_s)))

    def nobody(self) -> tuple[tuple[int, int], ...]:
        """Return the stretches in which everyone is away: no oven may be hot then."""
        breaks = self.absences()
        edges = sorted({edge for pause in breaks for edge in (pause.at_s, pause.end_s)})
        found: list[tuple[int, int]] = []
        for begin, end in pairwise(edges):
            away = sum(
                each.away or 0 for each in breaks if each.at_s <= begin and end <= each.end_s
            )
            if away < self.people:
                continue
            if found and found[-1][1] == begin:
                found[-1] = (found[-1][0], end)
            else:
                found.append((begin, end))
        return tuple(found)

    def begun_at(self, start: datetime) -> Day:
        """Return this day begun at another instant; breaks and finish_by keep their clock times.

        The date is that of ``start``, or the day before where the planned start of that one is
        nearer (a night that begins after midnight). A break that is over by then is dropped and one
        under way is shortened. The new start counts to the whole second from the planned one.
        """
        local = start.astimezone(self.start.tzinfo)
        dates = (local.date(), local.date() - timedelta(days=1))
        planned = min(
            (_on(self.start, date) for date in dates),
            key=lambda moment: abs(clock.elapsed(moment, start)),
        )
        days = planned.date() - self.start.date()
        late = round(clock.elapsed(planned, start))
        begun = clock.at(planned, late)

        def moved(seconds: int) -> int:
            wall = clock.at(self.start, seconds)
            return round(clock.elapsed(begun, _on(wall, wall.date() + days)))

        return self._counted_from(begun, moved)

    def begun_later(self, seconds: int) -> Day:
        """Return this day begun so much later (negative: earlier), the rest at its own instants."""
        return self._counted_from(clock.at(self.start, seconds), lambda at_s: at_s - seconds)

    def _counted_from(self, begun: datetime, moved: Callable[[int], int]) -> Day:
        """Return this day with its seconds counted from another start; what is over is dropped."""
        breaks = []
        for pause in self.breaks:
            begin = moved(pause.at_s)
            end = begin + pause.for_s
            if end > max(0, begin):
                breaks.append(replace(pause, at_s=max(0, begin), for_s=end - max(0, begin)))
        finish = None if self.finish_by_s is None else max(0, moved(self.finish_by_s))
        return replace(self, start=begun, breaks=tuple(breaks), finish_by_s=finish)

    def settled(self) -> Day:
        """Return this day with a queue that asks for no more than the orders do.

        Whatever an order loses, the last trays of its scent lose.
        """
        remaining: Counter[tuple[str, str]] = Counter()
        for order in self.orders:
            remaining[order.recipe, order.scent] += order.tins
        queue = []
        for tray in self.queue:
            kept = []
            for scent in tray.scents:
                if remaining[tray.recipe, scent] > 0:
                    remaining[tray.recipe, scent] -= 1
                    kept.append(scent)
            if kept:
                queue.append(replace(tray, scents=tuple(kept)))
        return replace(self, queue=tuple(queue))


def _on(moment: datetime, date: date) -> datetime:
    """Return the same local time of day on another date, as an instant that exists."""
    there = moment.replace(year=date.year, month=date.month, day=date.day)
    return clock.at(there, 0)


def most_away(breaks: list[Break], begin: int, end: int) -> int:
    """Return the most people whom numbered ``breaks`` take away at one time in [begin, end)."""
    moments = {begin} | {each.at_s for each in breaks if begin <= each.at_s < end}
    return max(
        sum(each.away or 0 for each in breaks if each.at_s <= moment < each.end_s)
        for moment in moments
    )
