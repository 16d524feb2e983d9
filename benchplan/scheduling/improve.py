"""Seeded search over ordered lists of operations: good start lists, then small changes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from random import Random

from benchplan.model.stop import Stop
from benchplan.scheduling.builder import Building, Loads, Op, build
from benchplan.scheduling.problem import Job, Shop
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


def start_lists(loads: Loads) -> Iterator[list[Op]]:
    """Yield lists that are good on different days: by which of the works comes first."""
    fills: list[list[Op]] = [[("fill", job) for job in load] for load in loads]
    moves: list[list[Op]] = [[("transfer", job) for job in load] for load in loads]
    packs: list[list[Op]] = [[("pack", job) for job in load] for load in loads]
    bakes: list[Op] = [("load", index) for index in range(len(loads))]
    for ahead in (0, 1, 2):
        for packs_after in (0, 1, 3, len(loads)):
            ops: list[Op] = []
            for index in range(len(loads) + max(ahead, packs_after)):
                if index < len(loads):
                    ops += fills[index]
                if 0 <= index - ahead < len(loads):
                    ops.append(bakes[index - ahead])
                    ops += moves[index - ahead]
                if 0 <= index - packs_after < len(loads):
                    ops += packs[index - packs_after]
            done = set(ops)
            ops += [op for group in packs for op in group if op not in done]
            yield ops


def search(shop: Shop, stop: Stop, seed: int) -> Found:
    """Return the best schedule found before ``stop``: same input, stop and seed, same answer.

    Raises CannotBuildError when no list can be built.
    """
    best = _first(shop, stop)
    random = Random(seed)
    current = best
    warmth = 0.0006 * best.building.finish
    while not stop():
        jobs, loads = current.building.jobs, current.building.loads
        ops = _changed(current.ops, random)
        tried = Found(build(shop, jobs, loads, ops), ops)
        slack = random.expovariate(1.0) * warmth
        if tried.rank <= current.rank or tried.rank[0] < current.rank[0] + slack:
            current = tried
            if tried.rank < best.rank:
                best = tried
    return settled(shop, best)


def _first(shop: Shop, stop: Stop) -> Found:
    """Return the best of the start lists over the ways to make trays, at least one of each."""
    best: Found | None = None
    for jobs in candidates(shop):
        for order, loads in arranged(shop, jobs):
            for ops in start_lists(loads):
                found = _try(shop, order, loads, ops)
                if best is None or found.rank < best.rank:
                    best = found
                if stop():
                    return best
    assert best is not None
    return best


def _try(shop: Shop, jobs: tuple[Job, ...], loads: Loads, ops: list[Op]) -> Found:
    return Found(build(shop, jobs, loads, ops), ops)


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


def settled(shop: Shop, found: Found) -> Found:
    """Return a schedule at least as good whose own list, ordered by completion, makes it again.

    A replan starts from that list: where nothing has changed it must give the same schedule.
    """
    for _ in range(8):
        ops = by_completion(found.building)
        again = Found(build(shop, found.building.jobs, found.building.loads, ops), ops)
        if again.rank > found.rank:
            break
        same = again.building.times == found.building.times
        found = again
        if same:
            break
    return found


def by_completion(building: Building) -> list[Op]:
    """Return the operations of a schedule in the order in which they end."""
    ends: list[tuple[int, int, Op]] = []
    for index, load in enumerate(building.loads):
        ends.append((max(building.times[job].out for job in load), 1, ("load", index)))
    for index, times in enumerate(building.times):
        ends.append((times.fill[-1][1], 0, ("fill", index)))
        if times.transfer:
            ends.append((times.transfer[-1][1], 2, ("transfer", index)))
        ends.append((times.pack[-1][1], 3, ("pack", index)))
    return [op for _, _, op in sorted(ends)]
