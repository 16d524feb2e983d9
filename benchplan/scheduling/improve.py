"""Seeded search over ordered lists of operations: good start lists, then small changes."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from itertools import pairwise
from random import Random

from benchplan.model.stop import Stop
from benchplan.scheduling.bounds import any_trays, given
from benchplan.scheduling.builder import Building, CannotBuildError, Op, build
from benchplan.scheduling.moves import Draft, Moves
from benchplan.scheduling.problem import Job, Loads, Shop, Way
from benchplan.scheduling.trays import arranged, candidates

Rank = tuple[int, int, int, int, int, int]
SPREAD = 0.05  # how much the mean moment of unloads and packs counts beside the finish
FEW_TRAYS = 8
WARMTH_OF_FEW, WARMTH = 0.003, 0.0006  # how much worse a change may be, of the finish
FAVOUR = 0.4  # how much more often it goes on from the better ones
POOL = 5  # drafts that the search goes on from
PATIENCE = 5  # chains that win nothing before all begins anew
POLISHING = 3  # chains after the finish cannot be earlier, for what else ranks plans
CHAIN = 40  # looks of one chain, and 20 more for each tray,
SHARED = 30000  # but no more than this shared out among the trays


class Found:
    """A draft and its schedule; what ranks it beyond its finish is worked out when asked for.

    ``energy`` is what a chain goes by: the finish, and a little of how early the rest is done, so
    that a change which only makes room for the next one is a gain too.
    """

    __slots__ = ("_rank", "building", "draft", "energy", "finish")

    def __init__(self, shop: Shop, draft: Draft) -> None:
        self.draft = draft
        self.building = build(shop, draft.way, draft.ops)
        self.finish = self.building.finish
        times = self.building.times
        self.energy = self.finish + SPREAD * (
            sum(each.pack[-1][1] for each in times) + sum(each.out for each in times)
        ) / len(times)
        self._rank: Rank | None = None

    @property
    def rank(self) -> Rank:
        if self._rank is None:
            self._rank = rank(self.building)
        return self._rank

    def better_than(self, other: Found) -> bool:
        """Whether this is the better plan of the two, by all that ranks plans."""
        return self.finish < other.finish or (
            self.finish == other.finish and self.rank < other.rank
        )


def rank(building: Building) -> Rank:
    """Return what is best, in the order of the day model: smaller is better."""
    times = building.times
    on = 0
    for use in building.taken.ovens.values():
        starts = [begin for begin, _ in use.preheats]
        ends = [
            max(
                times[job].out
                for start, load in use.loads
                for job in load
                if building.shop.attended_from(start) == stretch
            )
            for stretch in use.hot_at
        ]
        on += sum(ends) - sum(starts)
    wait = sum(
        each.transfer[0][0] - each.out - work.rest
        for each, work in zip(times, building.works, strict=True)
        if each.transfer
    )
    sizes = [job.tins for job in building.jobs]
    uneven = max(sizes) - min(sizes)
    return building.finish, on, wait, len(sizes), uneven, _strong_first(building)


def _strong_first(building: Building) -> int:
    """Count the fills that follow directly on a fill of a stronger scent."""
    scent = building.shop.day.scent
    fills = sorted(
        (each.fill[0][0], min(scent(name).strength for name in job.scents))
        for each, job in zip(building.times, building.jobs, strict=True)
    )
    return sum(after < before for (_, before), (_, after) in pairwise(fills))


# How many loads a bake and a pack come after their fill in a start list; the best kinds first.
START_LISTS = ((0, 3), (0, 1), (0, 99), (1, 99), (1, 3), (0, 0), (2, 99), (1, 1))


def start_list(loads: Loads, ahead: int, packs_after: int, on_pan: bool) -> list[Op]:
    """Return a list in which bakes lag ``ahead`` loads behind fills, and packs ``packs_after``."""
    ops: list[Op] = []
    packs_after = min(packs_after, len(loads))
    for index in range(len(loads) + max(ahead, packs_after)):
        if index < len(loads):
            ops += [("fill", job) for job in loads[index]]
        if 0 <= index - ahead < len(loads):
            ops.append(("load", index - ahead))
            if not on_pan:
                ops += [("transfer", job) for job in loads[index - ahead]]
        if 0 <= index - packs_after < len(loads):
            ops += [("pack", job) for job in loads[index - packs_after]]
    return ops


class _Pool:
    """The drafts that the search goes on from, the earliest finish first.

    When chains win nothing any more they all lie in one hollow: then it begins anew.
    """

    def __init__(self, first: list[Found]) -> None:
        self._first = first
        self._begin()

    def _begin(self) -> None:
        self.drafts = self._first.copy()
        self._earliest = self._first[0].finish
        self._idle = 0

    def pick(self, random: Random) -> Found:
        """Return one to go on from, an early one rather than a late one."""
        return self.drafts[min(int(random.expovariate(FAVOUR)), len(self.drafts) - 1)]

    def take(self, start: Found, found: Found) -> None:
        """Keep what a chain from ``start`` has found, if it is good or new."""
        self._idle += 1
        if found.finish < self._earliest:
            self._earliest, self._idle = found.finish, 0
        if self._idle >= PATIENCE:
            self._begin()
        elif all(found.finish != other.finish for other in self.drafts):
            self.drafts = sorted([*self.drafts, found], key=lambda each: each.finish)[:POOL]
        elif found.better_than(start):
            self.drafts[self.drafts.index(start)] = found


def search(shop: Shop, stop: Stop, seed: int, like: Draft | None = None) -> Found:
    """Return the best schedule found before ``stop``: same input, stop and seed, same answer.

    ``like`` is one more draft to begin from.

    Raises CannotBuildError when no list can be built.
    """
    pool = _Pool(_first(shop, stop, like))
    random = Random(seed)
    moves = Moves(shop)
    best = pool.drafts[0]
    least = _least(shop, best)
    polished = 0  # chains since there is nothing to win but oven time and the like
    while not stop() and polished < POLISHING:
        start = pool.pick(random)
        found = _chain(shop, moves, start, stop, random)
        if found.better_than(best):
            best = found
        polished += best.finish <= least
        pool.take(start, found)
    best = with_cold_ovens(shop, best)
    if not shop.day.keep_order:  # there, fills and loads have their order already
        in_load_order(best.building)
    return best


def in_order(shop: Shop, found: Found) -> Found:
    """Return the schedule from its list put in the order in which it is done, if that is as good.

    What stands beside each other in the list then happens at the same time of day, so that small
    changes of the list are small changes of the day. Loads count by their start, else the end does.
    """
    building = found.building
    times = building.times

    def moment(op: Op) -> int:
        kind, index = op
        if kind == "load":
            return times[building.loads[index][0]].load[0][0]
        return int(getattr(times[index], kind)[-1][1])

    ops = tuple(sorted(found.draft.ops, key=moment))
    if ops == found.draft.ops:
        return found
    again = Found(shop, Draft(found.draft.way, ops))
    return again if again.energy <= found.energy else found


def _least(shop: Shop, found: Found) -> int:
    """Return the finish that cannot be beaten whatever trays the search may still choose."""
    jobs = found.draft.way.jobs
    return given(shop, jobs) if all(job.asked for job in jobs) else any_trays(shop)


def _chain(shop: Shop, moves: Moves, start: Found, stop: Stop, random: Random) -> Found:
    """Return the best of a row of changes, each of which may be a little worse than the last."""
    trays = len(start.draft.way.jobs)
    length = max(CHAIN, min(CHAIN + 20 * trays, SHARED // trays))
    warmth = start.finish * (WARMTH_OF_FEW if trays < FEW_TRAYS else WARMTH)
    current = best = start
    for look in range(length):
        if stop():
            break
        draft = moves.changed(current.draft, random)
        if draft is None:
            continue
        try:
            tried = Found(shop, draft)
        except CannotBuildError:
            continue
        allowed = random.expovariate(1.0) * warmth * (1 - look / length)
        if tried.energy <= current.energy + allowed:
            if tried.energy < current.energy:
                tried = in_order(shop, tried)
            current = tried
            if tried.better_than(best):
                best = tried
    return best


def with_cold_ovens(shop: Shop, best: Found) -> Found:
    """Leave an oven cold where the day is none the worse without it."""
    for oven in shop.day.ovens if len(shop.day.ovens) > 1 else ():
        try:
            tried = Found(shop, Draft(without(best.draft.way, oven), best.draft.ops))
        except CannotBuildError:
            continue
        if tried.better_than(best):
            best = tried
    return best


def without(way: Way, oven: str) -> Way:
    """Return the way with one oven left cold."""
    ovens = tuple(tuple(name for name in names if name != oven) for names in way.ovens)
    return replace(way, ovens=ovens)


def in_load_order(building: Building) -> None:
    """Give the fills of trays that are alike to those trays in the order in which they load.

    Which of two such trays is filled first changes no time, but a person expects the next load to
    be the one filled first.
    """
    alike: dict[Job, list[int]] = {}
    for index, job in enumerate(building.jobs):
        alike.setdefault(job, []).append(index)
    moved: dict[int, int] = {}
    for jobs in alike.values():
        times = [building.times[index] for index in jobs]
        to = sorted(range(len(jobs)), key=lambda place: (times[place].set, times[place].load))
        fills = sorted(
            (
                (each.fill, each.scale, each.who.get("fill"), index)
                for each, index in zip(times, jobs, strict=True)
            ),
            key=lambda fill: (fill[0][-1][1], fill[0]),
        )
        for place, (fill, scale, who, index) in zip(to, fills, strict=True):
            each = times[place]
            each.fill, each.scale = fill, scale
            if who is not None:
                each.who["fill"] = who
            moved[index] = jobs[place]
    for change in building.changes:
        change.job = moved[change.job]


def _first(shop: Shop, stop: Stop, like: Draft | None) -> list[Found]:
    """Return the best start lists, the best first: two kinds for every way to make trays, then all
    kinds for the ways that did best. At least one list is built, whatever ``stop`` says.
    """
    ways = [shop.way(*way) for jobs in candidates(shop) for way in arranged(shop, jobs)]
    found: dict[int, Found] = {}
    known = []
    if like is not None:
        with suppress(CannotBuildError):
            known.append(Found(shop, like))
    for kinds, most in ((START_LISTS[:1], len(ways)), (START_LISTS[1:2], 12), (START_LISTS[2:], 6)):
        chosen = sorted(found, key=lambda way: found[way].rank)[:most] or range(len(ways))
        for way in chosen:
            for ahead, packs_after in kinds:
                ops = tuple(start_list(ways[way].loads, ahead, packs_after, shop.day.on_pan))
                tried = Found(shop, Draft(ways[way], ops))
                if way not in found or tried.better_than(found[way]):
                    found[way] = tried
                if stop():
                    return _best_of([*known, *found.values()])
    return _best_of([*known, *found.values()])


def _best_of(found: list[Found]) -> list[Found]:
    return sorted(found, key=lambda each: each.rank)[:POOL]
