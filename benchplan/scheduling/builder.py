"""Builds a schedule from an ordered list of operations, each at its earliest time in what is left.

An operation is ("fill", job), ("load", load), ("transfer", job) or ("pack", job). Setting, loading,
baking and unloading are one operation: it takes pans for the whole load at once, secures the stand
places and takes hands at the oven's exit, so no bake begins without a place to land. An operation
that lacks something places first what would free it, so every list can be built.
"""

from __future__ import annotations

from math import ceil

from benchplan.model.plan import Span
from benchplan.scheduling.problem import Job, Shop, Work
from benchplan.scheduling.state import Change, JobTimes, OvenUse, Taken
from benchplan.scheduling.timeline import NEVER

Op = tuple[str, int]
Loads = tuple[tuple[int, ...], ...]


class CannotBuildError(Exception):
    """Inside this room only: the list cannot be built; the reason is a sentence for people."""


class Building:
    """One schedule in the making; ``floor`` is the earliest second at which anything may begin."""

    def __init__(self, shop: Shop, jobs: tuple[Job, ...], loads: Loads, floor: int = 0) -> None:
        self.shop, self.jobs, self.loads, self.floor = shop, jobs, loads, floor
        self.taken = Taken(shop, floor)
        self.works: list[Work] = [shop.work(job) for job in jobs]
        self.times = [JobTimes() for _ in jobs]
        self.changes: list[Change] = []
        self.out: list[int] = []  # jobs unloaded and not yet off their pan, in order
        self.resting: list[int] = []  # jobs on the mat (or pan) and not yet packed, in order
        self.load_of = {job: index for index, load in enumerate(loads) for job in load}
        self._last_fill = 0
        self._last_load = 0

    # -- the whole list ---------------------------------------------------------------------

    def run(self, ops: list[Op]) -> None:
        """Place every operation, in this order as far as it can be kept."""
        for kind, index in ops:
            if kind == "fill":
                self.fill(index)
            elif kind == "load":
                self.load(index)
            elif kind == "transfer":
                self.transfer(index)
            else:
                self.pack(index)

    @property
    def finish(self) -> int:
        return max(times.pack[-1][1] for times in self.times)

    # -- fill -------------------------------------------------------------------------------

    def fill(
        self,
        index: int,
        not_before: int | None = None,
        scale: int | None = None,
        by: int | None = None,
    ) -> None:
        """Fill a tray on the scale and by the person that are done the earliest."""
        times = self.times[index]
        if times.fill:
            return
        if self.shop.day.keep_order and index:
            self.fill(index - 1)
        after = self.floor if not_before is None else not_before
        if self.shop.day.keep_order:
            after = max(after, self._last_fill)
        if not self.works[index].fill:
            self._set_fill(index, ((after, after),))
            return
        scales = range(len(self.taken.scales)) if scale is None else (scale,)
        best: tuple[tuple[int, int], int, int, list[Span], list[Change]] | None = None
        for number in scales:
            for person in range(len(self.taken.people)) if by is None else (by,):
                parts, changes = self._fill_on(index, number, person, after)
                rank = (parts[-1][1], len(changes))
                if best is None or rank < best[0]:
                    best = (rank, number, person, parts, changes)
        assert best is not None
        _, number, person, parts, changes = best
        for change in changes:
            self.taken.take(change.person, [change.part])
        self.taken.take(person, parts)
        self.changes += changes
        self.taken.scales[number].free = parts[-1][1]
        self.taken.scales[number].scent = self.jobs[index].to_fill[-1][0]
        times.scale, times.who["fill"] = number, person
        self._set_fill(index, tuple(parts))

    def _set_fill(self, index: int, parts: tuple[Span, ...]) -> None:
        self.times[index].fill = parts
        self._last_fill = max(self._last_fill, parts[0][0])

    def _fill_on(
        self, index: int, scale: int, person: int, after: int
    ) -> tuple[list[Span], list[Change]]:
        """Return the parts of a fill on this scale by this person, and the changes it needs."""
        times = self.shop.day.times
        line = self.taken.people[person]
        use = self.taken.scales[scale]
        start, scent = max(after, use.free), use.scent
        parts: list[Span] = []
        changes: list[Change] = []
        for name, count in self.jobs[index].to_fill:
            if scent not in (None, name) and times.change_scent_s:
                if parts:
                    begin, who = line.earliest(start, times.change_scent_s), person
                else:
                    begin, who = self.taken.first_free(start, times.change_scent_s)
                start = begin + times.change_scent_s
                changes.append(Change(scale, who, index, (begin, start)))
            more = line.flow(start, count, times.fill_s)
            if parts and more[0][0] == parts[-1][1]:
                more[0] = (parts.pop()[0], more[0][1])
            parts += more
            start, scent = parts[-1][1], name
        return parts, changes

    # -- set, load, bake, unload ------------------------------------------------------------

    def load(self, index: int, not_before: int | None = None) -> None:
        """Set a load's trays, load, bake and unload them at the earliest possible time."""
        load = self.loads[index]
        if self.times[load[0]].load:
            return
        if self.shop.day.keep_order and index:
            self.load(index - 1)
        for job in load:
            self.fill(job)
        self._need_pans(load)
        ready = max(self.set(job) for job in load)
        while sum(free < NEVER for free in self.taken.stand) < len(load):
            self._free_a_pan()
        after = max(ready, self._last_load if self.shop.day.keep_order else 0)
        after = max(after, self.floor if not_before is None else not_before)
        best: tuple[int, str, tuple[int, int, int]] | None = None
        for name in self.shop.day.ovens:
            if self.shop.load_fits([self.jobs[job] for job in load], name):
                found = self._find_bake(load, name, after)
                if found is not None and (best is None or found[0] < best[2][0]):
                    best = (found[0], name, found)
        if best is None:
            raise CannotBuildError(self._no_bake(load))
        self._take_bake(load, best[1], *best[2])

    def _need_pans(self, load: tuple[int, ...]) -> None:
        pan = self.jobs[load[0]].pan
        need = sum(1 for job in load if not self.times[job].set)
        while sum(free < NEVER for free in self.taken.pans[pan]) < need:
            self._free_a_pan(pan)

    def _free_a_pan(self, pan: str | None = None) -> None:
        """Place what empties the pan that has been out the longest (of one kind, if named)."""
        for job in self.out:
            if pan is None or self.jobs[job].pan == pan:
                if self.shop.day.on_pan:
                    self.pack(job)
                else:
                    self.transfer(job)
                return
        raise CannotBuildError("A load needs more pans or stand places than there are.")

    def set(self, index: int, not_before: int | None = None, person: int | None = None) -> int:
        """Put a tray's tins on the pan that is free first; return when that is done."""
        times, work = self.times[index], self.works[index]
        if times.set:
            return times.set[-1][1]
        pans = self.taken.pans[self.jobs[index].pan]
        free = self.jobs[index].pan_number - 1
        if free < 0 or pans[free] == NEVER:
            free = min(range(len(pans)), key=pans.__getitem__)
        after = max(times.fill[-1][1], pans[free], self.floor if not_before is None else not_before)
        if work.set:
            if person is None:
                start, person = self.taken.first_free(after, work.set)
            else:
                start = self.taken.people[person].earliest(after, work.set)
            self.taken.take(person, [(start, start + work.set)])
            times.who["set"] = person
            after = start
        times.set = ((after, after + work.set),)
        times.pan_number = free + 1
        pans[free] = NEVER
        return after + work.set

    def _find_bake(
        self, load: tuple[int, ...], oven: str, after: int
    ) -> tuple[int, int, int] | None:
        """Return (start, loader, unloader) of the earliest bake in an oven; None if there is none.

        Every failed condition gives the next start worth trying, so this ends.
        """
        times, use = self.shop.day.times, self.taken.ovens[oven]
        work = self.works[load[0]]
        count = len(load)
        loading, unloading = count * times.load_s, count * times.unload_s
        ready = times.ready_s if unloading else 0
        stand = sorted(self.taken.stand)[:count]
        start = after
        while True:
            start, nobody_from = self._oven_allows(oven, use, work.bake_at, start)
            loader = 0
            if loading:
                free, loader = self.taken.first_free(start, loading)
                if free > start:
                    start = free
                    continue
            end = start + loading + work.bake
            if end + unloading > nobody_from:
                start = nobody_from
                continue
            wait = max(free - (end + place * times.unload_s) for place, free in enumerate(stand))
            if wait > 0:
                start += wait
                continue
            if not unloading:
                return start, loader, 0
            wait, unloader = self._exit_wait(start, loading, end - ready, ready + unloading, loader)
            if not wait:
                return start, loader, unloader
            if wait >= NEVER:
                return None
            start += wait

    def _exit_wait(
        self, start: int, loading: int, begin: int, lasts: int, loader: int
    ) -> tuple[int, int]:
        """Return (how much later it would have to be, who) for hands at the oven's exit."""
        best = (NEVER, 0)
        for person, line in enumerate(self.taken.people):
            if person == loader and begin < start + loading:
                continue
            best = min(best, (line.earliest(begin, lasts) - begin, person))
        return best

    def _oven_allows(self, oven: str, use: OvenUse, bake_at: float, start: int) -> tuple[int, int]:
        """Return the first start from ``start`` on that the oven allows, and when it is off."""
        kit = self.shop.day.ovens[oven]
        if use.last_end is not None:
            change = ceil(round(kit.per_kelvin_s * abs(bake_at - use.last_at_c), 9))
            start = max(start, use.last_end + kit.recover_s + change)
        for begin, end in self.shop.attended:
            if end <= start:
                continue
            hot = use.hot_at.get(begin, max(begin, self.floor) + kit.preheat_s)
            if max(start, hot) < end:
                return max(start, hot), end
        raise AssertionError("the last attended stretch has no end")

    def _take_bake(
        self, load: tuple[int, ...], oven: str, start: int, loader: int, unloader: int
    ) -> None:
        times, use = self.shop.day.times, self.taken.ovens[oven]
        work = self.works[load[0]]
        loaded = start + len(load) * times.load_s
        end = loaded + work.bake
        kit = self.shop.day.ovens[oven]
        stretch = self.shop.attended_from(start)
        if stretch not in use.hot_at:
            use.hot_at[stretch] = start
            use.preheats.append((start - kit.preheat_s, start))
        for place, job in enumerate(load):
            each = self.times[job]
            at = start + place * times.load_s
            each.load, each.bake = ((at, at + times.load_s),), ((loaded, end),)
            each.oven = oven
            if times.load_s:
                each.who["load"] = loader
        self.taken.take(loader, [(start, loaded)])
        use.loads.append((start, load))
        use.last_at_c = work.bake_at
        self._last_load = max(self._last_load, start)
        self.take_unloads(load, end, unloader)

    def take_unloads(self, load: tuple[int, ...], end: int, unloader: int) -> None:
        """Unload a load from ``end`` on, the least patient tray first, each onto a stand place."""
        times = self.shop.day.times
        at = end
        for job in sorted(load, key=lambda each: self.works[each].bake_late):
            stand = min(range(len(self.taken.stand)), key=self.taken.stand.__getitem__)
            each = self.times[job]
            each.unload, each.stand = ((at, at + times.unload_s),), stand + 1
            if times.unload_s:
                each.who["unload"] = unloader
            self.taken.stand[stand] = NEVER
            at += times.unload_s
            (self.resting if self.shop.day.on_pan else self.out).append(job)
            if self.shop.day.on_pan:
                self.out.append(job)
        if at > end:
            self.taken.take(unloader, [(end - times.ready_s, at)])
        self.taken.ovens[self.times[load[0]].oven].last_end = at

    def _no_bake(self, load: tuple[int, ...]) -> str:
        names = ", ".join(dict.fromkeys(self.jobs[job].recipe for job in load))
        ready = self.shop.day.times.ready_s
        return (
            f"No bake of {names} can be planned: hands must be free for times.ready = {ready} s "
            f"before it ends, which is longer than it bakes, and nobody else could load it. "
            "A shorter ready, or one more person, would make it possible."
        )

    # -- transfer and pack ------------------------------------------------------------------

    def transfer(
        self, index: int, not_before: int | None = None, person: int | None = None
    ) -> None:
        """Move a tray's tins to the mat, packing others first where the mat is full."""
        times, work = self.times[index], self.works[index]
        if times.transfer:
            return
        self.load(self.load_of[index])
        if times.transfer or self.shop.day.on_pan:
            return
        rested = max(times.out + work.rest, self.floor)
        after = rested if not_before is None else not_before
        room = self.shop.mat_room
        while (free := self.taken.mat_free(after, work.mat, room)) is None:
            self.pack(self.resting[0])
        parts = self._flow(index, "transfer", free, work.transfer, person)
        times.transfer = parts
        self.moved(index)

    def moved(self, index: int) -> None:
        """Hand on the pan and stand place of a tray whose tins are on the mat now."""
        self.out.remove(index)
        self.resting.append(index)
        self.taken.mat[index] = (NEVER, self.works[index].mat)
        self._empty_pan(index, self.times[index].transfer[-1][1])

    def packed(self, index: int) -> None:
        """Hand on the mat room (or the pan and stand place) of a tray that is packed."""
        end = self.times[index].pack[-1][1]
        self.resting.remove(index)
        if self.shop.day.on_pan:
            self.out.remove(index)
            self._empty_pan(index, end)
        else:
            self.taken.mat[index] = (end, self.works[index].mat)

    def _empty_pan(self, index: int, end: int) -> None:
        times = self.times[index]
        pan = self.taken.pans[self.jobs[index].pan]
        pan[times.pan_number - 1] = end + self.shop.day.cooling.pan_for_s
        self.taken.stand[times.stand - 1] = end

    def _flow(
        self, index: int, step: str, after: int, total: int, person: int | None = None
    ) -> tuple[Span, ...]:
        """Place pausable work on one person (a given one, or whoever ends it the earliest)."""
        if not total:
            return ((after, after),)
        count = self.jobs[index].tins
        if person is None:
            parts, person = self.taken.flowing(after, count, total // count)
        else:
            parts = self.taken.people[person].flow(after, count, total // count)
        self.taken.take(person, parts)
        self.times[index].who[step] = person
        return tuple(parts)

    def pack(self, index: int, not_before: int | None = None, person: int | None = None) -> None:
        """Lid and pack (or clear) a tray's tins once they have cooled."""
        times, work = self.times[index], self.works[index]
        if times.pack:
            return
        if self.shop.day.on_pan:
            self.load(self.load_of[index])
        else:
            self.transfer(index)
        if times.pack:
            return
        cooled = (times.unload if self.shop.day.on_pan else times.transfer)[-1][1] + work.cool
        after = max(cooled, self.floor) if not_before is None else not_before
        times.pack = self._flow(index, "pack", after, work.pack, person)
        self.packed(index)


def build(shop: Shop, jobs: tuple[Job, ...], loads: Loads, ops: list[Op]) -> Building:
    """Return the schedule of this list; CannotBuildError when no bake can be placed."""
    building = Building(shop, jobs, loads)
    building.run(ops)
    return building
