"""What would make a late day end in time: each answer was planned. No input, no output.

An earlier start, one more of a thing or another way of working, or fewer tins.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import accumulate

from benchplan.fitting import KnownFits
from benchplan.model import Day, InTime, Plan
from benchplan.model.stop import Stop
from benchplan.one_more import one_more
from benchplan.planner import plan_day, quick_stop
from benchplan.start_by import start_by

MOST_PLANS = 60
_MOST_STARTS = 4
_MINUTE_S = 60
_CHEAPEST = (  # what costs a maker least, first; a way of working not named here comes last
    "pan", "stand place", "tray's worth of mat", "shelf", "scale", "person", "oven",
)  # fmt: skip


class _Plans:
    """Plans days with one stop rule and seed, until there were enough or it is cancelled."""

    def __init__(
        self,
        like: Plan,
        stop_for: Callable[[Day], Stop],
        seed: int,
        known_fits: KnownFits | None,
        cancelled: Stop,
    ) -> None:
        self.seed, self.known_fits, self._like = seed, known_fits, like
        self._stop_for, self._cancelled = stop_for, cancelled
        self._left = MOST_PLANS

    def stop_for(self, day: Day) -> Stop:
        """Return the stop rule of one more plan, and count it."""
        self._left -= 1
        return self._stop_for(day)

    def over(self) -> bool:
        """Whether nothing more is to be planned."""
        return self._left <= 0 or self._cancelled()

    def late_s(self, day: Day) -> int | None:
        """Return by how much a day's plan ends after finish_by (negative: before); None: no plan.

        None also when nothing more is to be planned.
        """
        if self.over():
            return None
        answer = plan_day(day, self.stop_for(day), self.seed, self.known_fits, self._like)
        return answer.finish_s - (day.finish_by_s or 0) if isinstance(answer, Plan) else None


def in_time(
    day: Day,
    plan: Plan,
    stop_for: Callable[[Day], Stop] | None = None,
    seed: int = 0,
    known_fits: KnownFits | None = None,
    cancelled: Stop = lambda: False,
) -> tuple[InTime, ...]:
    """Return what makes a late day end in time: () for a day without finish_by, or not late.

    First an earlier start, then one more of each thing that does it alone (those of
    ``plan.one_more`` where they are there), the cheapest first, then fewer tins: of each scent that
    does it alone, the fewest lost first; where none does, of all scents, in proportion. Each was
    planned, and of starts and tins the least change found is given: a still smaller one may do it
    too. A start that has passed by now is not known here.

    ``plan`` is the plan of ``day``, the rest as in ``one_more``. Plans at most ``MOST_PLANS`` days,
    and ends early, with what there is, once ``cancelled``.
    """
    by = day.finish_by_s
    if by is None or plan.finish_s <= by:
        return ()
    plans = _Plans(plan, stop_for or quick_stop, seed, known_fits, cancelled)
    found = [*_earlier_start(day, plan, by, plans), *_one_more(day, plan, by, plans)]
    tins = _fewer_of_one(day, plan, by, plans)
    if not tins and len(_ordered(day)) > 1:
        tins = _fewer_of_all(day, plan, by, plans)
    return (*found, *tins)


def _earlier_start(day: Day, plan: Plan, by: int, plans: _Plans) -> Iterator[InTime]:
    """Yield the least earlier start found, in whole minutes."""
    latest = plan.start_by_s
    if latest is None and not plans.over():
        latest = start_by(
            day, plan, plans.stop_for, plans.seed, plans.known_fits, cancelled=plans.over
        )
    # Where no break is in the way, the lateness itself is enough; where one is, less or more.
    early = late = plan.finish_s - by
    starts = sorted({early, early if latest is None or latest >= 0 else -latest})
    for _ in range(_MOST_STARTS):
        early = _whole_minutes(starts.pop(0) if starts else early + late)
        tried = plans.late_s(day.begun_later(-early))
        if tried is None:
            return
        late = tried
        if late <= 0:
            yield InTime("earlier start", None, early, by + late)
            return


def _whole_minutes(seconds: int) -> int:
    return math.ceil(seconds / _MINUTE_S) * _MINUTE_S


def _one_more(day: Day, plan: Plan, by: int, plans: _Plans) -> Iterator[InTime]:
    """Yield each thing that one more of is enough, the cheapest first, then ways of working."""
    found = plan.one_more
    if not found:
        found = one_more(
            day, plan, plans.stop_for, plans.seed, plans.known_fits, cancelled=plans.over
        )
    rank = {what: place for place, what in enumerate(_CHEAPEST)}
    for more in sorted(found, key=lambda each: rank.get(each.what, len(rank))):
        if more.finish_s <= by:
            yield InTime(more.what, more.kind, 1, more.finish_s)


def _fewer_of_one(day: Day, plan: Plan, by: int, plans: _Plans) -> list[InTime]:
    """Return for each scent how many fewer of its tins are enough, the fewest first.

    The widest doubt of any scent is halved next, so that where plans run out no scent's number is
    much rougher than another's; then it is tried whether a few whole trays are fewer still.
    """
    ordered = _ordered(day)
    least: dict[str, int] = {}
    ends: dict[str, int] = {}
    too_few = dict.fromkeys(ordered, 0)

    def enough(scent: str, count: int) -> bool:
        late = plans.late_s(_with_fewer(day, {scent: count}))
        if late is None or late > 0:
            return False
        least[scent], ends[scent] = count, by + late
        return True

    for scent, tins in ordered.items():
        most = min(tins, day.tins_wanted - 1)
        if most:
            enough(scent, most)
    while not plans.over():
        scent = max(least, key=lambda each: least[each] - too_few[each], default="")
        if not scent or least[scent] - too_few[scent] <= 1:
            break
        middle = (least[scent] + too_few[scent]) // 2
        if not enough(scent, middle):
            too_few[scent] = middle
    for scent in least:
        counts = sorted(tray.scents.count(scent) for tray in plan.trays if scent in tray.scents)
        fewer = [count for count in accumulate(counts) if count < least[scent]]
        if fewer:
            enough(scent, fewer[-1])
    ranked = sorted(least, key=lambda scent: (least[scent], ends[scent]))
    return [InTime("fewer tins", scent, least[scent], ends[scent]) for scent in ranked]


def _fewer_of_all(day: Day, plan: Plan, by: int, plans: _Plans) -> list[InTime]:
    """Return the least cut found over all scents, in proportion, tray by tray: kind None."""
    trays = len(plan.trays)
    found: list[InTime] = []
    too_few, least = 0, trays
    while least - too_few > 1:
        tried = (too_few + least) // 2
        count = max(1, day.tins_wanted * tried // trays)
        late = plans.late_s(_with_fewer(day, _shares(day, count)))
        if late is None:
            break
        if late <= 0:
            least, found = tried, [InTime("fewer tins", None, count, by + late)]
        else:
            too_few = tried
    return found


def _ordered(day: Day) -> Counter[str]:
    """Return how many tins of each scent are ordered, the scents in the order of the file."""
    found: Counter[str] = Counter()
    for order in day.orders:
        found[order.scent] += order.tins
    return found


def _shares(day: Day, count: int) -> dict[str, int]:
    """Share ``count`` tins out over the scents in proportion, by largest remainders."""
    exact = {scent: tins * count for scent, tins in _ordered(day).items()}
    shares = {scent: part // day.tins_wanted for scent, part in exact.items()}
    most_left = sorted(exact, key=lambda scent: -(exact[scent] % day.tins_wanted))
    for scent in most_left[: count - sum(shares.values())]:
        shares[scent] += 1
    return shares


def _with_fewer(day: Day, fewer: Mapping[str, int]) -> Day:
    """Return the day with so many fewer tins of each scent: its last orders and trays lose them.

    Of an order, tins that are filled already are left out last.
    """
    left = Counter(fewer)
    orders = []
    for order in reversed(day.orders):
        gone = min(order.tins, left[order.scent])
        left[order.scent] -= gone
        tins = order.tins - gone
        if tins:
            orders.append(replace(order, tins=tins, filled=min(order.filled, tins)))
    orders.reverse()
    return replace(day, orders=tuple(orders)).settled()
