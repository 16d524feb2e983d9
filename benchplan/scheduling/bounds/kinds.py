"""The trays of a day as the flow through oven and mat sees them: alike, or baked alike."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from operator import mul

from benchplan.scheduling.bounds.hours import Hours
from benchplan.scheduling.bounds.shares import measures
from benchplan.scheduling.problem import Job, Shop, Work

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Trays that bake alike on one kind of pan; ``together``: the most in one load, by oven."""

    pan: int
    bake_at: float
    bake: int
    set: int
    rest: int
    together: Counts


@dataclass(frozen=True, slots=True)
class Kind:
    """Trays that are alike from the oven on."""

    group: int
    tins: int
    transfer: int
    cool: int
    pack: int
    mat: int

    @property
    def hold(self) -> int:
        """How long such a tray has the mat at least."""
        return self.transfer + self.cool + self.pack


@dataclass(frozen=True, slots=True)
class Left:
    """What some trays still need at least, by group and (from ``areas`` on) by measure."""

    trays: int
    by_group: Counts
    tails: Counts
    areas: Counts
    weights: Counts
    holds: Counts
    rest: int
    first: int
    packs: int


class Kinds:
    """The kinds of trays of a day, how many there are of each, and what a flow asks of them."""

    def __init__(self, shop: Shop, jobs: tuple[Job, ...], most_measures: int) -> None:
        day, self.hours = shop.day, Hours(shop)
        works = [shop.work(job) for job in jobs]
        pans = sorted({job.pan for job in jobs})
        self.on_pan = day.on_pan
        self.doors = day.times.load_s, day.times.unload_s
        busy = [sum(self.doors) + work.bake + _on_the_stand(work, self.on_pan) for work in works]
        stays = min(busy) + day.cooling.pan_for_s > 0
        self.pans = [day.pans[pan].count if stays else len(jobs) for pan in pans]
        self.lands = min(_on_the_stand(work, self.on_pan) for work in works) > 0
        groups: dict[tuple[object, ...], list[tuple[Job, Work]]] = {}
        for job, work in zip(jobs, works, strict=True):
            single = day.pans[job.pan].count == 1 and stays
            key = (job.pan, work.bake_at, work.bake, work.set if single else None)
            groups.setdefault(key, []).append((job, work))
        self.groups: list[Group] = []
        kinds: Counter[Kind] = Counter()
        for group in groups.values():
            place = pans.index(group[0][0].pan)
            sets = min(
                work.set
                for job, work in (group if self.pans[place] == 1 else zip(jobs, works, strict=True))
                if job.pan == group[0][0].pan
            )
            work = group[0][1]
            rest = min(work.rest for _, work in group)
            together = self._together(shop, group, self.pans[place])
            self.groups.append(Group(place, work.bake_at, work.bake, sets, rest, together))
            for job, work in group:
                new = len(self.groups) - 1
                kinds[Kind(new, job.tins, work.transfer, work.cool, work.pack, work.mat)] += 1
        self.kinds = sorted(kinds, key=lambda kind: (-kind.mat, -kind.hold, kind.group, -kind.tins))
        self.counts: Counts = tuple(kinds[kind] for kind in self.kinds)
        self.room = shop.mat_room
        self.head = self._head(shop, works)
        self.measures: list[tuple[int, Counts]] = []
        if not self.on_pan:
            self.measures = self._measures(most_measures)
        self._left: dict[Counts, Left] = {}

    def _together(self, shop: Shop, group: list[tuple[Job, Work]], pans: int) -> Counts:
        """Return for each oven the most trays of a group in one load, 0 where none may be."""
        day, pan = shop.day, group[0][0].pan
        most = min(len(group), pans)
        if self.lands:
            most = min(most, day.cooling.stand)
        lates = sorted((work.bake_late for _, work in group), reverse=True)
        patient = 1
        while patient < most and all(
            late >= place * day.times.unload_s
            for place, late in enumerate(reversed(lates[: patient + 1]))
        ):
            patient += 1
        tins = list(accumulate(sorted(job.tins for job, _ in group)))
        found = []
        for name, oven in day.ovens.items():
            places = min(shop.room.on_shelf.get((pan, name), 0) * oven.shelves, most, patient)
            if oven.most_tins is not None:
                places = min(places, sum(total <= oven.most_tins for total in tins))
            if not any(shop.clears(shop.recipe(job).tin, pan, name) for job, _ in group):
                places = 0
            found.append(places)
        return tuple(found) if any(found) else (1,) * len(found)

    def _head(self, shop: Shop, works: list[Work]) -> list[int]:
        """Return for each number of trays when they can all have been filled and set."""
        hands = accumulate(sorted(work.fill + work.set for work in works))
        fills = accumulate(sorted(work.fill for work in works))
        sets = min(work.set for work in works)
        heads = (
            max(self.hours.staffed(hand), -(-fill // shop.day.scales) + sets)
            for hand, fill in zip(hands, fills, strict=True)
        )
        return [0, *heads]

    def _measures(self, most: int) -> list[tuple[int, Counts]]:
        """Return the measures of the mat that say most about all trays."""
        sizes = tuple(sorted({kind.mat for kind in self.kinds}))
        place = [sizes.index(kind.mat) for kind in self.kinds]
        found = [
            (each.room, tuple(each.weights[index] for index in place))
            for each in measures(self.room, sizes)
        ]
        by_time = sorted(found, key=self._filled, reverse=True)[:most]
        by_turns = sorted(found, key=self._turns, reverse=True)[:most]
        return list(dict.fromkeys([*by_time, *by_turns]))

    def _filled(self, measure: tuple[int, Counts]) -> Fraction:
        """Return how long the mat is full."""
        kinds = zip(self.kinds, self.counts, measure[1], strict=True)
        return Fraction(sum(count * each * kind.hold for kind, count, each in kinds), measure[0])

    def _turns(self, measure: tuple[int, Counts]) -> Fraction:
        """Return how long the mat is taken in whole turns, and a little more where it is full."""
        room, weights = measure
        total = sum(map(mul, self.counts, weights))
        shortest = min(kind.hold for kind, each in zip(self.kinds, weights, strict=True) if each)
        return Fraction(-(-total // room) * shortest) + Fraction(total, room)

    def left(self, counts: Counts) -> Left:
        """Return what so many trays of each kind still need; worked out once."""
        found = self._left.get(counts)
        if found is None:
            found = self._left[counts] = self._needs(counts)
        return found

    def _needs(self, counts: Counts) -> Left:
        there = [(i, self.kinds[i], count) for i, count in enumerate(counts) if count]
        by_group = [0] * len(self.groups)
        for _, kind, count in there:
            by_group[kind.group] += count
        return Left(
            trays=sum(counts),
            by_group=tuple(by_group),
            areas=tuple(
                sum(count * by[i] * kind.hold for i, kind, count in there)
                for _, by in self.measures
            ),
            weights=tuple(sum(count * by[i] for i, _, count in there) for _, by in self.measures),
            holds=tuple(
                min((kind.hold for i, kind, _ in there if by[i]), default=0)
                for _, by in self.measures
            ),
            rest=min((self.groups[kind.group].rest for _, kind, _ in there), default=0),
            tails=tuple(
                min(
                    (
                        self.groups[group].rest + kind.hold
                        for _, kind, _ in there
                        if kind.group == group
                    ),
                    default=0,
                )
                for group in range(len(self.groups))
            ),
            first=min((kind.transfer + kind.cool for _, kind, _ in there), default=0),
            packs=sum(count * kind.pack for _, kind, count in there),
        )


def _on_the_stand(work: Work, on_pan: bool) -> int:
    """Return how long a tray has its stand place after its unload, at least."""
    return work.cool + work.pack if on_pan else work.rest + work.transfer
