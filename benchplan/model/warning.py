"""Warnings of a day's values: which limit is passed, by what, and the sentence for a person."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from benchplan import clock, units
from benchplan.model.kit import Display


class WarningId(StrEnum):
    """What a warning is of; plan JSON and the fingerprints of what was confirmed use it."""

    HOT_BAKE = "hot_bake"
    LONG_BAKE = "long_bake"
    LONG_LATE = "long_late"
    SHORT_REST = "short_rest"
    SHORT_COOLING = "short_cooling"
    OVER_BRIM = "over_brim"
    NO_AIR = "no_air"
    NO_HEADROOM = "no_headroom"
    SHORT_PREHEAT = "short_preheat"
    ZERO_LOAD = "zero_load"
    ZERO_UNLOAD = "zero_unload"


@dataclass(frozen=True, slots=True)
class ValueWarning:
    """One value that is past a limit. ``name`` is the recipe's or oven's, empty under [times].

    ``value`` and ``limit`` are in the unit that the id goes with: degrees Celsius (HOT_BAKE), ml
    that the fill takes at least and ml that the tin holds (OVER_BRIM), mm (NO_AIR, NO_HEADROOM),
    seconds (all others).
    """

    id: WarningId
    name: str
    value: float
    limit: float


def warning_words(warning: ValueWarning, display: Display) -> str:
    """Say which value is past which limit, and what to do first."""
    name, value, limit, system = warning.name, warning.value, warning.limit, display.units
    match warning.id:
        case WarningId.HOT_BAKE:
            return (
                f"Recipe {name} bakes at {units.show_temperature(value, system)}, above "
                f"{units.show_temperature(limit, system)}: the beads begin to break down and give "
                "off sharp vapour. Check the beads' data sheet first."
            )
        case WarningId.LONG_BAKE:
            return (
                f"Recipe {name} bakes for {clock.show_span(value)}, longer than "
                f"{clock.show_span(limit)}: check that no digit or unit is wrong."
            )
        case WarningId.LONG_LATE:
            return (
                f"Recipe {name} lets a pan wait in the oven {clock.show_span(value)} past its time "
                "before it is called over-baked: watch the first bake, and write what it bore."
            )
        case WarningId.SHORT_REST:
            return (
                f"Recipe {name} lets hot tins rest for {clock.show_span(value)}: what is in them "
                "is soft and hot, and can spill on your hands. Let the pan stand first."
            )
        case WarningId.SHORT_COOLING:
            return (
                f"Recipe {name} cools for {clock.show_span(value)}, less than half of our estimate "
                f"({clock.show_span(limit)}; computed, not measured): the tins may still burn "
                "you. Check each one before you touch it."
            )
        case WarningId.OVER_BRIM:
            return (
                f"Recipe {name} fills a tin with about {units.show_volume(value, system)} of beads "
                f"or more; the tin holds about {units.show_volume(limit, system)}. Spilled beads "
                "can melt onto the heating element: weigh one level-full tin first."
            )
        case WarningId.NO_AIR:
            return (
                f'Oven "{name}" keeps {units.show_length(value, system)} of air between pans and '
                "walls: leave room, so that nothing touches a wall or a heating element."
            )
        case WarningId.NO_HEADROOM:
            return (
                f'Oven "{name}" has {units.show_length(value, system)} of headroom for a tray that '
                f"is {units.show_length(limit, system)} tall: leave room below the heating element."
            )
        case WarningId.SHORT_PREHEAT:
            return (
                f'Oven "{name}" heats in {clock.show_span(value)} here: time how long it takes '
                "until its own thermometer shows the set heat, write that."
            )
        case WarningId.ZERO_LOAD:
            return "Loading a pan takes 0 s here: time how long the oven door is open, write that."
        case WarningId.ZERO_UNLOAD:
            return (
                "Taking a pan out takes 0 s here: time how long the oven door is open, write that."
            )
