"""Ceilings of a day's values: what is past one is warned of and confirmed before a real run.

docs/rules.md says where each number comes from. None was measured on anyone's kit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from benchplan import heat
from benchplan.model import Day, Tin
from benchplan.model.kit import HOT_BAKE_C
from benchplan.model.warning import ValueWarning, WarningId

BAKE_FOR_S = 30 * 60
BAKE_LATE_S = 5 * 60
LEAST_REST_S = 15
LEAST_PREHEAT_S = 60
LEAST_AIR_MM = 5.0
COOLING_SHARE = 0.5  # of our own estimate
HEAVIEST_G_PER_ML = 0.58  # loose beads: 0.48 to 0.58 g/ml


def value_warnings(day: Day) -> tuple[ValueWarning, ...]:
    """Return each value that this day makes use of and that is past a ceiling."""
    return (*_recipes(day), *_ovens(day), *_doors(day))


def _recipes(day: Day) -> Iterator[ValueWarning]:
    for name in dict.fromkeys(order.recipe for order in day.orders):
        recipe = day.recipes[name]
        tin = day.tins[recipe.tin]
        if recipe.bake_at_c > HOT_BAKE_C:
            yield ValueWarning(WarningId.HOT_BAKE, name, recipe.bake_at_c, HOT_BAKE_C)
        if recipe.bake_for_s > BAKE_FOR_S:
            yield ValueWarning(WarningId.LONG_BAKE, name, recipe.bake_for_s, BAKE_FOR_S)
        if recipe.bake_late_s > BAKE_LATE_S:
            yield ValueWarning(WarningId.LONG_LATE, name, recipe.bake_late_s, BAKE_LATE_S)
        if recipe.rest_for_s < LEAST_REST_S and not day.on_pan:
            yield ValueWarning(WarningId.SHORT_REST, name, recipe.rest_for_s, LEAST_REST_S)
        estimate_s = heat.cool_for_s(tin, day.cooling)
        if recipe.cool_for_s is not None and recipe.cool_for_s < COOLING_SHARE * estimate_s:
            yield ValueWarning(WarningId.SHORT_COOLING, name, recipe.cool_for_s, estimate_s)
        least_ml = recipe.fill_g / HEAVIEST_G_PER_ML
        if least_ml > _brim_ml(tin):
            yield ValueWarning(WarningId.OVER_BRIM, name, least_ml, _brim_ml(tin))


def _brim_ml(tin: Tin) -> float:
    """Return what a tin holds, by its size from outside where that is not said."""
    if tin.holds_ml is not None:
        return tin.holds_ml
    return math.pi / 4 * tin.diameter_mm**2 * tin.height_mm / 1000


def _ovens(day: Day) -> Iterator[ValueWarning]:
    tins = {day.recipes[order.recipe].tin for order in day.orders}
    tallest = max(day.tins[name].height_mm for name in tins)
    tall = max(tallest, min(pan.height_mm for pan in day.pans.values()))
    for oven in day.ovens.values():
        if oven.air_mm < LEAST_AIR_MM:
            yield ValueWarning(WarningId.NO_AIR, oven.name, oven.air_mm, LEAST_AIR_MM)
        if oven.headroom_mm < tall + LEAST_AIR_MM:
            yield ValueWarning(WarningId.NO_HEADROOM, oven.name, oven.headroom_mm, tall)
        if oven.preheat_s < LEAST_PREHEAT_S:
            yield ValueWarning(WarningId.SHORT_PREHEAT, oven.name, oven.preheat_s, LEAST_PREHEAT_S)


def _doors(day: Day) -> Iterator[ValueWarning]:
    if day.times.load_s == 0:
        yield ValueWarning(WarningId.ZERO_LOAD, "", 0, 0)
    if day.times.unload_s == 0:
        yield ValueWarning(WarningId.ZERO_UNLOAD, "", 0, 0)
