"""The outcome: what people said has happened. A run is a plan being carried out, mark by mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

RUN_STATES = ("running", "held", "stopped", "aborted", "complete")
"""The batch standard's states of a run that has begun (ISA-88; before that it is idle)."""

ACTIONS = ("preheat", "change_scent", "fill", "set", "load", "unload", "transfer", "pack")


@dataclass(frozen=True, slots=True, order=True)
class Action:
    """Something one person does at the bench and then marks.

    ``trays`` are all trays of the load for load and unload, one tray otherwise, none for preheat.
    ``place`` is the oven for preheat; ``turn`` counts that oven's preheats from 1. Two actions are
    the same when all four are equal; tray numbers never change during a run.
    """

    what: str
    trays: tuple[int, ...] = ()
    place: str = ""
    turn: int = 1


MARKS = (
    "done", "tick", "pass over", "take back", "filled", "longer", "back in", "scrapped", "leaves",
    "hold", "go on", "late", "person comes", "person goes", "oven out", "reading", "stop", "abort",
)  # fmt: skip
"""Every kind of mark.

done: ``action`` has happened. tick, pass over: its checklist ``item`` was seen to, or passed over
for the reason in ``note``. take back: mark ``takes_back`` no longer stands. filled: ``amount`` tins
of the fill ``action`` are filled so far. longer: the bake that the unload ``action`` ends lasts
``amount`` seconds more than it did. back in: the trays of the unload ``action`` went back into the
oven for ``amount`` seconds. scrapped: ``amount`` tins of the one tray of ``action`` are scrapped
because of ``note``. leaves: the trays of ``action`` leave the day because of ``note``. hold, go on:
hands stop, and work again. late: ``person`` is away for ``amount`` seconds from now. person comes,
person goes: for the rest of the day (a comer is numbered next). oven out: the oven ``place`` of
``action`` is out of the day. reading: ``amount`` degrees Celsius on the thermometer of ``action``'s
oven. stop: what is hot is finished, the rest leaves the day. abort: all ends at once.
"""


NOTED = ("tick", "pass over", "reading")
"""Marks that change nothing about what comes: no plan follows them, and none is void by them."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of the bench book; ``what`` is one of ``MARKS``.

    ``happened_s`` is when it happened and ``entered_s`` when it was entered, in seconds from the
    run's start by the run's clock. A tick names its checklist ``item`` by its words. A take-back
    names the number of the mark it takes back, and never a take-back. ``number`` counts the run's
    marks from 1 (0: not in the book yet). What ``amount`` counts and ``note`` says depends on
    ``what``.
    """

    what: str
    happened_s: int
    entered_s: int
    action: Action | None = None
    item: str = ""
    person: int = 1
    takes_back: int = 0
    number: int = 0
    amount: float = 0.0
    note: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """A run in the book. ``day_text`` is the whole day as a plan file, ``plan_text`` its plan.

    ``start`` is the instant that seconds count from; a rehearsal has a ``speed`` above 1 and is
    kept out of learned times. ``state`` is one of ``RUN_STATES``.
    """

    number: int
    name: str
    file: str
    start: datetime
    day_text: str
    plan_text: str
    rehearsal: bool = False
    speed: float = 1.0
    state: str = "running"
    finished_s: int | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """An action that has happened, with its inferred start and its marked end (seconds)."""

    action: Action
    person: int
    start_s: int
    end_s: int


@dataclass(frozen=True, slots=True)
class UnderWay:
    """What a person is taken to be doing: begun at ``start_s``, not marked done yet."""

    action: Action
    person: int
    start_s: int


@dataclass(frozen=True, slots=True)
class Past:
    """What a replan must take as given at ``now_s``: what is done, and what is under way.

    ``away`` says who is not at the bench when, breaks apart. ``bake_ends`` gives trays that are in
    an oven, or were, and do not come out as their recipe says, with the second at which they do;
    ``ovens`` gives trays that are in another oven than planned.
    ``filled`` counts the tins of a tray whose fill was interrupted, ``lost`` the scrapped ones;
    ``closed`` are ovens that take no more loads. ``fresh_hands``: somebody came this second.
    """

    now_s: int
    done: tuple[Done, ...] = ()
    under_way: tuple[UnderWay, ...] = ()
    away: tuple[tuple[int, tuple[int, int]], ...] = ()
    bake_ends: Mapping[int, int] = field(default_factory=dict)
    ovens: Mapping[int, str] = field(default_factory=dict)
    filled: Mapping[int, int] = field(default_factory=dict)
    lost: Mapping[int, int] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()
    fresh_hands: bool = False


def standing(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """Return the marks that still stand: neither taken back nor take-backs themselves."""
    gone = {mark.takes_back for mark in marks if mark.what == "take back"}
    return tuple(mark for mark in marks if mark.what != "take back" and mark.number not in gone)


def moving(marks: tuple[Mark, ...]) -> tuple[int, ...]:
    """Return the numbers of the standing marks that a plan follows; the others change nothing."""
    return tuple(mark.number for mark in standing(marks) if mark.what not in NOTED)


def known_part(known: Iterable[tuple[int, ...]], numbers: tuple[int, ...]) -> tuple[int, ...]:
    """Return the longest beginning of ``numbers``, as ``moving`` gives them, that is known."""
    return max((each for each in known if each == numbers[: len(each)]), key=len, default=())
