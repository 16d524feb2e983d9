"""Ids for what a run's rules depend on; a sentence about them is made where people read it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class MarkKind(StrEnum):
    """Every kind of mark; ``Mark`` says what each holds."""

    DONE = "done"
    TICK = "tick"
    PASS_OVER = "pass over"
    TAKE_BACK = "take back"
    FILLED = "filled"
    LONGER = "longer"
    BACK_IN = "back in"
    SCRAPPED = "scrapped"
    LEAVES = "leaves"
    WET = "wet"
    EARLY = "early"
    CHECKED = "checked"
    JUDGED = "judged"
    HOLD = "hold"
    GO_ON = "go on"
    LATE = "late"
    PERSON_COMES = "person comes"
    PERSON_GOES = "person goes"
    OVEN_OUT = "oven out"
    READING = "reading"
    STOP = "stop"
    ABORT = "abort"


class ItemId(StrEnum):
    """What must be seen to at an action, whatever list a maker has of their own."""

    BEADS_DRY = "beads dry"
    LANDING_FREE = "landing free"
    OVEN_AT_HEAT = "oven at heat"
    LOOKED_AT = "looked at"


class Reason(StrEnum):
    """Why something was done otherwise than planned, as picked from a list."""

    OVER_BAKED = "over-baked"
    DROPPED = "dropped"
    SPILLED = "spilled"
    WRONG_LABEL = "wrong scent or label"
    SEEN_OTHERWISE = "seen otherwise"
    NOT_NEEDED = "not needed"
    NO_HAND_FREE = "no hand free"
    LOOKED_LATER = "looked at later"
    HOT_ALREADY = "hot already"
    WENT_IN_EARLY = "went in early"
    MOVED_EARLY = "moved early"
    CHECKED_COOL = "checked cool"
    NOT_CHECKED = "not checked"
    LOOKED_DONE = "looked done"
    TROUBLE = "trouble"


class NotYet(StrEnum):
    """What is not so yet when an action is marked before its time."""

    OVEN_OFF = "oven off"
    OVEN_HEATING = "oven heating"
    OVEN_TOO_HOT = "oven too hot"
    OVEN_TOLD_OFF = "oven told off"
    BAKING = "baking"
    RESTING = "resting"
    COOLING = "cooling"


class Outcome(StrEnum):
    """What became of a tray."""

    PACKED = "packed"
    LEFT_THE_DAY = "left the day"
    LEFT_OVER = "left over"


@dataclass(frozen=True, slots=True, order=True)
class Item:
    """One line of a checklist: a required one by its id, any other by its ``own`` words.

    The dry test is one item for each ``scent``.
    """

    id: ItemId | None = None
    scent: str = ""
    own: str = ""


NO_ITEM = Item()
