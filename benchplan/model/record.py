"""The record of a run: what was planned, what happened, when, by whom. It is read, never changed.

Seconds count from the run's ``start``, an aware local time. Whatever was taken back or corrected
is still there, beside what took its place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from benchplan.model.ids import Outcome
from benchplan.model.plan import Span
from benchplan.model.run import Mark

UNENDED = ("running", "held")
"""The states of a run that is still on."""
CORRECTABLE = ("time", "person", "amount", "note", "stands")
"""What a correction can change of a mark. ``stands`` is "yes" or "no": whether it counts at all."""
NAME = "name"
"""The field that gives person ``old`` the name ``new``; it belongs to the run and to mark 0."""


@dataclass(frozen=True, slots=True)
class Correction:
    """A change to mark ``mark`` of a run that is over, and ``why``; the mark itself stays.

    ``field`` is one of ``CORRECTABLE``, or ``NAME``; ``old`` and ``new`` are its values as text:
    seconds from the run's start for time, a plain number for person and amount. ``number`` counts
    the run's corrections from 1 (0: not in the book yet).
    """

    mark: int
    field: str
    old: str
    new: str
    why: str
    entered: datetime
    number: int = 0


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of one tray, as planned and as it was; None where it was not planned or not done.

    ``marked``: somebody marked its end; otherwise what is real of it follows from other marks.
    """

    step: str
    planned: Span | None
    real: Span | None
    person: int | None = None
    place: str = ""
    marked: bool = False


@dataclass(frozen=True, slots=True)
class TrayRecord:
    """One tray. ``bakes`` are its stretches in an oven, ``bake_for_s`` what its recipe says.

    ``packed`` counts good tins. ``over_baked_s`` is how far it was past its time, 0 where its
    recipe's bake_late allows that.
    """

    number: int
    scents: tuple[str, ...]
    recipe: str
    pan: str
    oven: str
    tins: int
    stages: tuple[Stage, ...]
    bake_for_s: int
    bakes: tuple[Span, ...]
    outcome: Outcome
    packed: int
    scrapped: int
    over_baked_s: int = 0

    @property
    def baked_s(self) -> int | None:
        """The real time in an oven; None while there is none to know."""
        return sum(end - begin for begin, end in self.bakes) if self.bakes else None


@dataclass(frozen=True, slots=True)
class Entry:
    """One mark of the record, as it counts now.

    ``first`` is the mark as it was made where a correction changed it. ``taken_back`` is the number
    of the mark that took it back (0: none); ``struck``: a correction says that it does not count.
    """

    mark: Mark
    first: Mark | None = None
    taken_back: int = 0
    struck: bool = False
    corrections: tuple[Correction, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it stands: neither taken back nor struck out."""
        return not (self.taken_back or self.struck)


@dataclass(frozen=True, slots=True)
class Totals:
    """Tins: ``planned`` of them were ``packed``, ``scrapped`` or ``left_over``."""

    planned: int
    packed: int
    scrapped: int
    left_over: int


@dataclass(frozen=True, slots=True)
class Record:
    """A whole run, read back. ``names`` are those of the people who have one, by number."""

    run: int
    name: str
    file: str
    start: datetime
    state: str
    rehearsal: bool
    planned_finish_s: int
    finished_s: int | None
    trays: tuple[TrayRecord, ...]
    preheats: tuple[Stage, ...]
    entries: tuple[Entry, ...]
    totals: Totals
    people: tuple[int, ...]
    names: Mapping[int, str] = field(default_factory=dict)
    corrections: tuple[Correction, ...] = ()
    units: str = "metric"
    clock: int = 24
    pack: str = "today"

    def counting(self, *whats: str) -> tuple[Entry, ...]:
        """Return the entries of some kinds that stand."""
        return tuple(each for each in self.entries if each.counts and each.mark.what in whats)


def named(corrections: Iterable[Correction]) -> dict[int, str]:
    """Return the names that people of a run were given, by number; an empty one was taken away."""
    return {
        int(each.old): each.new
        for each in corrections
        if each.field == NAME and each.old.isdecimal()
    }
