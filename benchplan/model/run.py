"""The outcome: what people said has happened. A run is a plan being carried out, mark by mark."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

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


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of the bench book. ``what`` is "done", "tick" or "take back".

    ``happened_s`` is when it happened and ``entered_s`` when it was entered, in seconds from the
    run's start by the run's clock. A tick names its checklist ``item`` by its words. A take-back
    names the number of the mark it takes back, and never a take-back. ``number`` counts the run's
    marks from 1 (0: not in the book yet).
    """

    what: str
    happened_s: int
    entered_s: int
    action: Action | None = None
    item: str = ""
    person: int = 1
    takes_back: int = 0
    number: int = 0


@dataclass(frozen=True, slots=True)
class Run:
    """A run in the book. ``day_text`` is the whole day as a plan file, ``plan_text`` its plan.

    ``start`` is the instant that seconds count from; a rehearsal has a ``speed`` above 1 and is
    kept out of learned times. ``state`` is "running", "stopped" or "complete".
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
    """What a replan must take as given at ``now_s``: what is done, and what is under way."""

    now_s: int
    done: tuple[Done, ...] = ()
    under_way: tuple[UnderWay, ...] = ()


def standing(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """Return the marks that still stand: neither taken back nor take-backs themselves."""
    gone = {mark.takes_back for mark in marks if mark.what == "take back"}
    return tuple(mark for mark in marks if mark.what != "take back" and mark.number not in gone)
