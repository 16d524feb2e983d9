"""What to check at an action, in the maker's own words or in the ones that ship.

The words on trade habits are common practice, no source; the dry test is the usual one for
scented beads and a hard stop: nothing wet goes near an oven that is hotter than the oil's flash
point.
"""

from __future__ import annotations

from benchplan.model import Action, Day

DRY_CHECK = "Beads dry: nothing clings, no shine, tissue stays clean"
LANDING_CHECK = "Landing place on the stand will be free"
DONE_CHECK = "Looked at: no loose beads"

REQUIRED: dict[str, tuple[str, ...]] = {"load": (LANDING_CHECK,), "unload": (DONE_CHECK,)}
"""What must be ticked, or passed over with a reason, whatever list a maker has of their own."""

SHIPPED: dict[str, tuple[str, ...]] = {
    "preheat": (
        "Oven empty, vents open, nothing on top of it",
        "Extinguisher at hand, way out clear",
    ),
    "change_scent": ("Last jar shut", "Scoop, bowl and scale clean"),
    "fill": ("Scale shows zero with an empty tin on it", "Beads level, rims clean"),
    "set": ("Pan cool to the touch", "Tins level and apart"),
    "load": (
        "Oven at heat by its thermometer",
        LANDING_CHECK,
        "Lids put aside",
        "Mitts on",
    ),
    "unload": ("Mitts on", "Landing place on the stand free", "Door shut again", DONE_CHECK),
    "transfer": ("Tongs, never fingers", "Room on the mat"),
    "pack": ("Every tin checked cool before a bare hand takes it", "Lid on, label on, in the box"),
}
CLEAR = ("Every tin checked cool before a bare hand takes it", "Into the box, lids another day")


def required(action: Action) -> tuple[str, ...]:
    """Return which items must be seen to at an action where they are on its checklist.

    All but the dry test may be passed over with a reason.
    """
    return (DRY_CHECK, *REQUIRED.get(action.what, ()))


def checklist(day: Day, action: Action, new_scent: bool = True) -> tuple[str, ...]:
    """Return the words to tick at an action; the maker's own replace the ones that ship.

    What is required stays on every list.
    ``new_scent``: the action is the first of the day that handles one of its scents. Then the dry
    test comes first, whatever else the maker wants to see.
    """
    shipped = SHIPPED.get(action.what, ())
    if action.what == "pack" and day.pack == "later":
        shipped = CLEAR
    if action.what == "unload" and day.on_pan:
        shipped = (*shipped, "Nothing touches the hot pan")
    words = tuple(day.checklist.get(action.what, shipped))
    words = (*words, *(each for each in REQUIRED.get(action.what, ()) if each not in words))
    if new_scent and action.what in ("fill", "set", "load"):
        words = (DRY_CHECK, *(each for each in words if each != DRY_CHECK))
    return tuple(dict.fromkeys(words))
