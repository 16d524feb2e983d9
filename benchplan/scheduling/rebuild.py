"""The rest of a day while it runs: done and under way is fixed, the rest follows in order."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

from benchplan.model import Done, Past, Plan, Tray, UnderWay
from benchplan.model.plan import HAND_STEPS, Span
from benchplan.model.stop import Stop, go_on, never
from benchplan.scheduling.again import in_order_of
from benchplan.scheduling.builder import Building, CannotBuildError, Op, Pin
from benchplan.scheduling.landing import landing
from benchplan.scheduling.problem import Job, Loads, Shop, Way
from benchplan.scheduling.state import Change
from benchplan.scheduling.timeline import NEVER

WORTH_S = 60
"""Work is done in another order than planned only where the day ends so much sooner."""


def rebuild(shop: Shop, plan: Plan, past: Past, stop: Stop = never) -> Building:
    """Return the schedule from ``past.now_s`` on, keeping the plan's trays, loads and order.

    Done steps carry their real times; lateness is carried as what it is. What is still to come
    stays where the plan has it (so a day that runs to time is not touched), unless pulling it
    forward ends the day earlier, or somebody has come to share it. Loads go before the rest of the
    work where that ends it ``WORTH_S`` earlier still: an oven that is hot does not stand empty for
    what can wait. Never raises on any past that marks can make, but ``Stopped`` once ``stop`` says
    so.
    """
    try:
        kept = _rebuilt(shop, plan, past, pinned=True)
        go_on(stop)
        free = _rebuilt(shop, plan, past, pinned=False)
    except CannotBuildError:
        return _rebuilt(shop, plan, past, pinned=True, strict=False)
    shared = past.fresh_hands and free.finish == kept.finish
    found = free if shared or free.finish < kept.finish else kept
    go_on(stop)
    with suppress(CannotBuildError):
        sooner = _rebuilt(shop, plan, past, pinned=False, ovens_first=True)
        if sooner.finish <= found.finish - WORTH_S:
            return sooner
    return found


def _rebuilt(
    shop: Shop,
    plan: Plan,
    past: Past,
    pinned: bool,
    strict: bool = True,
    ovens_first: bool = False,
) -> Building:
    index = {tray.number: at for at, tray in enumerate(plan.trays)}
    jobs = tuple(_job(tray, past.filled.get(tray.number, 0)) for tray in plan.trays)
    begins = {step.tray: step.start_s for step in plan.steps if step.step == "load"}
    in_time = sorted(plan.loads, key=lambda load: (begins[load.trays[0]], load.trays))
    loads = tuple(tuple(index[number] for number in load.trays) for load in in_time)
    building = Building(shop, _way(shop, jobs, loads, plan, past), past.now_s, strict)
    if pinned:
        building.pins = _pins(plan, index, building.way.load_of)
    for person, span in past.away:
        building.taken.take(person - 1, (span,))
    replay = _Replay(building, plan, past, index)
    replay.fix_done()
    replay.pin_under_way()
    replay.fix_ovens()
    replay.fix_under_way()
    ops = in_order_of(plan, index, building.way.load_of)
    building.run(_loads_first(ops, building) if ovens_first else ops)
    return building


def _loads_first(ops: list[Op], building: Building) -> list[Op]:
    """Return the operations with each load as soon as its trays are set, whatever else waits.

    Loads stay in their order: one that is ready does not go before another that is not.
    """
    waits_for: dict[int, set[Op]] = {
        number: {
            (step, job)
            for job in load
            for step in ("fill", "set")
            if not getattr(building.times[job], step)
        }
        for number, load in enumerate(building.loads)
    }
    loads = deque(op for op in ops if op[0] == "load")
    found: list[Op] = []
    placed: set[Op] = set()
    for op in (op for op in ops if op[0] != "load"):
        while loads and waits_for[loads[0][1]] <= placed:
            found.append(loads.popleft())
        found.append(op)
        placed.add(op)
    return [*found, *loads]


def _job(tray: Tray, filled: int) -> Job:
    """Return the job of a tray of which some tins are filled; the last is never said to be."""
    job = Job.of(tray)
    left = list(job.to_fill)
    for _ in range(min(filled, tray.fill_count - 1)):
        scent, count = left[0]
        left[:1] = [(scent, count - 1)] if count > 1 else []
    return replace(job, to_fill=tuple(left)) if filled > 0 else job


def _way(shop: Shop, jobs: tuple[Job, ...], loads: Loads, plan: Plan, past: Past) -> Way:
    """Return the trays without what is scrapped of them, and the loads in ovens that serve."""
    way = shop.way(jobs, loads)
    if not past.lost and not past.closed:
        return way
    times, works = shop.day.times, []
    for tray, work in zip(plan.trays, way.works, strict=True):
        tins = tray.tins - past.lost.get(tray.number, 0)
        works.append(
            replace(
                work,
                set=tins * times.set_s,
                transfer=min(work.transfer, tins * times.transfer_s),
                pack=tins * shop.day.pack_each_s,
            )
        )
    ovens = tuple(
        tuple(name for name in own if name not in past.closed) or own for own in way.ovens
    )
    return replace(way, works=tuple(works), ovens=ovens)


def _pins(plan: Plan, index: dict[int, int], load_of: Mapping[int, int]) -> dict[Op, Pin]:
    """Return where the plan has every piece of work, and who does it on which scale or oven."""
    pins: dict[Op, Pin] = {}
    for step in plan.steps:
        job = index[step.tray]
        who = None if step.person is None else step.person - 1
        if step.step == "fill" and step.place:
            scale = int(step.place.split()[-1]) - 1
            pins["fill", job] = Pin(step.start_s, who, scale=scale)
        elif step.step in ("load", "unload"):
            op: Op = (step.step, load_of[job])
            if op not in pins or step.start_s < pins[op].start:
                pins[op] = Pin(step.start_s, who, oven=step.place)
        elif step.step in ("fill", "set", "transfer", "pack"):
            pins[step.step, job] = Pin(step.start_s, who)
    for other in plan.other:
        if other.what == "change_scent" and other.before_tray is not None:
            job = index[other.before_tray]
            who = None if other.person is None else other.person - 1
            fill = pins.get(("fill", job))
            if fill is not None and other.start_s < fill.start:
                pins["change_scent", job] = Pin(other.start_s, who)
                pins["fill", job] = replace(fill, start=other.start_s)
    return pins


class _Replay:
    """Puts a past into a new building."""

    def __init__(self, building: Building, plan: Plan, past: Past, index: dict[int, int]) -> None:
        self.building, self.plan, self.past, self.index = building, plan, past, index
        self.now = past.now_s
        self.oven_of = {
            index[number]: past.ovens.get(number, load.oven)
            for load in plan.loads
            for number in load.trays
        }
        self.unloaders = {
            building.way.load_of[index[step.tray]]: step.person - 1
            for step in plan.steps
            if step.step == "unload" and step.person
        }
        self.places = {
            (index[step.tray], step.step): step.place for step in plan.steps if step.place
        }

    def fix_done(self) -> None:
        """Give every done step its real times, in the order in which they ended."""
        for done in sorted(self.past.done, key=lambda each: each.end_s):
            if self._happens_by_itself(done):
                continue
            part = (min(done.start_s, done.end_s), done.end_s)
            person, what = done.person - 1, done.action.what
            jobs = tuple(self.index[number] for number in done.action.trays)
            left = not all(job in self.building.way.load_of for job in jobs)
            if left and what not in ("fill", "change_scent"):
                continue  # a tray that left gave everything back
            if what == "preheat":
                self._heat(done.action.place, done.end_s)
            elif what == "change_scent":
                self._changed(jobs[0], part, person)
            else:
                self._done(what, jobs, part, person)

    def _happens_by_itself(self, done: Done) -> bool:
        """Whether a step takes no time and is the last that its tray is said to have done.

        Such a step is left to the builder: it comes as soon as its pan, place or mat room is free.
        """
        what = done.action.what
        if what not in ("set", "transfer") or self._takes(what, done):
            return False
        later = HAND_STEPS[HAND_STEPS.index(what) + 1 :]
        return not any(
            other.action.what in later
            and set(other.action.trays) & set(done.action.trays)
            and self._takes(other.action.what, other)
            for other in self.past.done
        )

    def _takes(self, step: str, done: Done) -> int:
        day = self.building.shop.day
        if step == "fill":
            return self.building.works[self.index[done.action.trays[0]]].fill
        return day.pack_each_s if step == "pack" else int(getattr(day.times, f"{step}_s"))

    def fix_ovens(self) -> None:
        """Let every load that is in an oven come out when its bake ends, or now if that is past.

        Each needs places to land: what stands there now is planned away first.
        """
        building = self.building
        times = building.shop.day.times
        inside = [
            tuple(
                job for job in load if building.times[job].load and not building.times[job].unload
            )
            for load in building.loads
        ]
        for load in sorted(
            filter(None, inside), key=lambda each: building.times[each[0]].bake[-1][1]
        ):
            due = building.times[load[0]].bake[-1][1]
            lasts = len(load) * times.unload_s
            end = max(due, self.now - lasts, self._somebody_is_there(due))
            ready = min(times.ready_s, max(0, end - self.now)) if lasts else 0
            planned = self.unloaders.get(building.way.load_of[load[0]])
            _, who = building.taken.first_free(end - ready, ready + lasts, planned)
            if landing(building, len(load), ((who, (end - ready, end + lasts)),)) > 0:
                building.need_places(len(load))
                _, who = building.taken.first_free(end, lasts, planned)
            building.take_unloads(load, end, who)

    def _somebody_is_there(self, second: int) -> int:
        """Return when the first is back of those who are called away at a second; it if none is."""
        away = {person: end for person, (begin, end) in self.past.away if begin <= second < end}
        if any(person + 1 not in away for person in range(self.building.shop.day.people)):
            return second
        return min(away.values())

    def pin_under_way(self) -> None:
        """Pin the work that may pause: it flows around what the plan lets interrupt it."""
        for each in self.past.under_way:
            what = each.action.what
            if what in ("fill", "transfer", "pack"):
                job = self.index[each.action.trays[0]]
                scale = self._scale_of(job) if what == "fill" else None
                pin = Pin(each.start_s, each.person - 1, scale, begun=True)
                self.building.pins[what, job] = pin

    def fix_under_way(self) -> None:
        """Place the work in one piece that people are taken to be doing, from when they began."""
        building, times = self.building, self.building.shop.day.times
        for each in sorted(self.past.under_way, key=lambda under: under.start_s):
            what = each.action.what
            jobs = [self.index[number] for number in each.action.trays]
            if what == "change_scent":
                part = self._begun(each, times.change_scent_s)
                building.taken.take(each.person - 1, (part,))
                self._changed(jobs[0], part, each.person - 1)
            elif what == "load":
                start, _ = self._begun(each, len(jobs) * times.load_s)
                pin = Pin(start, each.person - 1, begun=True)
                building.pins["load", building.way.load_of[jobs[0]]] = pin
                building.load(building.way.load_of[jobs[0]])
            elif what == "set":
                start, _ = self._begun(each, building.works[jobs[0]].set)
                building.pins["set", jobs[0]] = Pin(start, each.person - 1, begun=True)
                building.set(jobs[0])

    def _begun(self, each: UnderWay, lasts: int) -> Span:
        """Return a part of ``lasts`` seconds, as begun, that is not over before now."""
        start = max(each.start_s, self.now - lasts)
        return start, start + lasts

    # -- one thing that is done -------------------------------------------------------------

    def _heat(self, oven: str, second: int) -> None:
        use = self.building.taken.ovens[oven]
        hot = second + self.building.shop.day.ovens[oven].preheat_s
        stretch = self.building.shop.attended_from(second)
        if stretch not in use.hot_at:
            use.preheats.append((second, hot))
            use.hot_at[stretch] = hot

    def _changed(self, job: int, part: Span, person: int) -> None:
        scale = self._scale_of(job)
        use = self.building.taken.scales[scale]
        part = (max(part[0], min(use.free, part[1])), part[1])  # never while a tray is filled there
        self.building.changes.append(Change(scale, person, job, part))
        use.free = max(use.free, part[1])
        to_fill = self.building.jobs[job].to_fill
        use.scent = to_fill[0][0] if to_fill else use.scent

    def _scale_of(self, job: int) -> int:
        place = self.places.get((job, "fill")) or "scale 1"
        return min(int(place.split()[-1]), len(self.building.taken.scales)) - 1

    def _done(self, step: str, jobs: tuple[int, ...], part: Span, person: int) -> None:
        """Record one step as done; what must have come before it is done by then as well."""
        self.building.taken.take(person, (part,))
        before = {"set": "fill", "load": "set", "unload": "load", "transfer": "unload"}
        before["pack"] = "unload" if self.building.shop.day.on_pan else "transfer"
        if step in before:
            for job in jobs:
                if not getattr(self.building.times[job], before[step]):
                    self._done(before[step], self._all(before[step], job), (part[0],) * 2, person)
        in_turn = sorted(jobs, key=lambda job: self.building.works[job].bake_late)
        each_s = getattr(self.building.shop.day.times, f"{step}_s", 0)
        for left, job in enumerate(reversed(in_turn if step == "unload" else jobs)):
            if not getattr(self.building.times[job], step):
                end = max(part[0], part[1] - left * each_s)
                start = max(part[0], end - each_s) if left or len(jobs) > 1 else part[0]
                self._place(job, step, (start, end), part[1], person)

    def _all(self, step: str, job: int) -> tuple[int, ...]:
        """Return the jobs that do a step together: a whole load, or one tray."""
        if step in ("load", "unload"):
            return self.building.loads[self.building.way.load_of[job]]
        return (job,)

    def _place(self, job: int, step: str, part: Span, action_end: int, person: int) -> None:
        building, times, work = self.building, self.building.times[job], self.building.works[job]
        on_pan = building.shop.day.on_pan
        if step == "fill" and work.fill:  # never while another tray is filled there
            free = building.taken.scales[self._scale_of(job)].free
            part = (max(part[0], min(free, part[1])), part[1])
        setattr(times, step, (part,))
        each_s = getattr(building.shop.day.times, f"{step}_s")
        if (building.shop.day.pack_each_s if step == "pack" else each_s) and (
            step != "fill" or work.fill
        ):
            times.who[step] = person
        if step == "fill" and work.fill:
            times.scale = self._scale_of(job)
            use = building.taken.scales[times.scale]
            use.free, use.scent = max(use.free, part[1]), building.jobs[job].to_fill[-1][0]
        elif step == "set":
            pans = building.taken.pans[building.jobs[job].pan]
            times.pan_number = self._free_place(pans, building.jobs[job].pan_number)
            pans[times.pan_number - 1] = NEVER
        elif step == "load":
            self._loaded(job, part[0], action_end)
        elif step == "unload":
            times.bake = ((times.bake[0][0], max(times.bake[0][0], part[0])),)
            planned = self.places.get((job, "cool" if on_pan else "rest")) or "stand 1"
            times.stand = self._free_place(building.taken.stand, int(planned.split()[-1]))
            building.taken.stand[times.stand - 1] = NEVER
            building.taken.ovens[times.oven].last_end = action_end
            building.out.append(job)
            if on_pan:
                building.resting.append(job)
        elif step == "transfer":
            building.moved(job)
        elif step == "pack":
            building.packed(job)

    def _loaded(self, job: int, start: int, loaded: int) -> None:
        building, times, work = self.building, self.building.times[job], self.building.works[job]
        times.oven = self.oven_of[job]
        end = self.past.bake_ends.get(self.building.jobs[job].number, loaded + work.bake)
        times.bake = ((loaded, max(loaded, end)),)
        use = building.taken.ovens[times.oven]
        stretch = building.shop.attended_from(start)
        if stretch not in use.hot_at:
            use.hot_at[stretch] = start
            preheat = building.shop.day.ovens[times.oven].preheat_s
            use.preheats.append((max(0, start - preheat), start))
        load = building.loads[building.way.load_of[job]]
        if job == load[0]:
            use.loads.append((start, load))
        use.last_at_c = work.bake_at

    def _free_place(self, places: list[int], planned: int) -> int:
        """Return the planned place (from 1) if nothing stands on it, else the first free one."""
        if 1 <= planned <= len(places) and places[planned - 1] < NEVER:
            return planned
        free = [number for number, until in enumerate(places, start=1) if until < NEVER]
        return free[0] if free else max(1, min(planned, len(places)))
