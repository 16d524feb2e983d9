"""Cautions: before the first run, on every sheet, in the README. Common practice, no source.

The data sheet, the oven's manual, local fire rules and licensed practice decide; a caution here
never overrules one of them.
"""

from __future__ import annotations

from benchplan import units
from benchplan.model import Day
from benchplan.model.words import list_words

DECIDES = (
    "The safety data sheet, the oven's manual, local fire rules and licensed practice decide; "
    "where they say otherwise than this program, they win."
)

CAUTIONS = (
    "Read the safety data sheet of every oil and of the beads; it wins over anything said here.",
    "The oven is hotter than the flash point of nearly every fragrance oil: never put wet, "
    "dripping or pooled oil in it, only beads that are dry to the touch.",
    "Stay with the oven from switch-on until it is off and cool, extinguisher at hand, the way "
    "out clear.",
    "Ask the fire service, the landlord and the insurer before heating scented plastic for sale.",
    "Ventilate to the outside; stop if eyes, nose or head hurt.",
    "Oven, pans, spoons and jars never go back to food.",
    "Nothing touches or nears a heating element; vents stay open.",
    "Smoke or a sharp vinegar smell: switch off, leave the door shut, ventilate, leave, and call "
    "the fire service if in doubt.",
    "A hot tin looks like a cold one: every cooling time is a forecast, so check before you touch.",
    "Molten beads on skin: cool running water for 10 to 20 minutes, do not pull them off, get "
    "medical help.",
    "Pouring oil: the gloves and eye protection that the data sheet names; fragrance can sensitise "
    "for life.",
    "Spoon mica gently and keep the dust out of your lungs.",
    "Keep oil, beads and tins from children and pets; if swallowed, call a poison centre.",
    "Labels are the maker's duty (EU and GB CLP, US FHSA and others differ): use the supplier's "
    "sheet for your percentage of the total.",
    "Tell buyers: not on a dashboard, paint or plastic, not near a flame, not in a warmer.",
)

SHORT = (
    "Read the safety data sheets first. Where they say otherwise, follow them.",
    "Only dry beads go in: the oven is hotter than the oils' flash points.",
    "Stay with the oven until it is off and cool; extinguisher at hand.",
    "Ventilate to the outside.",
    "If you see smoke or smell vinegar: oven off, door shut, leave the room.",
    "A hot tin looks like a cold one. Check before you touch.",
    "Nothing used here goes back to food. Children and pets stay out.",
)


def day_cautions(day: Day) -> tuple[str, ...]:
    """Return the caution that names each scent of a day whose flash point its oven exceeds.

    That is usual, and it is why only beads that are dry to the touch may go in.
    """
    said = []
    for name in dict.fromkeys(order.scent for order in day.orders):
        flash = day.scent(name).flash_point_c
        hottest = max(
            day.recipes[order.recipe].bake_at_c for order in day.orders if order.scent == name
        )
        if flash is not None and flash < hottest:
            said.append(f"{name} ({units.show_temperature(flash, day.display.units)})")
    if not said:
        return ()
    verb = "has its flash point" if len(said) == 1 else "have their flash points"
    return (
        f"{list_words(said)} {verb} below the oven's temperature: only beads that are dry to the "
        "touch go in.",
    )
