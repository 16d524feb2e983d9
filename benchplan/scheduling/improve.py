"""Seeded search over ordered lists of operations: good start lists, then small changes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random

from benchplan.model.stop import Stop
from benchplan.scheduling.builder import Building, CannotBuildError, Op, build
from benchplan.scheduling.problem import Job, Loads, Shop, Way
from benchplan.scheduling.trays import arranged, candidates

Rank = tuple[int, int, int, int, int, int]


class Found:
    """The best schedule so far and the list that made it."""

    def __init__(self, building: Building, ops: list[Op]) -> None:
        self.building, self.ops = building, ops
        self.rank = rank(building)


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


def start_list(loads: Loads, ahead: int, packs_after: int) -> list[Op]:
    """Return a list in which bakes lag ``ahead`` loads behind fills, and packs ``packs_after``."""
    ops: list[Op] = []
    packs_after = min(packs_after, len(loads))
    for index in range(len(loads) + max(ahead, packs_after)):
        if index < len(loads):
            ops += [("fill", job) for job in loads[index]]
        if 0 <= index - ahead < len(loads):
            ops.append(("load", index - ahead))
            ops += [("transfer", job) for job in loads[index - ahead]]
        if 0 <= index - packs_after < len(loads):
            ops += [("pack", job) for job in loads[index - packs_after]]
    return ops


def search(shop: Shop, stop: Stop, seed: int) -> Found:
    """Return the best schedule found before ``stop``: same input, stop and seed, same answer.

    Raises CannotBuildError when no list can be built.
    """
    best = _first(shop, stop)
    random = Random(seed)
    current = best
    warmth = 0.0006 * best.building.finish
    while not stop():
        ops = _changed(current.ops, random)
        tried = Found(build(shop, current.building.way, ops), ops)
        slack = random.expovariate(1.0) * warmth
        if tried.rank <= current.rank or tried.rank[0] < current.rank[0] + slack:
            current = tried
            if tried.rank < best.rank:
                best = tried
    best = with_cold_ovens(shop, best)
    in_load_order(best.building)
    return best


def with_cold_ovens(shop: Shop, best: Found) -> Found:
    """Leave an oven cold where the day is none the worse without it."""
    for oven in shop.day.ovens if len(shop.day.ovens) > 1 else ():
        try:
            tried = Found(build(shop, without(best.building.way, oven), best.ops), best.ops)
        except CannotBuildError:
            continue
        if tried.rank < best.rank:
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


def _first(shop: Shop, stop: Stop) -> Found:
    """Return the best of the start lists: two kinds for every way to make trays, then all kinds
    for the ways that did best. At least one list is built, whatever ``stop`` says.
    """
    ways = [shop.way(*way) for jobs in candidates(shop) for way in arranged(shop, jobs)]
    found: dict[int, Found] = {}
    best: Found | None = None
    for kinds, most in ((START_LISTS[:1], len(ways)), (START_LISTS[1:2], 12), (START_LISTS[2:], 6)):
        chosen = sorted(found, key=lambda way: found[way].rank)[:most] or range(len(ways))
        for way in chosen:
            for ahead, packs_after in kinds:
                ops = start_list(ways[way].loads, ahead, packs_after)
                tried = Found(build(shop, ways[way], ops), ops)
                if way not in found or tried.rank < found[way].rank:
                    found[way] = tried
                if best is None or tried.rank < best.rank:
                    best = tried
                if stop():
                    return best
    assert best is not None
    return best


def _changed(ops: list[Op], random: Random) -> list[Op]:
    """Return the list with one operation moved, or two swapped."""
    ops = list(ops)
    first = random.randrange(len(ops))
    reach = 1 + int(random.expovariate(1 / (1 + len(ops) / 6)))
    second = min(max(first + random.choice((-reach, reach)), 0), len(ops) - 1)
    if random.random() < 0.3:
        ops[first], ops[second] = ops[second], ops[first]
    else:
        ops.insert(second, ops.pop(first))
    return ops
