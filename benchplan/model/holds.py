"""A plan looked up by what is held: who is at what, and which tray has pan, place and mat when."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from math import lcm
from operator import attrgetter

from benchplan.model.day import Day
from benchplan.model.plan import Plan, Step


@dataclass(frozen=True, slots=True)
class Doing:
    """One stretch of a plan: a part of a tray's step, a change of scent, a preheat, a break.

    ``what`` is the step's name or "change_scent", "preheat", "break"; "ready" are the seconds in
    which hands stay free before a bake ends. ``tray`` is 0 where there is none (a change of scent
    has that of the tray after it), ``person`` 0 where nobody is needed.
    """

    start_s: int
    end_s: int
    what: str
    tray: int = 0
    part: int = 0
    person: int = 0
    place: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """One load from its first ``load`` to its last ``unload``: it can be moved only as a whole."""

    oven: str
    bake_at_c: float
    loads: tuple[Doing, ...]
    unloads: tuple[Doing, ...]

    @property
    def start_s(self) -> int:
        return self.loads[0].start_s

    @property
    def baked_s(self) -> int:
        return self.unloads[0].start_s

    @property
    def out_s(self) -> int:
        return self.unloads[-1].end_s


@dataclass(frozen=True, slots=True)
class Hold:
    """``units`` of a room are a tray's until ``end_s``; ``last`` is the work that frees them."""

    start_s: int
    end_s: int
    units: int
    last: Doing


class Room:
    """Something of which there are ``units``: pans of a kind, places of the stand, the mat."""

    def __init__(self, units: int, holds: Iterable[Hold]) -> None:
        self.units = units
        self._by_end: dict[int, list[Hold]] = {}
        changes: dict[int, int] = {}
        for hold in holds:
            self._by_end.setdefault(hold.end_s, []).append(hold)
            changes[hold.start_s] = changes.get(hold.start_s, 0) + hold.units
            changes[hold.end_s] = changes.get(hold.end_s, 0) - hold.units
        self._times = sorted(changes)
        self._levels: list[int] = []
        level = 0
        for time in self._times:
            level += changes[time]
            self._levels.append(level)

    def freed(
        self, at: int, units: int, since: int, besides: Collection[int] = ()
    ) -> tuple[int, Hold] | None:
        """Return when ``units`` became free that stay so until ``at``, and what freed the last.

        None where there was room all along from ``since``. ``besides``: starts of holds of one unit
        each that do not count.
        """
        for index in range(bisect_left(self._times, at) - 1, -1, -1):
            begin = self._times[index]
            level = self._levels[index] - sum(start <= begin for start in besides)
            if level + units > self.units:
                end = min(at, self._times[index + 1]) if index + 1 < len(self._times) else at
                left = [hold for hold in self._by_end.get(end, ()) if hold.start_s < end]
                return (end, max(left, key=lambda hold: hold.last.tray)) if left else None
            if begin <= since:
                return None
        return None


class Line:
    """One person's time: what is taken, by whom else than ``own`` work, and what is free."""

    def __init__(self, pieces: list[Doing]) -> None:
        self._pieces = sorted(pieces, key=attrgetter("start_s", "end_s"))
        self._ends = [piece.end_s for piece in self._pieces]

    def ending(self, at: int) -> Doing | None:
        """Return what ends at a moment."""
        index = bisect_left(self._ends, at)
        return self._pieces[index] if index < len(self._ends) and self._ends[index] == at else None

    def ends(self, after: int, before: int) -> list[int]:
        """Return the moments after ``after`` and before ``before`` at which something ends."""
        return self._ends[bisect_right(self._ends, after) : bisect_left(self._ends, before)]

    def free(self, start: int, end: int, own: Collection[Doing]) -> bool:
        """Whether nothing is taken between two moments."""
        for piece in self._pieces[bisect_right(self._ends, start) :]:
            if piece.start_s >= end:
                return True
            if piece not in own:
                return False
        return True

    def earliest(self, after: int, lasts: int, before: int, own: Collection[Doing]) -> int:
        """Return the first start of ``lasts`` free seconds; ``before`` where there is none."""
        start = after
        for piece in self._pieces[bisect_right(self._ends, after) :]:
            if start >= before or piece.start_s >= start + lasts:
                break
            if piece not in own:
                start = max(start, piece.end_s)
        return min(start, before)

    def flow(
        self, after: int, count: int, each: int, before: int, own: Collection[Doing]
    ) -> tuple[int, int]:
        """Return when ``count`` pieces of ``each`` seconds begin and end that may lie apart.

        Where they do not end before ``before``, that is the end.
        """
        start, first = after, before
        for piece in self._pieces[bisect_right(self._ends, after) :]:
            if piece in own:
                continue
            fits = min(count, max(0, piece.start_s - start) // each)
            if fits:
                first, count = min(first, start), count - fits
                if not count:
                    return first, start + fits * each
            start = max(start, piece.end_s)
            if start >= before:
                return first, before
        return min(first, start), min(before, start + count * each)


class Book:
    """All that is asked of a plan to say why its work starts when it does; built once a plan.

    ``now_s`` is the second before which everything is past: what is still to come starts no sooner.
    """

    def __init__(self, day: Day, plan: Plan, now_s: int = 0) -> None:
        self.day, self.plan, self.now_s = day, plan, now_s
        self.trays = {tray.number: tray for tray in plan.trays}
        self.doings = {(step.tray, step.step): _doings(step) for step in plan.steps}
        self.others = [
            Doing(start, end, other.what, other.before_tray or 0, 0, other.person or 0, place)
            for other in plan.other
            for place in (other.place or "",)
            for start, end in other.parts
        ]
        self.nobody = day.nobody()
        self.blocks = self._blocks()
        self.lines = self._lines()
        self.scales = self._scales()
        self.fills = sorted(
            (
                parts[0]
                for (_, step), parts in self.doings.items()
                if step == "fill" and parts[0].end_s > parts[0].start_s
            ),
            key=attrgetter("start_s", "tray"),
        )
        self.stand, self.pans, self.mat = self._rooms()

    def first(self, tray: int, step: str) -> Doing:
        """Return where a step begins; KeyError where the day has no such step."""
        return self.doings[tray, step][0]

    def last(self, tray: int, step: str) -> Doing:
        """Return where a step ends; KeyError where the day has no such step."""
        return self.doings[tray, step][-1]

    def mat_units(self, tray: int) -> int:
        """Return how much of the mat a tray takes, in parts of which ``mat.units`` are all."""
        return self._units.get(self.day.recipes[self.trays[tray].recipe].tin, 0) * (
            self.trays[tray].tins
        )

    def _blocks(self) -> dict[int, Block]:
        found: dict[int, Block] = {}
        for load in self.plan.loads:
            loads = [self.doings[tray, "load"][0] for tray in load.trays]
            unloads = [self.doings[tray, "unload"][0] for tray in load.trays]
            block = Block(
                load.oven,
                self.day.recipes[self.trays[load.trays[0]].recipe].bake_at_c,
                tuple(sorted(loads, key=attrgetter("start_s"))),
                tuple(sorted(unloads, key=attrgetter("start_s"))),
            )
            found.update(dict.fromkeys(load.trays, block))
        self.in_turn = sorted(
            dict.fromkeys(found.values()), key=attrgetter("start_s", "out_s", "baked_s")
        )
        return found

    def _lines(self) -> dict[int, Line]:
        pieces: dict[int, list[Doing]] = {who: [] for who in range(1, self.day.people + 1)}
        works = [doing for parts in self.doings.values() for doing in parts]
        for doing in [*works, *self.others, *map(self.ready, self.in_turn)]:
            if doing.end_s > doing.start_s and doing.person in pieces:
                pieces[doing.person].append(doing)
        return {person: Line(taken) for person, taken in pieces.items()}

    def ready(self, block: Block) -> Doing:
        """Return the seconds in which somebody keeps hands free before a bake ends."""
        out = block.unloads[0]
        lasts = self.day.times.ready_s if self.day.times.unload_s else 0
        return Doing(out.start_s - lasts, out.start_s, "ready", out.tray, 0, out.person)

    def _scales(self) -> dict[str, list[Doing]]:
        found: dict[str, list[Doing]] = {}
        fills = [
            doing
            for (_, step), parts in self.doings.items()
            if step == "fill" and parts[-1].end_s > parts[0].start_s
            for doing in parts
        ]
        changes = [doing for doing in self.others if doing.what == "change_scent"]
        for doing in sorted([*fills, *changes], key=attrgetter("start_s", "end_s")):
            found.setdefault(doing.place, []).append(doing)
        return found

    def _rooms(self) -> tuple[Room, dict[str, Room], Room]:
        day = self.day
        counts = {fit.tin: fit.count for fit in self.plan.fits if fit.what == "tins on mat"}
        counts = {tin: count for tin, count in counts.items() if count > 0}
        mat_room = lcm(*counts.values()) if counts else 1
        self._units = {tin: mat_room // count for tin, count in counts.items()}
        stand: list[Hold] = []
        pans: dict[str, list[Hold]] = {name: [] for name in day.pans}
        mat: list[Hold] = []
        for number, tray in self.trays.items():
            if number not in self.blocks:
                continue  # it has left the day, and gave back all that it held
            emptied = self.last(number, "pack" if day.on_pan else "transfer")
            unload = self.first(number, "unload").start_s
            stand.append(Hold(unload, emptied.end_s, 1, emptied))
            free = emptied.end_s + day.cooling.pan_for_s
            pans[tray.pan].append(Hold(self.first(number, "set").start_s, free, 1, emptied))
            if not day.on_pan:
                packed = self.last(number, "pack")
                moved = self.first(number, "transfer").start_s
                mat.append(Hold(moved, packed.end_s, self.mat_units(number), packed))
        return (
            Room(day.cooling.stand, stand),
            {name: Room(day.pans[name].count, holds) for name, holds in pans.items()},
            Room(mat_room, mat),
        )


def _doings(step: Step) -> tuple[Doing, ...]:
    return tuple(
        Doing(start, end, step.step, step.tray, part, step.person or 0, step.place or "")
        for part, (start, end) in enumerate(step.parts)
    )
