"""Bake rate against cooling room: how a day ends with other room to cool in. No input, no output.

On the mat the room is counted in tins; where tins stay on their pans it is what holds them up
there: the places on the stand or, where they are no more than those, the pans. Each room is
planned. By construction more room is never later: what is there need not be used.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from benchplan import packing
from benchplan.errors import BenchplanError
from benchplan.fitting import KnownFits
from benchplan.model import Day, Plan
from benchplan.model.lanes import levels
from benchplan.model.mat_need import mat_need
from benchplan.model.stop import Stop
from benchplan.planner import plan_day, quick_stop

MOST_POINTS = 11  # planned at equal distances, the day's own and those next to the knee besides
KNEE_S = 60


@dataclass(frozen=True, slots=True)
class Point:
    """A day with another ``room`` to cool in: tins on the mat, pans, or places on the stand.

    ``finish_s`` is that of the best plan found for this room or for less. Its ovens give
    ``tins_per_hour`` and ``trays_per_hour`` from the first load's start to the last unload's end,
    and ``cooling`` tins lie on its mat at a time (0 where it has none).
    """

    room: int
    finish_s: int
    tins_per_hour: float
    trays_per_hour: float
    cooling: float = 0.0


@dataclass(frozen=True, slots=True)
class Balance:
    """How a day ends with other room to cool in.

    ``what`` is "mat", "pan" (``kind`` names it) or "stand place"; ``own`` the day's own room;
    ``points`` are in order of their room, so far ``planned`` of ``wanted``. ``by_size``: the mat is
    given by its size and for tins of several kinds, so that the room is counted in tins of
    ``kind``.
    """

    what: str
    kind: str | None
    own: int
    points: tuple[Point, ...]
    planned: int
    wanted: int
    by_size: bool = False

    @property
    def done(self) -> bool:
        """Whether all is planned."""
        return self.planned >= self.wanted

    @property
    def knee(self) -> int | None:
        """The least room from which more wins less than a minute; None until all is planned.

        The measure is ours: a maker sees at once what it means.
        """
        return knee(self.points) if self.done else None

    def at(self, room: int) -> Point:
        """Return the point of a room; KeyError when it is not planned."""
        for point in self.points:
            if point.room == room:
                return point
        raise KeyError(room)


def knee(points: Sequence[Point]) -> int | None:
    """Return the least room of which all the more there is wins less than ``KNEE_S``."""
    if not points:
        return None
    enough = points[-1].finish_s + KNEE_S
    return next(point.room for point in points if point.finish_s < enough)


def balance(
    day: Day,
    plan: Plan,
    known_fits: KnownFits | None = None,
    stop_for: Callable[[Day], Stop] | None = None,
    seed: int = 0,
    cancelled: Stop = lambda: False,
    tell: Callable[[Balance], None] | None = None,
) -> Balance:
    """Return how ``day`` ends with other room to cool in; ``plan`` is its plan with its own room.

    From the room that one tray needs to what is never full, then to the last tin around the knee.
    ``stop_for`` gives the stop rule of each plan, usually the planner's quick one. ``tell`` hears
    of every new point. Ends early, with what there is and not ``done``, once ``cancelled``.
    """
    return _Sweep(day, plan, known_fits, stop_for or quick_stop, seed, cancelled, tell).run()


class _Sweep:
    """Plans one room after another."""

    def __init__(
        self,
        day: Day,
        plan: Plan,
        known_fits: KnownFits | None,
        stop_for: Callable[[Day], Stop],
        seed: int,
        cancelled: Stop,
        tell: Callable[[Balance], None] | None,
    ) -> None:
        self._day, self._plan, self._known = day, plan, known_fits
        self._stop_for, self._seed = stop_for, seed
        self._cancelled, self._tell = cancelled, tell
        self._scale = _scale(day, plan)
        self._found: dict[int, Point] = {}
        self._planned, self._wanted = 0, MOST_POINTS

    def run(self) -> Balance:
        scale = self._scale
        self._take(scale.own, self._day, self._plan)
        most = self._most()
        least = min(scale.least, most)
        steps = min(MOST_POINTS - 1, most - least) or 1
        rooms = {least + round(step * (most - least) / steps) for step in range(steps + 1)}
        left = rooms - set(self._found)
        widest = math.ceil((most - least) / steps)
        finer = max(0, widest - 1).bit_length()  # what halving the step before the knee may take
        while left and not self._cancelled():
            room = max(left, key=self._worth)
            left.remove(room)
            if self._worth(room)[0]:
                self._wanted = self._planned + 1 + len(left) + finer
                self._try(room)
            else:  # as early with more as with less: so it is in between, and no plan is needed
                self._found[room] = replace(self._found[self._beside(room)[0]], room=room)
        while not self._cancelled():
            self._wanted = max(self._planned + 1, self._wanted)
            between = self._before_knee()
            if between is None or not self._try(between):
                self._wanted = self._planned
                break
        return self._balance()

    def _most(self) -> int:
        """Return the room that is never full, planned where the day's own may be."""
        scale = self._scale
        if scale.what != "mat":
            return max(1, len(self._plan.trays))
        every = max(scale.own, self._day.tins_wanted)
        day, plan = self._day, self._plan
        if every > scale.own and not self._cancelled():
            day, found = scale.with_room(every), None
            found = self._answer(day)
            plan = found or plan
        fullest = max(level.share for level in levels(day, plan))
        room = next(
            fit.count for fit in plan.fits if fit.what == "tins on mat" and fit.tin == scale.tin
        )
        most = max(1, math.ceil(fullest * room - 1e-9))
        if most not in self._found:
            self._take(scale.room_of(scale.with_room(most)), day, plan)
        return most

    def _beside(self, room: int) -> tuple[int, int]:
        """Return the nearest rooms that are known below and above one; the one at an end twice."""
        below = [at for at in self._found if at < room]
        above = [at for at in self._found if at > room]
        return max(below or [min(above)]), min(above or [max(below)])

    def _worth(self, room: int) -> tuple[int, int]:
        """Return how much a room's plan may tell: by how much less and more of it differ, how far.

        A room beyond all that are known tells most.
        """
        low, high = self._beside(room)
        if low == high:
            return 10**9, abs(room - low)
        finish = {point.room: point.finish_s for point in self._settled()}
        return finish[low] - finish[high], min(room - low, high - room)

    def _before_knee(self) -> int | None:
        """Return the room halfway between the knee and what was planned before it, if any is."""
        points = self._settled()
        at = knee(points)
        below = [point.room for point in points if at is not None and point.room < at]
        if at is None or not below or at - below[-1] < 2:
            return None
        return (below[-1] + at) // 2

    def _try(self, room: int) -> bool:
        """Plan the day with a room; say whether there is a new point."""
        day = self._scale.with_room(room)
        room = self._scale.room_of(day)
        if room in self._found:
            return False
        plan = self._answer(day)
        if plan is None:
            return False
        self._take(room, day, plan)
        return True

    def _answer(self, day: Day) -> Plan | None:
        """Return the plan of a day; None where there is none, or no more is to be planned."""
        enough = self._stop_for(day)
        try:
            plan = plan_day(
                day, lambda: self._cancelled() or enough(), self._seed, self._known, self._plan
            )
        except BenchplanError:
            return None  # a tray of the maker's own queue does not fit
        return plan if isinstance(plan, Plan) and not self._cancelled() else None

    def _take(self, room: int, day: Day, plan: Plan) -> None:
        self._found[room] = _point(room, day, plan)
        self._planned += 1
        self._wanted = max(self._wanted, self._planned + 1)
        if self._tell:
            self._tell(self._balance())

    def _balance(self) -> Balance:
        scale = self._scale
        points = self._settled()
        kind = scale.tin if scale.by_size else scale.pan
        return Balance(
            scale.what, kind, scale.own, points, self._planned, self._wanted, scale.by_size
        )

    def _settled(self) -> tuple[Point, ...]:
        """Return the points, no room later than less of it.

        A plan with less room is a plan with more, so where the search found none as good the better
        one counts. The day's own plan stays what it is on every other page: one with less room
        counts as no better than it.
        """
        own = self._found[self._scale.own]
        best: Point | None = None
        settled = []
        for room in sorted(self._found):
            point = self._found[room]
            if room < own.room and point.finish_s < own.finish_s:
                point = own
            if best is None or point.finish_s <= best.finish_s:
                best = point
            settled.append(replace(best, room=room))
        return tuple(settled)


def _point(room: int, day: Day, plan: Plan) -> Point:
    begin = min(step.start_s for step in plan.steps if step.step == "load")
    end = max(step.end_s for step in plan.steps if step.step == "unload")
    hours = max(1, end - begin) / 3600
    tins = sum(tray.tins for tray in plan.trays)
    need = mat_need(day, plan)
    return Point(
        room, plan.finish_s, tins / hours, len(plan.trays) / hours, need.tins if need else 0.0
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """What is changed about a day. ``tin`` is what a mat's room is counted in."""

    day: Day
    what: str
    own: int
    least: int
    tin: str = ""
    pan: str | None = None
    by_size: bool = False

    def with_room(self, room: int) -> Day:
        """Return the day with another room; a mat by its size may have some more."""
        day, cooling = self.day, self.day.cooling
        if self.what == "pan":
            pan = replace(day.pans[self.pan or ""], count=room)
            return replace(day, pans={**day.pans, pan.name: pan})
        if self.what == "stand place":
            return replace(day, cooling=replace(cooling, stand=room))
        if not self.by_size or cooling.mat_mm is None:
            return replace(day, cooling=replace(cooling, mat_tins=room))
        length, width = cooling.mat_mm
        length *= room / max(1, self.own)
        more = day.tins[self.tin].diameter_mm + cooling.gap_mm  # a row across
        for longer in range(room):
            mat_mm = (length + longer * more, width)
            day = replace(self.day, cooling=replace(cooling, mat_mm=mat_mm))
            if self.room_of(day) >= room:
                break
        return day

    def room_of(self, day: Day) -> int:
        """Return the room of such a day."""
        if self.what == "pan":
            return day.pans[self.pan or ""].count
        if self.what == "stand place":
            return day.cooling.stand
        if day.cooling.mat_tins is not None or day.cooling.mat_mm is None:
            return day.cooling.mat_tins or 0
        size = day.tins[self.tin].diameter_mm
        return packing.pack_mat(day.cooling.mat_mm, size, day.cooling.gap_mm).count


def _scale(day: Day, plan: Plan) -> _Scale:
    """Return what to change: the room on the mat, or what keeps tins on their pans waiting."""
    if day.on_pan:
        used = Counter(tray.pan for tray in plan.trays)
        if day.cooling.stand < sum(day.pans[name].count for name in used):
            return _Scale(day, "stand place", day.cooling.stand, 1)
        main = used.most_common(1)[0][0]
        return _Scale(day, "pan", day.pans[main].count, 1, pan=main)
    tins: Counter[str] = Counter()
    for order in day.orders:
        tins[day.recipes[order.recipe].tin] += order.tins
    main = tins.most_common(1)[0][0]
    by_size = len(tins) > 1 and day.cooling.mat_tins is None
    scale = _Scale(day, "mat", 0, 1, tin=main, by_size=by_size)
    own = scale.room_of(day)
    fullest = max(tray.tins for tray in plan.trays)
    given = max((tray.tins for tray in day.queue), default=0)
    # A day of one tray is asked what a mat for less than it would do, where it may be cut up.
    least = given or (fullest if len(plan.trays) > 1 else 1)
    return replace(scale, own=own, least=min(own, least))
