"""Builds a schedule from an ordered list of operations, each at its earliest time in what is left.

An operation is ("fill", job), ("load", load), ("transfer", job) or ("pack", job). Setting, loading,
baking and unloading are one operation: it takes pans for the whole load at once, secures the stand
places and takes hands at the oven's exit, so no bake begins without a place to land. An operation
that lacks something places first what would free it, so every list can be built.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchplan.model.plan import Span
from benchplan.scheduling.bakes import Asked, Bake, find_bake
from benchplan.scheduling.fills import AskedFill, find_fill
from benchplan.scheduling.landing import promised
from benchplan.scheduling.problem import Shop, Way
from benchplan.scheduling.state import Change, JobTimes, Taken
from benchplan.scheduling.timeline import NEVER

Op = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Pin:
    """Where a plan already has a piece of work: not before ``start``, by ``person`` if possible.

    ``begun``: somebody is at it since ``start``, whatever should have come before.
    """

    start: int = 0
    person: int | None = None
    scale: int | None = None
    oven: str | None = None
    begun: bool = False


FREE = Pin()


class CannotBuildError(Exception):
    """Inside this room only: the list cannot be built; the reason is a sentence for people."""


class Building:
    """One schedule in the making; ``floor`` is the earliest second at which anything may begin."""

    def __init__(self, shop: Shop, way: Way, floor: int = 0, strict: bool = True) -> None:
        self.shop, self.way, self.floor = shop, way, floor
        self.jobs, self.loads, self.works = way.jobs, way.loads, way.works
        self.taken = Taken(shop)
        self.times = [JobTimes() for _ in way.jobs]
        self.changes: list[Change] = []
        self.out: list[int] = []  # jobs unloaded and not yet off their pan, in order
        self.resting: list[int] = []  # jobs on the mat (or pan) and not yet packed, in order
        self.pins: dict[Op, Pin] = {}
        # What people really did may contradict keep_order or the number of pans.
        self.strict = strict
        self.keep_order = strict and shop.day.keep_order
        self._last_fill = 0
        self._last_load = 0
        self.moved_on_trial: list[tuple[int, str]] | None = None

    # -- the whole list ---------------------------------------------------------------------

    def run(self, ops: Sequence[Op]) -> None:
        """Place every operation, in this order as far as it can be kept."""
        place = {
            "fill": self.fill,
            "set": self.set,
            "load": self.load,
            "transfer": self.transfer,
            "pack": self.pack,
        }
        for kind, index in ops:
            place[kind](index)

    def _after(self, pin: Pin, takes: int, natural: int) -> int:
        """Return the earliest start: as begun, or what comes before it, the floor and the pin.

        What takes no time happens by itself, before the floor too.
        """
        if pin is FREE and not self.floor:
            return natural
        if pin.begun:
            return pin.start
        return max(self.floor if takes else 0, pin.start, natural)

    @property
    def finish(self) -> int:
        return max([self.times[job].pack[-1][1] for job in self.way.load_of], default=self.floor)

    # -- fill -------------------------------------------------------------------------------

    def fill(self, index: int) -> None:
        """Fill a tray on the scale and by the person that are done the earliest."""
        times = self.times[index]
        if times.fill:
            return
        if self.keep_order and index:
            self.fill(index - 1)
        pin = self.pins.get(("fill", index), FREE)
        takes = self.works[index].fill
        after = self._after(pin, takes, self._last_fill if self.keep_order else 0)
        if not takes:
            self._set_fill(index, ((after, after),))
            return
        change = self.pins.get(("change_scent", index), FREE)
        to_fill = self.jobs[index].to_fill
        asked = AskedFill(index, to_fill, after, change.person, change.start)
        found = find_fill(self.shop, self.taken, asked, pin.scale, pin.person)
        parts = found.parts
        self._not_over(parts)
        for made in found.changes:
            self.taken.take(made.person, [made.part])
        self.taken.take(found.person, parts)
        self.changes += found.changes
        scale = self.taken.scales[found.scale]
        scale.free, scale.scent = parts[-1][1], to_fill[-1][0]
        times.scale, times.who["fill"] = found.scale, found.person
        self._set_fill(index, tuple(parts))

    def _set_fill(self, index: int, parts: tuple[Span, ...]) -> None:
        self.times[index].fill = parts
        self._last_fill = max(self._last_fill, parts[0][0])

    # -- set, load, bake, unload ------------------------------------------------------------

    def load(self, index: int) -> None:
        """Set a load's trays, load, bake and unload them at the earliest possible time."""
        load = self.loads[index]
        if self.times[load[0]].load:
            return
        if self.keep_order and index:
            self.load(index - 1)
        for job in load:
            self.fill(job)
        self._need_pans(load)
        for job in load:
            self.set(job)
        pin = self.pins.get(("load", index), FREE)
        ready = max([self.times[job].set[-1][1] for job in load])
        after = self._after(pin, 1, max(ready, self._last_load) if self.keep_order else ready)
        unloader = self.pins.get(("unload", index), FREE).person
        work = self.works[load[0]]
        asked = Asked(len(load), work, max(ready, after), self.floor, pin.person, unloader)
        bake = None
        if len(load) > self.known_places():
            bake = promised(self, index, asked, pin.oven)
        if bake is None:
            self.need_places(len(load))
            bake = self.earliest(index, asked, pin.oven)
        if bake is None:
            raise CannotBuildError(self._no_bake(load))
        self._take_bake(load, bake)

    def earliest(self, index: int, asked: Asked, oven: str | None = None) -> Bake | None:
        """Return the earliest bake of a load, in whichever of its ovens (or in one)."""
        best: Bake | None = None
        for name in self.way.ovens[index]:
            if oven in (None, name):
                bake = find_bake(self.shop, self.taken, asked, name)
                if bake is not None and (best is None or bake.start < best.start):
                    best = bake
        wait = self.way.waits[index]
        if best is None or not wait:
            return best
        return find_bake(self.shop, self.taken, replace(asked, after=best.start + wait), best.oven)

    def known_places(self) -> int:
        """Return of how many stand places it is known when they become free."""
        return len(self.taken.stand) - self.taken.stand.count(NEVER)

    def _need_pans(self, load: tuple[int, ...]) -> None:
        pan = self.jobs[load[0]].pan
        pans = self.taken.pans[pan]
        need = sum([not self.times[job].set for job in load])
        while len(pans) - pans.count(NEVER) < need:
            self._free_a_pan(pan)

    def need_places(self, count: int) -> None:
        """Make sure that it is known of so many stand places when they become free."""
        while self.known_places() < count:
            self._free_a_pan()

    def _free_a_pan(self, pan: str | None = None) -> None:
        """Place what empties the pan (of one kind, if named) that can be emptied first."""
        out = [job for job in self.out if pan is None or self.jobs[job].pan == pan]
        if out and self.shop.day.on_pan:
            return self.pack(min(out, key=self._when_packed))
        if out:
            return self.transfer(min(out, key=self._when_moved))
        if self.strict:
            raise CannotBuildError("A load needs more pans or stand places than there are.")
        places = self.taken.stand if pan is None else self.taken.pans[pan]
        places[places.index(NEVER)] = self.floor
        return None

    def _when_moved(self, job: int) -> tuple[int, int]:
        rested = self.times[job].out + self.works[job].rest
        return self._after(self.pins.get(("transfer", job), FREE), 1, rested), job

    def _when_packed(self, job: int) -> tuple[int, int]:
        times = self.times[job]
        cooled = (times.transfer or times.unload)[-1][1] + self.works[job].cool
        return self._after(self.pins.get(("pack", job), FREE), 1, cooled), job

    def set(self, index: int) -> None:
        """Put a tray's tins on the pan that is free first."""
        times, work = self.times[index], self.works[index]
        if times.set:
            return
        self.fill(index)
        pan = self.jobs[index].pan
        pans = self.taken.pans[pan]
        while min(pans) == NEVER:
            self._free_a_pan(pan)
        free = self.jobs[index].pan_number - 1
        if free < 0 or pans[free] == NEVER:
            free = pans.index(min(pans))
        pin = self.pins.get(("set", index), FREE)
        start = self._after(pin, work.set, max(times.fill[-1][1], pans[free]))
        if work.set:
            start, person = self.taken.first_free(start, work.set, pin.person)
            self.taken.take(person, [(start, start + work.set)])
            times.who["set"] = person
        times.set = ((start, start + work.set),)
        times.pan_number = free + 1
        pans[free] = NEVER

    def _take_bake(self, load: tuple[int, ...], bake: Bake) -> None:
        start, oven = bake.start, bake.oven
        times, use = self.shop.day.times, self.taken.ovens[oven]
        work = self.works[load[0]]
        kit = self.shop.day.ovens[oven]
        stretch = self.shop.attended_from(start)
        if stretch not in use.hot_at:
            use.hot_at[stretch] = start
            use.preheats.append((start - kit.preheat_s, start))
        for place, job in enumerate(load):
            each = self.times[job]
            at = start + place * times.load_s
            each.load, each.bake = ((at, at + times.load_s),), ((bake.loaded, bake.end),)
            each.oven = oven
            if times.load_s:
                each.who["load"] = bake.loader
        self.taken.take(bake.loader, [(start, bake.loaded)])
        use.loads.append((start, load))
        use.last_at_c = work.bake_at
        # The next load of a queue begins no earlier than this one's last tray goes in.
        self._last_load = max(self._last_load, start + (len(load) - 1) * times.load_s)
        self.take_unloads(load, bake.end, bake.unloader)

    def hands_at(self, trays: int, bake: Bake) -> tuple[tuple[int, Span], ...]:
        """Return whose hands a bake needs at its two doors, and when; the last are the unload's."""
        times = self.shop.day.times
        out = bake.end + trays * times.unload_s
        ready = times.ready_s if times.unload_s else 0
        return (bake.loader, (bake.start, bake.loaded)), (bake.unloader, (bake.end - ready, out))

    def take_unloads(self, load: tuple[int, ...], end: int, unloader: int) -> None:
        """Unload a load from ``end`` on, the least patient tray first, each onto a stand place."""
        times = self.shop.day.times
        at = end
        in_turn = sorted(load, key=lambda each: self.works[each].bake_late) if load[1:] else load
        for job in in_turn:
            stand = self.taken.stand.index(min(self.taken.stand))
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

    def transfer(self, index: int) -> None:
        """Move a tray's tins to the mat, packing others first where the mat is full."""
        times, work = self.times[index], self.works[index]
        if times.transfer:
            return
        if not times.unload:
            self.load(self.way.load_of[index])
        if times.transfer or self.shop.day.on_pan:
            return
        pin = self.pins.get(("transfer", index), FREE)
        after = self._after(pin, work.transfer, times.out + work.rest)
        room = self.shop.mat_room
        while (free := self.taken.mat_free(after, work.mat, room)) is None:
            self.pack(min(self.resting, key=self._when_packed))
        times.transfer = self._flow(index, "transfer", free, work.transfer)
        if self.moved_on_trial is not None:
            self.moved_on_trial.append((index, "transfer"))
        self.moved(index)

    def moved(self, index: int) -> None:
        """Hand on the pan and stand place of a tray whose tins are on the mat now."""
        self.out.remove(index)
        self.resting.append(index)
        self.taken.onto_mat(index, self.works[index].mat)
        self._empty_pan(index, self.times[index].transfer[-1][1])

    def packed(self, index: int) -> None:
        """Hand on the mat room (or the pan and stand place) of a tray that is packed."""
        end = self.times[index].pack[-1][1]
        self.resting.remove(index)
        if self.shop.day.on_pan:
            self.out.remove(index)
            self._empty_pan(index, end)
        else:
            self.taken.off_mat(index, end)

    def _empty_pan(self, index: int, end: int) -> None:
        times = self.times[index]
        pan = self.taken.pans[self.jobs[index].pan]
        pan[times.pan_number - 1] = end + self.shop.day.cooling.pan_for_s
        self.taken.stand[times.stand - 1] = end

    def _flow(self, index: int, step: str, after: int, total: int) -> tuple[Span, ...]:
        """Place pausable work on one person (a pinned one, or whoever ends it the earliest)."""
        if not total:
            return ((after, after),)
        person = self.pins.get((step, index), FREE).person
        day = self.shop.day
        each = day.pack_each_s if step == "pack" else day.times.transfer_s
        if person is None:
            parts, person = self.taken.flowing(after, total // each, each)
        else:
            parts = self.taken.people[person].flow(after, total // each, each)
        self._not_over(parts)
        self.taken.take(person, parts)
        self.times[index].who[step] = person
        return tuple(parts)

    def _not_over(self, parts: list[Span]) -> None:
        """Let work that was begun and should be over by now, but is not marked, end now."""
        if parts[-1][1] < self.floor:
            parts[-1] = (parts[-1][0], self.floor)

    def pack(self, index: int) -> None:
        """Lid and pack (or clear) a tray's tins once they have cooled."""
        times, work = self.times[index], self.works[index]
        if times.pack:
            return
        if self.shop.day.on_pan:
            self.load(self.way.load_of[index])
        else:
            self.transfer(index)
        if times.pack:
            return
        pin = self.pins.get(("pack", index), FREE)
        out = times.unload if self.shop.day.on_pan else times.transfer
        after = self._after(pin, work.pack, out[-1][1] + work.cool)
        times.pack = self._flow(index, "pack", after, work.pack)
        if self.moved_on_trial is not None:
            self.moved_on_trial.append((index, "pack"))
        self.packed(index)


def build(shop: Shop, way: Way, ops: Sequence[Op]) -> Building:
    """Return the schedule of this list; CannotBuildError when no bake can be placed."""
    building = Building(shop, way)
    building.run(ops)
    return building
