"""Phrases for what the marks of a run hold: items of checklists, and reasons."""

from __future__ import annotations

from benchplan.model.ids import Item, ItemId, Reason
from benchplan.model.run import Mark

ITEMS: dict[ItemId, str] = {
    ItemId.BEADS_DRY: "Beads dry: nothing clings, no shine, tissue stays clean",
    ItemId.LANDING_FREE: "A stand place is free",
    ItemId.OVEN_AT_HEAT: "Oven thermometer shows the set temperature",
    ItemId.LOOKED_AT: "Looked at: no loose beads",
}

REASONS: dict[Reason, str] = {
    Reason.OVER_BAKED: "over-baked",
    Reason.DROPPED: "dropped",
    Reason.SPILLED: "spilled",
    Reason.WRONG_LABEL: "wrong scent or label",
    Reason.SEEN_OTHERWISE: "checked in another way",
    Reason.NOT_NEEDED: "not needed here",
    Reason.NO_HAND_FREE: "no hand free",
    Reason.LOOKED_LATER: "looked at later",
    Reason.HOT_ALREADY: "its thermometer shows the set temperature already",
    Reason.WENT_IN_EARLY: "it went in before the oven was ready",
    Reason.MOVED_EARLY: "it was moved before its rest was over",
    Reason.CHECKED_COOL: "every tin was checked first",
    Reason.NOT_CHECKED: "packed without a check",
    Reason.LOOKED_DONE: "it looked done",
    Reason.TROUBLE: "something was wrong with it or with the oven",
}


def item_words(item: Item) -> str:
    """Say a line of a checklist; a dry test names its scent."""
    if item.id is None:
        return item.own
    return f"{item.scent}: {lower_first(ITEMS[item.id])}" if item.scent else ITEMS[item.id]


def why_words(mark: Mark) -> str:
    """Say why a mark was made: the reason that was picked, or what somebody typed."""
    return mark.note or (REASONS[mark.reason] if mark.reason else "")


def reason_of(text: str) -> Reason | str:
    """Return the reason that some words say, or else the words."""
    known = {words: reason for reason, words in REASONS.items()}
    return known.get(text.strip().lower(), text)


def lower_first(words: str) -> str:
    """Return words that go on in the middle of a sentence."""
    return words[:1].lower() + words[1:]


def upper_first(words: str) -> str:
    """Return words that begin a sentence or stand in a list."""
    return words[:1].upper() + words[1:]
