"""The day as the builder needs it: jobs (trays without a number), capacities, times."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import lcm

from benchplan.model import Day, Recipe, Tray
from benchplan.model.plan import Span
from benchplan.scheduling.timeline import NEVER, Timeline

Loads = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Capacities:
    """What fits, handed over by the planner: tins on a pan, pans on a shelf, tins on the mat."""

    on_pan: Mapping[tuple[str, str], int]  # (tin, pan)
    on_shelf: Mapping[tuple[str, str], int]  # (pan, oven), on one shelf
    on_mat: Mapping[str, int]  # tin


@dataclass(frozen=True, slots=True)
class Job:
    """A tray to be made; ``number`` and ``pan_number`` are fixed only while a run is on.

    ``asked``: it is one of the maker's own queue and stays as it is.
    """

    scents: tuple[str, ...]
    to_fill: tuple[tuple[str, int], ...]
    recipe: str
    pan: str
    number: int = 0
    pan_number: int = 0
    asked: bool = False

    @property
    def tins(self) -> int:
        return len(self.scents)

    @staticmethod
    def of(tray: Tray) -> Job:
        """Return the job of a tray that already has its number and pan."""
        return Job(tray.scents, tray.to_fill, tray.recipe, tray.pan, tray.number, tray.pan_number)


@dataclass(frozen=True, slots=True)
class Work:
    """The times of one job in seconds, and the mat units it needs (see ``Shop.mat_room``)."""

    fill: int
    set: int
    bake_at: float
    bake: int
    bake_late: int
    rest: int
    transfer: int
    cool: int
    pack: int
    mat: int


@dataclass(frozen=True)
class Way:
    """A way to put the orders on trays: the trays, and which share a load. Made by ``Shop.way``.

    ``ovens`` says for each load which ovens take it, ``waits`` how many seconds after it could it
    goes in, ``load_of`` for each job its load.
    """

    jobs: tuple[Job, ...]
    loads: Loads
    works: tuple[Work, ...]
    ovens: tuple[tuple[str, ...], ...]
    waits: tuple[int, ...]
    load_of: Mapping[int, int]


class Shop:
    """A day with its capacities: what a job takes, and which loads are allowed.

    ``day`` must have every cool_for resolved. Nothing here changes after it is made.
    """

    def __init__(self, day: Day, room: Capacities) -> None:
        self.day = day
        self.room = room
        counts = [count for count in room.on_mat.values() if count > 0]
        self.mat_room = 1 if day.on_pan or not counts else lcm(*counts)
        self._works: dict[tuple[object, ...], Work] = {}

    @cached_property
    def attended(self) -> tuple[tuple[int, int], ...]:
        """When somebody is there, so that an oven may be hot; the last stretch is endless."""
        begins, ends = [0], []
        for begin, end in self.day.nobody():
            ends.append(begin)
            begins.append(end)
        return tuple(zip(begins, [*ends, NEVER], strict=True))

    def attended_from(self, second: int) -> int:
        """Return the start of the attended stretch that ``second`` lies in."""
        return max(begin for begin, _ in self.attended if begin <= second)

    @cached_property
    def away(self) -> tuple[tuple[int, Span], ...]:
        """Who is away when: in turns, the last first, and never somebody away already."""
        found: list[tuple[int, Span]] = []
        for pause in self.day.absences():
            begin, end = pause.at_s, pause.end_s
            gone = [0] * self.day.people
            for person, (start, stop) in found:
                gone[person] += stop - start
                if start < end and begin < stop:
                    gone[person] = NEVER
            turn = sorted(range(self.day.people), key=lambda person: (gone[person], -person))
            found += [(person, (begin, end)) for person in turn[: pause.away or 0]]
        return tuple(found)

    @cached_property
    def people(self) -> tuple[Timeline, ...]:
        """Each person's time with nothing taken but who is away; to be copied."""
        return tuple(
            Timeline(tuple(span for who, span in self.away if who == person))
            for person in range(self.day.people)
        )

    def recipe(self, job: Job) -> Recipe:
        return self.day.recipes[job.recipe]

    def work(self, job: Job) -> Work:
        """Return the times of a job; jobs of one recipe, size and filling share one record."""
        to_fill = sum(count for _, count in job.to_fill)
        key = (job.recipe, job.tins, to_fill)
        found = self._works.get(key)
        if found is None:
            recipe, times = self.recipe(job), self.day.times
            on_pan = self.day.on_pan
            places = self.room.on_mat.get(recipe.tin, 0)
            found = Work(
                fill=to_fill * times.fill_s,
                set=job.tins * times.set_s,
                bake_at=recipe.bake_at_c,
                bake=recipe.bake_for_s,
                bake_late=recipe.bake_late_s,
                rest=0 if on_pan else recipe.rest_for_s,
                transfer=0 if on_pan else job.tins * times.transfer_s,
                cool=recipe.cool_for_s or 0,
                pack=job.tins * self.day.pack_each_s,
                mat=0 if on_pan or not places else job.tins * (self.mat_room // places),
            )
            self._works[key] = found
        return found

    def way(self, jobs: tuple[Job, ...], loads: Loads) -> Way:
        """Return the trays with all that a builder asks of them again and again."""
        return Way(
            jobs,
            loads,
            tuple(self.work(job) for job in jobs),
            tuple(self.ovens_of([jobs[job] for job in load]) for load in loads),
            (0,) * len(loads),
            {job: index for index, load in enumerate(loads) for job in load},
        )

    def clears(self, tin: str, pan: str, oven: str) -> bool:
        """Whether pan and tin both pass under the oven's next shelf."""
        tallest = max(self.day.tins[tin].height_mm, self.day.pans[pan].height_mm)
        return tallest <= self.day.ovens[oven].headroom_mm

    def ovens_for(self, tin: str, pan: str) -> tuple[str, ...]:
        """Return the ovens that take this tin on this pan at all."""
        return tuple(
            name
            for name, oven in self.day.ovens.items()
            if self.room.on_shelf.get((pan, name), 0) > 0
            and self.clears(tin, pan, name)
            and (oven.most_tins is None or oven.most_tins > 0)
        )

    def tray_limit(self, recipe: str, pan: str) -> int:
        """Return the most tins a tray of this recipe and pan may hold; 0 when it cannot be."""
        tin = self.day.recipes[recipe].tin
        ovens = self.ovens_for(tin, pan)
        if not ovens:
            return 0
        limit = self.room.on_pan.get((tin, pan), 0)
        limits = [self.day.ovens[name].most_tins for name in ovens]
        if None not in limits:
            limit = min(limit, max(each for each in limits if each is not None))
        if not self.day.on_pan:
            limit = min(limit, self.room.on_mat.get(tin, 0))
        return limit

    def may_share(self, one: Job, other: Job) -> bool:
        """Whether two trays may be in one load at all."""
        first, second = self.recipe(one), self.recipe(other)
        return (
            one.pan == other.pan
            and first.bake_at_c == second.bake_at_c
            and first.bake_for_s == second.bake_for_s
        )

    def load_fits(self, jobs: list[Job], oven: str) -> bool:
        """Whether these trays, alike in pan and bake, may be one load of this oven."""
        pan = jobs[0].pan
        kit = self.day.ovens[oven]
        if len(jobs) > self.room.on_shelf.get((pan, oven), 0) * kit.shelves:
            return False
        if len(jobs) > min(self.day.pans[pan].count, self.day.cooling.stand):
            return False
        if kit.most_tins is not None and sum(job.tins for job in jobs) > kit.most_tins:
            return False
        if not all(self.clears(self.recipe(job).tin, pan, oven) for job in jobs):
            return False
        lates = sorted(self.recipe(job).bake_late_s for job in jobs)
        return all(late >= index * self.day.times.unload_s for index, late in enumerate(lates))

    def most_pans(self, pan: str) -> int:
        """Return how many pans of a kind some oven takes in one load; its tins may allow fewer."""
        shelves = max(
            self.room.on_shelf.get((pan, name), 0) * oven.shelves
            for name, oven in self.day.ovens.items()
        )
        return min(shelves, self.day.pans[pan].count, self.day.cooling.stand)

    def ovens_of(self, jobs: list[Job]) -> tuple[str, ...]:
        """Return the ovens that take these trays, alike in pan and bake, as one load."""
        return tuple(name for name in self.day.ovens if self.load_fits(jobs, name))

    def load_allowed(self, jobs: list[Job]) -> bool:
        """Whether some oven takes these trays as one load."""
        return all(self.may_share(jobs[0], job) for job in jobs[1:]) and any(
            self.load_fits(jobs, oven) for oven in self.day.ovens
        )
