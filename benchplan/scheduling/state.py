"""What is taken while a schedule is being built: people, scales, ovens, pans, stand, mat."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field

from benchplan.model.plan import Span
from benchplan.scheduling.problem import Shop
from benchplan.scheduling.timeline import NEVER


@dataclass(slots=True)
class Scale:
    """A scale's line of fills: when it is free again, and the scent it was last used for."""

    free: int = 0
    scent: str | None = None


@dataclass(slots=True)
class OvenUse:
    """An oven's line of loads; ``hot_at``: when it is hot, by the attended stretch's start."""

    last_end: int | None = None
    last_at_c: float = 0.0
    hot_at: dict[int, int] = field(default_factory=dict)
    preheats: list[Span] = field(default_factory=list)
    loads: list[tuple[int, tuple[int, ...]]] = field(default_factory=list)


@dataclass(slots=True)
class JobTimes:
    """Where and when one job's steps are. Parts are empty until the step is placed."""

    fill: tuple[Span, ...] = ()
    set: tuple[Span, ...] = ()
    load: tuple[Span, ...] = ()
    bake: tuple[Span, ...] = ()
    unload: tuple[Span, ...] = ()
    transfer: tuple[Span, ...] = ()
    pack: tuple[Span, ...] = ()
    who: dict[str, int] = field(default_factory=dict)
    scale: int | None = None
    oven: str = ""
    pan_number: int = 0
    stand: int = 0

    @property
    def out(self) -> int:
        """When the tray stands on its stand place."""
        return self.unload[-1][1]


@dataclass(slots=True)
class Change:
    """A change of scent on a scale before a job (or inside it)."""

    scale: int
    person: int
    job: int
    part: Span


class Taken:
    """All that is taken, and the answers to "when could …". Pans, places and mat go in order."""

    def __init__(self, shop: Shop) -> None:
        day = shop.day
        self.people = [line.copy() for line in shop.people]
        self.away = shop.away
        self.scales = [Scale() for _ in range(day.scales)]
        self.ovens = {name: OvenUse() for name in day.ovens}
        self.pans = {name: [0] * pan.count for name, pan in day.pans.items()}
        self.stand = [0] * day.cooling.stand
        # Mat units by job until it is packed, then by the second at which they become free.
        self.cooling: dict[int, int] = {}
        self.leaving: list[tuple[int, int]] = []

    def first_free(
        self, after: int, lasts: int, prefer: int | None = None, busy: int | None = None
    ) -> tuple[int, int]:
        """Return (start, person) for unpausable work of ``lasts`` seconds, the earliest.

        Among equals ``prefer`` does it, then the lowest number; ``busy`` cannot. NEVER: nobody.
        """
        best, who = NEVER, 0
        for person, line in enumerate(self.people):
            if person == busy:
                continue
            start = line.earliest(after, lasts)
            if start < best or (start == best and person == prefer):
                best, who = start, person
        return best, who

    def flowing(self, after: int, count: int, each: int) -> tuple[list[Span], int]:
        """Return (parts, person) for pausable work that ends the earliest."""
        best, who = self.people[0].flow(after, count, each), 0
        for person in range(1, len(self.people)):
            parts = self.people[person].flow(after, count, each)
            if parts[-1][1] < best[-1][1]:
                best, who = parts, person
        return best, who

    def take(self, person: int, parts: list[Span] | tuple[Span, ...]) -> None:
        line = self.people[person]
        for start, end in parts:
            line.take(start, end)

    def onto_mat(self, job: int, units: int) -> None:
        """Take ``units`` of the mat's room until the job is packed."""
        self.cooling[job] = units

    def off_mat(self, job: int, end: int) -> None:
        """Give a job's room on the mat back from ``end`` on."""
        insort(self.leaving, (end, self.cooling.pop(job)))

    def mat_free(self, after: int, units: int, room: int) -> int | None:
        """Return when ``units`` become free for good; None: not before more is packed."""
        left = room - units - sum(self.cooling.values())
        for end, each in reversed(self.leaving):
            if end <= after:
                break
            if left < each:
                return end if left >= 0 else None
            left -= each
        return after if left >= 0 else None
