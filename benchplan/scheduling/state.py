"""What is taken while a schedule is being built: people, scales, ovens, pans, stand, mat."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchplan.model.plan import Span
from benchplan.scheduling.problem import Shop
from benchplan.scheduling.timeline import NEVER, Timeline


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
        self.people = [Timeline() for _ in range(day.people)]
        self.away: list[tuple[int, Span]] = []
        for pause in day.absences():
            for person in self._who_leaves(pause.at_s, pause.end_s, pause.away or 0):
                self.people[person].take(pause.at_s, pause.end_s)
                self.away.append((person, (pause.at_s, pause.end_s)))
        self.scales = [Scale() for _ in range(day.scales)]
        self.ovens = {name: OvenUse() for name in day.ovens}
        self.pans = {name: [0] * pan.count for name, pan in day.pans.items()}
        self.stand = [0] * day.cooling.stand
        self.mat: dict[int, tuple[int, int]] = {}  # job: (end, units); NEVER until packed

    def _who_leaves(self, start: int, end: int, count: int) -> list[int]:
        """Choose who is away: the last people first, and never somebody away already."""
        free = [
            person
            for person in reversed(range(len(self.people)))
            if not any(
                other == person and begin < end and start < stop
                for other, (begin, stop) in self.away
            )
        ]
        return free[:count]

    def first_free(
        self, after: int, lasts: int, prefer: int | None = None, busy: int | None = None
    ) -> tuple[int, int]:
        """Return (start, person) for unpausable work of ``lasts`` seconds, the earliest.

        Among equals ``prefer`` does it, then the lowest number; ``busy`` cannot. NEVER: nobody.
        """
        return min(
            (
                (line.earliest(after, lasts), person != prefer, person)
                for person, line in enumerate(self.people)
                if person != busy
            ),
            default=(NEVER, True, 0),
        )[::2]

    def flowing(self, after: int, count: int, each: int) -> tuple[list[Span], int]:
        """Return (parts, person) for pausable work that ends the earliest."""
        best: tuple[int, list[Span], int] | None = None
        for person, line in enumerate(self.people):
            parts = line.flow(after, count, each)
            if best is None or parts[-1][1] < best[0]:
                best = (parts[-1][1], parts, person)
        assert best is not None
        return best[1], best[2]

    def take(self, person: int, parts: list[Span] | tuple[Span, ...]) -> None:
        for start, end in parts:
            self.people[person].take(start, end)

    def mat_free(self, after: int, units: int, room: int) -> int | None:
        """Return when ``units`` become free for good; None: not before more is packed."""
        used = sum(each for end, each in self.mat.values() if end > after)
        if used + units <= room:
            return after
        for end, each in sorted(self.mat.values()):
            if end <= after:
                continue
            if end == NEVER:
                return None
            used -= each
            if used + units <= room:
                return end
        return None
