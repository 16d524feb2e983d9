"""The outcome: what people said has happened. A run is a plan being carried out, mark by mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from benchplan.model.ids import NO_ITEM, Item, MarkKind, Reason

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


NOTED = (MarkKind.TICK, MarkKind.PASS_OVER, MarkKind.READING, MarkKind.EARLY, MarkKind.CHECKED)
"""Marks that change nothing about what comes: no plan follows them, and none is void by them."""


AMOUNTS = {
    MarkKind.FILLED: "tins", MarkKind.SCRAPPED: "tins", MarkKind.JUDGED: "tins",
    MarkKind.LONGER: "duration", MarkKind.BACK_IN: "duration",
    MarkKind.LATE: "duration", MarkKind.READING: "temperature",
}  # fmt: skip
"""What the amount of a kind of mark is: tins, seconds or degrees Celsius; others count nothing."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of the bench book.

    ``happened_s`` is when it happened and ``entered_s`` when it was entered, in seconds from the
    run's start by the run's clock. ``number`` counts the run's marks from 1 (0: not in the book
    yet). ``reason`` is a reason that was picked from a list, ``note`` one in a person's own words.
    What else a mark holds depends on its kind, ``what``:

    done: ``action`` has happened. tick, pass over: the ``item`` of its checklist was seen to, or
    passed over; a tick of the dry test says that the beads of the item's scent are dry. wet: they
    are not; the trays of ``action`` leave the day. take back: mark ``takes_back``, which is never a
    take-back, no longer stands. filled: ``amount`` tins of the fill ``action`` are filled so far.
    longer: the bake that the unload ``action`` ends lasts ``amount`` seconds more than it did.
    back in: the trays of the unload ``action`` went back into the oven for ``amount`` seconds.
    scrapped: ``amount`` tins of the one tray of ``action`` are scrapped. leaves: the trays of
    ``action`` leave the day. early: why the unload ``action`` was done before its bake was over.
    checked: the trays of ``action`` were checked, and none of their tins is hot. judged: the one
    tray of ``action`` that was shut in an oven is out of it, cold, and ``amount`` of its tins are
    good. hold, go on: hands stop, and work again. late: ``person`` is away for ``amount`` seconds
    from now. person comes, person goes: for the rest of the day (a comer is numbered next). oven
    out: the oven ``place`` of ``action`` is out of the day. reading: ``amount`` degrees Celsius on
    the thermometer of ``action``'s oven. stop: what is hot is finished, the rest leaves the day.
    abort: all ends at once.
    """

    what: MarkKind
    happened_s: int
    entered_s: int
    action: Action | None = None
    item: Item = NO_ITEM
    person: int = 1
    takes_back: int = 0
    number: int = 0
    amount: float = 0.0
    note: str = ""
    reason: Reason | None = None


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
    gone = {mark.takes_back for mark in marks if mark.what == MarkKind.TAKE_BACK}
    return tuple(
        mark for mark in marks if mark.what != MarkKind.TAKE_BACK and mark.number not in gone
    )


def moving(marks: tuple[Mark, ...]) -> tuple[int, ...]:
    """Return the numbers of the standing marks that a plan follows; the others change nothing."""
    return tuple(mark.number for mark in standing(marks) if mark.what not in NOTED)


def known_part(known: Iterable[tuple[int, ...]], numbers: tuple[int, ...]) -> tuple[int, ...]:
    """Return the longest beginning of ``numbers``, as ``moving`` gives them, that is known."""
    return max((each for each in known if each == numbers[: len(each)]), key=len, default=())
