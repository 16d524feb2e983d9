"""What one more of anything would buy, and each other way of working. No input, no output.

The day is planned again with it. By construction never later than without: what is there need not
be used, and no way of working must be taken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from benchplan import heat, packing
from benchplan.fitting import KnownFits
from benchplan.model import Day, OneMore, Plan, Recipe
from benchplan.model.stop import Stop
from benchplan.planner import plan_day, quick_stop


def one_more(
    day: Day,
    plan: Plan,
    stop_for: Callable[[Day], Stop] | None = None,
    seed: int = 0,
    known_fits: KnownFits | None = None,
    cancelled: Stop = lambda: False,
) -> tuple[OneMore, ...]:
    """Return the finish with one more of each thing and each other way, what wins most first.

    ``plan`` is the plan without, for the same ``day``; ``stop_for`` gives the stop rule of each
    plan with, usually the planner's quick one. Ends early, with what there is, once ``cancelled``.
    """
    rule = stop_for or quick_stop
    found = []
    for what, kind, richer in richer_days(day, plan):
        if cancelled():
            break
        answer = plan_day(richer, rule(richer), seed, known_fits, plan)
        finish = answer.finish_s if isinstance(answer, Plan) else plan.finish_s
        found.append(OneMore(what, kind, min(finish, plan.finish_s)))
    return tuple(sorted(found, key=lambda more: more.finish_s))


def richer_days(day: Day, plan: Plan) -> Iterator[tuple[str, str | None, Day]]:
    """Yield (what, kind, the day with it): one more of all that a day's work needs, then ways."""
    for name in sorted({tray.pan for tray in plan.trays}):
        pan = day.pans[name]
        yield "pan", name, replace(day, pans={**day.pans, name: replace(pan, count=pan.count + 1)})
    cooling = day.cooling
    yield "stand place", None, replace(day, cooling=replace(cooling, stand=cooling.stand + 1))
    if not day.on_pan:
        yield "tray's worth of mat", None, _with_more_mat(day, plan)
    yield "person", None, replace(day, people=day.people + 1)
    yield "scale", None, replace(day, scales=day.scales + 1)
    for name in sorted({load.oven for load in plan.loads}):
        oven = day.ovens[name]
        more = replace(oven, shelves=oven.shelves + 1)
        yield "shelf", name, replace(day, ovens={**day.ovens, name: more})
        twin = replace(oven, name=_new_name(name, day))
        yield "oven", name, replace(day, ovens={**day.ovens, twin.name: twin})
    yield from _ways(day, plan)


def _ways(day: Day, plan: Plan) -> Iterator[tuple[str, None, Day]]:
    """Yield the other ways of working that the day leaves open and that may save time."""
    if not day.on_pan:
        yield "tins left on their pans", None, _on_pans(day, plan)
    scents = {(order.recipe, order.scent) for order in day.orders}
    if not day.mix_scents and len(scents) > len({recipe for recipe, _ in scents}):
        yield "mixed scents", None, replace(day, mix_scents=True)
    if day.pack == "today" and day.times.clear_s < day.times.pack_s:
        yield "packing another day", None, replace(day, pack="later")
    if day.times.fill_s and any(order.filled < order.tins for order in day.orders):
        filled = tuple(replace(order, filled=order.tins) for order in day.orders)
        yield "tins filled the day before", None, replace(day, orders=filled)


def _on_pans(day: Day, plan: Plan) -> Day:
    """Return the day with tins left on their pans to cool, each recipe with a cool_for for that.

    Not a free saving. Where the maker gave a cool_for, for the mat, tins on the pan cool as long
    as the day gives them from the oven on: rest_for, the transfer of the fullest tray in the plan,
    and cool_for. Where it is estimated, the estimate for tins on a pan counts; a time that is
    exactly the one for this mat is taken for an estimate.
    """
    cooling = replace(day.cooling, where="pan")
    fullest: dict[str, int] = {}
    for tray in plan.trays:
        fullest[tray.recipe] = max(tray.tins, fullest.get(tray.recipe, 0))

    def cool_for_s(recipe: Recipe) -> int:
        tin, given = day.tins[recipe.tin], recipe.cool_for_s
        if given is None or given == heat.cool_for_s(tin, day.cooling):
            return heat.cool_for_s(tin, cooling)
        return recipe.rest_for_s + fullest.get(recipe.name, 0) * day.times.transfer_s + given

    recipes = {
        name: replace(recipe, cool_for_s=cool_for_s(recipe)) for name, recipe in day.recipes.items()
    }
    return replace(day, cooling=cooling, recipes=recipes)


def _with_more_mat(day: Day, plan: Plan) -> Day:
    """Return the day with room on the mat for one more tray, the fullest of the plan."""
    cooling = day.cooling
    tray = max(plan.trays, key=lambda each: each.tins)
    if cooling.mat_tins is not None or cooling.mat_mm is None:
        more = replace(cooling, mat_tins=(cooling.mat_tins or 0) + tray.tins)
        return replace(day, cooling=more)
    size = day.tins[day.recipes[tray.recipe].tin].diameter_mm

    def room(mat_mm: tuple[float, float]) -> int:
        return packing.pack_mat(mat_mm, size, cooling.gap_mm).count

    length, width = cooling.mat_mm
    wanted = room((length, width)) + tray.tins
    for _ in range(tray.tins):  # a row across each; beyond some thousands none is counted
        if room((length, width)) < wanted:
            length += size + cooling.gap_mm
    return replace(day, cooling=replace(cooling, mat_mm=(length, width)))


def _new_name(name: str, day: Day) -> str:
    number = 2
    while f"{name} {number}" in day.ovens:
        number += 1
    return f"{name} {number}"
