"""What to check at an action, in the maker's own words or in the ones that ship.

The words on trade habits are common practice, no source. The dry test is the usual one for scented
beads and a hard stop: nothing wet goes near an oven that is hotter than the oil's flash point. It
is asked scent by scent, at every action on the way into an oven, until the latest test of that
scent says dry: whatever order the work is done in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchplan.live.actions import Index
from benchplan.live.progress import Progress
from benchplan.model import Action, Day, Item, ItemId, Reason

TO_THE_OVEN = ("fill", "set", "load")
"""The actions that handle beads on their way into an oven."""

SHIPPED: dict[str, tuple[str, ...]] = {
    "preheat": (
        "Oven empty, vents open, nothing on top of it",
        "Extinguisher at hand, way out clear",
    ),
    "change_scent": ("Last jar shut", "Scoop, bowl and scale clean"),
    "fill": ("Scale shows zero with an empty tin on it", "Beads level, rims clean"),
    "set": ("Pan checked: not hot", "Tins level and apart"),
    "load": ("Lids put aside", "Mitts on"),
    "unload": ("Mitts on", "A stand place is free", "Door shut again"),
    "transfer": ("Tongs, never fingers", "Room on the mat"),
    "pack": ("Every tin checked cool before a bare hand takes it", "Lid on, label on, in the box"),
}
CLEAR = ("Every tin checked cool before a bare hand takes it", "Into the box, lids another day")


@dataclass(frozen=True, slots=True)
class Check:
    """One line of an action's checklist, and how it stands: ``seen`` is ticked or passed over.

    ``required``: the action is not done before it is seen to.
    """

    item: Item
    required: bool = False
    seen: bool = False
    passed: bool = False


def checklist(found: Index, so_far: Progress, action: Action) -> tuple[Check, ...]:
    """Return what to see to at an action, what is required first.

    The maker's own list replaces the one that ships; what is required stays on every list. How a
    tray is baked can only be seen once it is out, so it is asked then and never listed.
    """
    return (
        *(_check(so_far, action, item, True) for item in _required(found, so_far, action)),
        *(_check(so_far, action, item, False) for item in _listed(found.day, action.what)),
    )


def before_a_load(day: Day) -> tuple[Item, ...]:
    """Return all that is seen to before the first tray of a day goes into an oven."""
    required = (ItemId.BEADS_DRY, ItemId.OVEN_AT_HEAT, ItemId.LANDING_FREE)
    return (*map(Item, required), *_listed(day, "load"))


def _listed(day: Day, what: str) -> Iterable[Item]:
    """Return what a maker lists for an action, or else what ships."""
    shipped = SHIPPED.get(what, ())
    if what == "pack" and day.pack == "later":
        shipped = CLEAR
    if what == "unload" and day.on_pan:
        shipped = (*shipped, "Nothing touches the hot pan")
    return (Item(own=words) for words in dict.fromkeys(day.checklist.get(what, shipped)))


def _check(so_far: Progress, action: Action, item: Item, required: bool) -> Check:
    passed = so_far.seen.get((action, item))
    return Check(item, required, passed is not None, bool(passed))


def _required(found: Index, so_far: Progress, action: Action) -> Iterable[Item]:
    """Return what must be seen to before an action is done, whatever list a maker has."""
    if action.what in TO_THE_OVEN:
        for scent in scents_of(found, action.trays):
            item = Item(ItemId.BEADS_DRY, scent)
            if not so_far.dry.get(scent) or (action, item) in so_far.seen:
                yield item
    if action.what == "load":
        if not _went_in(found, so_far, action):
            yield Item(ItemId.OVEN_AT_HEAT)
        yield Item(ItemId.LANDING_FREE)


def _went_in(found: Index, so_far: Progress, load: Action) -> bool:
    """Whether another load went into a load's oven since it was switched on for this one, and
    somebody had seen that it was at heat."""
    turn = found.turn_of.get(load.trays[0], 0)
    others = [
        action
        for action in so_far.said
        if action.what == "load" and action.place == load.place and action != load
        if found.turn_of.get(action.trays[0], 0) == turn
    ]
    return any(
        (action, Item(ItemId.OVEN_AT_HEAT)) in so_far.seen
        or so_far.said[action].reason is Reason.HOT_ALREADY
        for action in others
    )


def scents_of(found: Index, trays: Iterable[int]) -> tuple[str, ...]:
    """Return the scents on some trays, each once."""
    known = (found.trays[tray] for tray in trays if tray in found.trays)
    return tuple(dict.fromkeys(scent for tray in known for scent in tray.scents))
