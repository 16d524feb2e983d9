"""Small changes to a draft of a day: the order of its operations, its loads, its trays, its ovens.

A draft is a way to put the orders on trays and an ordered list of operations. Every change keeps
what the maker asked for: queued trays as they are, and with keep_order the trays in their order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

from benchplan.scheduling.builder import Op
from benchplan.scheduling.problem import Job, Shop, Way
from benchplan.scheduling.trays import fill_counts, pans_for, wanted


@dataclass(frozen=True, slots=True)
class Draft:
    """What a schedule is built from."""

    way: Way
    ops: tuple[Op, ...]


Change = Callable[[Draft, Random], Draft | None]


class Moves:
    """The changes that make sense on a day; ``changed`` draws one of them."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        day = shop.day
        times = day.times
        self._longest_wait = 1 + max(times.fill_s, times.transfer_s, day.pack_each_s, times.load_s)
        self._filled = {(each.scent, each.recipe): each.filled for each in wanted(shop)}
        self._pans = {name: pans_for(shop, name) for name in {each.recipe for each in day.orders}}
        choices: list[tuple[int, Change]] = [(6, self.moved), (3, self.swapped)]
        if not day.keep_order:
            choices.append((8, self.redealt))
            choices.append((3, self.regrouped))
        choices.append((3, self.resized))
        if len(day.ovens) > 1:
            choices.append((2, self.other_oven))
        if any(len(pans) > 1 for pans in self._pans.values()) and not day.keep_order:
            choices.append((2, self.other_pan))
        choices.append((1, self.waited))
        self._changes = [change for _, change in choices]
        self._weights = [weight for weight, _ in choices]

    def changed(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with one change; None where the one drawn changes nothing."""
        (change,) = random.choices(self._changes, self._weights)
        return change(draft, random)

    # -- the list ---------------------------------------------------------------------------

    def moved(self, draft: Draft, random: Random) -> Draft:
        """Return the draft with one operation earlier or later in the list."""
        ops = list(draft.ops)
        first = random.randrange(len(ops))
        ops.insert(_near(first, len(ops), random), ops.pop(first))
        return Draft(draft.way, tuple(ops))

    def swapped(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with two operations in each other's place."""
        ops = list(draft.ops)
        first = random.randrange(len(ops))
        second = _near(first, len(ops), random)
        (kind, one), (other_kind, other) = ops[first], ops[second]
        if kind == other_kind != "load" and draft.way.jobs[one] == draft.way.jobs[other]:
            return None
        ops[first], ops[second] = ops[second], ops[first]
        return Draft(draft.way, tuple(ops))

    def redealt(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with a load earlier or later, or two in each other's place.

        All that belongs to the loads between follows: every place in the list stays, and is dealt
        to the tray that comes there now.
        """
        loads = draft.way.loads
        order = [index for kind, index in draft.ops if kind == "load"]
        if len(order) < 2:
            return None
        new = order.copy()
        first = random.randrange(len(new))
        second = random.randrange(len(new))
        if random.random() < 0.5:
            new[first], new[second] = new[second], new[first]
        else:
            new.insert(second, new.pop(first))
        if all(_alike(draft.way, one, other) for one, other in zip(order, new, strict=True)):
            return None
        old_jobs = [job for index in order for job in loads[index]]
        new_jobs = [job for index in new for job in loads[index]]
        to_job = dict(zip(old_jobs, new_jobs, strict=True))
        to_load = dict(zip(order, new, strict=True))
        ops = tuple(
            (kind, to_load[index] if kind == "load" else to_job[index]) for kind, index in draft.ops
        )
        return Draft(draft.way, ops)

    # -- the loads --------------------------------------------------------------------------

    def regrouped(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with one tray in another load, or in one of its own."""
        way = draft.way
        job = random.randrange(len(way.jobs))
        home = way.load_of[job]
        loads = [list(load) for load in way.loads]
        loads[home].remove(job)
        others = [
            index
            for index, load in enumerate(loads)
            if index != home
            and load
            and self.shop.load_allowed([way.jobs[each] for each in [*load, job]])
        ]
        if others and (not loads[home] or random.random() < 0.7):
            loads[random.choice(others)].append(job)
            return self._compact(draft, list(way.jobs), loads, draft.ops)
        if not loads[home]:
            return None
        loads.append([job])
        at = draft.ops.index(("load", home)) + 1
        ops = (*draft.ops[:at], ("load", len(loads) - 1), *draft.ops[at:])
        return self._compact(draft, list(way.jobs), loads, ops)

    def other_oven(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with a load meant for one oven, or again for whichever is free first."""
        way = draft.way
        load = random.randrange(len(way.loads))
        free = self.shop.ovens_of([way.jobs[job] for job in way.loads[load]])
        choices = [
            names for names in [free, *((name,) for name in free)] if names != way.ovens[load]
        ]
        if len(free) < 2:
            return None
        ovens = (*way.ovens[:load], random.choice(choices), *way.ovens[load + 1 :])
        return Draft(replace(way, ovens=ovens), draft.ops)

    def waited(self, draft: Draft, random: Random) -> Draft:
        """Return the draft with a load that goes in some seconds later than it could, or at once.

        Work that pauses only between tins sometimes ends sooner so.
        """
        load = random.randrange(len(draft.way.loads))
        waits = list(draft.way.waits)
        waits[load] = 0 if waits[load] else random.randint(1, self._longest_wait)
        return Draft(replace(draft.way, waits=tuple(waits)), draft.ops)

    # -- the trays --------------------------------------------------------------------------

    def resized(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with tins moved from one tray to one like it, or to a new one."""
        jobs: list[Job | None] = list(draft.way.jobs)
        give = random.randrange(len(jobs))
        giver = draft.way.jobs[give]
        if giver.asked or len(set(giver.scents)) > 1:
            return None
        takers = [
            index
            for index, job in enumerate(draft.way.jobs)
            if index != give
            and not job.asked
            and job.recipe == giver.recipe
            and set(job.scents) == set(giver.scents)
            and job.tins < self.shop.tray_limit(job.recipe, job.pan)
        ]
        keep_order = self.shop.day.keep_order
        loads = [list(load) for load in draft.way.loads]
        ops = draft.ops
        if takers and (keep_order or random.random() < 0.85):
            take = random.choice(takers)
            taker = draft.way.jobs[take]
            most = min(giver.tins, self.shop.tray_limit(taker.recipe, taker.pan) - taker.tins)
            if keep_order:
                most = min(most, giver.tins - 1)
            if most < 1:
                return None
            count = most if random.random() < 0.3 else random.randint(1, most)
            jobs[take] = replace(taker, scents=taker.scents + giver.scents[:count])
        elif giver.tins > 1 and not keep_order:
            count = random.randint(1, giver.tins - 1)
            pan = random.choice(self._pans[giver.recipe])
            count = min(count, self.shop.tray_limit(giver.recipe, pan))
            jobs.append(replace(giver, scents=giver.scents[:count], pan=pan))
            loads.append([len(jobs) - 1])
            ops = _beside(ops, give, draft.way.load_of[give], len(jobs) - 1, len(loads) - 1)
        else:
            return None
        left = giver.scents[count:]
        jobs[give] = replace(giver, scents=left) if left else None
        return self._compact(draft, jobs, loads, ops)

    def other_pan(self, draft: Draft, random: Random) -> Draft | None:
        """Return the draft with one tray on another kind of pan, in a load of its own."""
        way = draft.way
        index = random.randrange(len(way.jobs))
        job = way.jobs[index]
        pans = [
            pan
            for pan in self._pans[job.recipe]
            if pan != job.pan and self.shop.tray_limit(job.recipe, pan) >= job.tins
        ]
        if job.asked or not pans:
            return None
        jobs: list[Job | None] = list(way.jobs)
        jobs[index] = replace(job, pan=random.choice(pans))
        loads = [list(load) for load in way.loads]
        home = way.load_of[index]
        ops = draft.ops
        if len(loads[home]) > 1:
            loads[home].remove(index)
            loads.append([index])
            at = ops.index(("load", home)) + 1
            ops = (*ops[:at], ("load", len(loads) - 1), *ops[at:])
        return self._compact(draft, jobs, loads, ops)

    def _compact(
        self,
        draft: Draft,
        jobs: Sequence[Job | None],
        loads: list[list[int]],
        ops: tuple[Op, ...],
    ) -> Draft | None:
        """Return the draft of these trays and loads without the empty ones; None if not allowed."""
        left = [index for index, job in enumerate(jobs) if job is not None]
        to_job = {old: new for new, old in enumerate(left)}
        loads = [[to_job[job] for job in load if job in to_job] for load in loads]
        kept = [index for index, load in enumerate(loads) if load]
        to_load = {old: new for new, old in enumerate(kept)}
        ops = tuple(
            (kind, to_load[index] if kind == "load" else to_job[index])
            for kind, index in ops
            if index in (to_load if kind == "load" else to_job)
        )
        found = [job for job in jobs if job is not None]
        new_loads = tuple(tuple(loads[index]) for index in kept)
        if any(self._filled.values()):
            in_turn = [index for kind, index in ops if kind == "load"]
            found = self._filled_again(found, [job for load in in_turn for job in new_loads[load]])
        else:
            found = list(fill_counts(found, {}))
        way = self.shop.way(tuple(found), new_loads)
        ovens, waits = [], []
        for old, free in zip(kept, way.ovens, strict=True):
            if not free:
                return None
            was = old < len(draft.way.loads)
            meant = draft.way.ovens[old] if was else free
            ovens.append(tuple(name for name in free if name in meant) or free)
            waits.append(draft.way.waits[old] if was else 0)
        return Draft(replace(way, ovens=tuple(ovens), waits=tuple(waits)), ops)

    def _filled_again(self, jobs: list[Job], order: list[int]) -> list[Job]:
        """Give the tins that are filled already to the trays that load first."""
        again = list(fill_counts([jobs[index] for index in order], dict(self._filled)))
        found = jobs.copy()
        for index, job in zip(order, again, strict=True):
            found[index] = job
        return found


def _near(first: int, count: int, random: Random) -> int:
    """Return a place some way before or after ``first``, near ones the most often."""
    reach = 1 + int(random.expovariate(1 / (1 + count / 6)))
    return min(max(first + random.choice((-reach, reach)), 0), count - 1)


def _alike(way: Way, one: int, other: int) -> bool:
    """Whether two loads hold the same kinds of trays."""
    if one == other:
        return True
    return [way.jobs[job] for job in way.loads[one]] == [way.jobs[job] for job in way.loads[other]]


def _beside(
    ops: tuple[Op, ...], job: int, load: int, new_job: int, new_load: int
) -> tuple[Op, ...]:
    """Return the list in which a new tray follows each operation of an old one."""
    found: list[Op] = []
    for op in ops:
        found.append(op)
        if op == ("load", load):
            found.append(("load", new_load))
        elif op[0] != "load" and op[1] == job:
            found.append((op[0], new_job))
    return tuple(found)
